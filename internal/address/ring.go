package address

import "slices"

// rings counts the groups of devices that wait for each other all round: the
// strongly connected components of two devices and more (Tarjan 1972). Each
// needs a step more than its devices, for the first of them to reach its goal
// finds somebody there who has not reached his.
func (j *juggler) rings() int {
	t := tarjan{next: j.blockers, number: make([]int, len(j.moves)), low: make([]int, len(j.moves)), on: make([]bool, len(j.moves))}
	for _, i := range j.moving {
		if t.number[i] == 0 {
			t.visit(i)
		}
	}
	return t.rings
}

// blockers lists the devices that stand on the goal of device i; one may be
// listed twice.
func (j *juggler) blockers(i int) []int {
	m := j.moves[i]
	if m.width() == 1 {
		if takers := j.takers[m.Range][m.To]; !slices.Contains(takers, i) {
			return takers
		}
	}
	var all []int
	for n := m.To; n < m.To+m.width(); n++ {
		for _, other := range j.takers[m.Range][n] {
			if other != i {
				all = append(all, other)
			}
		}
	}
	return all
}

// tarjan finds strongly connected components.
type tarjan struct {
	next        func(int) []int
	number, low []int // in order of visit; 0: not visited
	on          []bool
	stack       []int
	visits      int
	rings       int // components of two and more
}

func (t *tarjan) visit(i int) {
	t.visits++
	t.number[i], t.low[i], t.on[i] = t.visits, t.visits, true
	t.stack = append(t.stack, i)
	for _, k := range t.next(i) {
		if t.number[k] == 0 {
			t.visit(k)
			t.low[i] = min(t.low[i], t.low[k])
		} else if t.on[k] {
			t.low[i] = min(t.low[i], t.number[k])
		}
	}
	if t.low[i] < t.number[i] {
		return
	}
	size := 1
	for k := t.pop(); k != i; k = t.pop() {
		size++
	}
	if size > 1 {
		t.rings++
	}
}

func (t *tarjan) pop() int {
	k := t.stack[len(t.stack)-1]
	t.stack = t.stack[:len(t.stack)-1]
	t.on[k] = false
	return k
}
