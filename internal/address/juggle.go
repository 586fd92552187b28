package address

import (
	"slices"

	"sootline"
)

// nobody stands where there is no device.
const nobody = -1

// juggler holds a loop while its devices are set one by one.
//
// What it relies on: no two goals overlap, and nothing is ever parked on the
// goal of another, so that a device whose goal is free keeps it free, and that
// whoever stands on a goal still has to move.
type juggler struct {
	span    Span
	open    *room // what the rules of the loop allow
	moves   []Move
	at      []int      // where each device answers now; 0: off the loop
	takers  [2][][]int // who answers to a number, by range
	goals   [2][]int   // who is to have a number, or nobody
	moving  []int      // the devices that move, in the order given
	blocked []bool     // it moves, and its goal is not free yet
	ready   []int      // devices whose goals are free, first come first
	unset   int        // how many devices are at the unset number
	vacant  [2]int     // numbers that the rules allow and that nobody answers to
	parked  [2]int     // where a device was parked last
	path    []int      // working space of ring
	met     []int      // the same: the turn of a device on the path, from 1
	steps   []Step
}

func newJuggler(s Span, moves []Move) *juggler {
	moves = slices.Clone(moves)
	top := s.Last
	for i := range moves {
		m := &moves[i]
		if m.To == 0 && !s.isUnset(m.From) {
			m.To = m.From
		}
		if !s.Separate {
			m.Range = Sensors
		}
		top = max(top, m.From+m.width(), m.To+m.width())
	}
	j := &juggler{span: s, open: newRoom(s), moves: moves, at: make([]int, len(moves)), blocked: make([]bool, len(moves)), met: make([]int, len(moves))}
	for r := range j.takers {
		j.takers[r] = make([][]int, top+1)
		one := make([]int, top+1) // room for one taker each; two are rare
		for n := range j.takers[r] {
			j.takers[r][n] = one[n : n : n+1]
		}
		j.goals[r] = slices.Repeat([]int{nobody}, top+1)
		j.vacant[r] = s.Numbers()
	}
	for i, m := range moves {
		j.put(i, m.From)
		if m.To != m.From && m.To != 0 {
			j.moving = append(j.moving, i)
			j.blocked[i] = true
		}
	}
	return j
}

func (s Span) isUnset(n int) bool { return s.Unset > 0 && n == s.Unset }

// claim writes down who is to have which number.
func (j *juggler) claim() error {
	for i, m := range j.moves {
		if m.To == 0 || j.span.isUnset(m.To) {
			continue
		}
		goals := j.goals[m.Range]
		for n := m.To; n < m.To+m.width(); n++ {
			if other := goals[n]; other != nobody {
				if m.To == m.From && j.moves[other].To == j.moves[other].From {
					continue // both stay where they are, and nobody comes there
				}
				return sootline.Errorf(sootline.Conflict, "plan the loop first",
					"devices %d and %d of the change are both to have number %d", other+1, i+1, n)
			}
			goals[n] = i
		}
	}
	return nil
}

// run makes the steps: whoever can reach its goal does; where nobody can,
// somebody is parked.
func (j *juggler) run() {
	j.wake(j.moving)
	for first := 0; ; {
		for len(j.ready) > 0 {
			i := j.ready[0]
			j.ready = j.ready[1:]
			j.step(i, j.moves[i].To, Set)
		}
		for first < len(j.moving) && !j.blocked[j.moving[first]] {
			first++
		}
		if first == len(j.moving) {
			return
		}
		j.part(j.moving[first])
	}
}

// step sets a device, and wakes those that waited for it to go.
func (j *juggler) step(i, to int, kind StepKind) {
	from, m := j.at[i], &j.moves[i]
	j.steps = append(j.steps, Step{Device: i, Kind: kind, From: from, To: to})
	j.leave(i)
	j.put(i, to)
	if goals := j.goals[m.Range]; from > 0 && from < len(goals) { // the number of one that is not set may lie beyond all goals
		j.wake(goals[from:min(from+m.width(), len(goals))])
	}
}

// wake makes ready those of the devices whose goals have become free.
func (j *juggler) wake(devices []int) {
	for _, i := range devices {
		if i != nobody && j.blocked[i] && j.blocker(i) == nobody {
			j.blocked[i] = false
			j.ready = append(j.ready, i)
		}
	}
}

// blocker gives a device that stands on the goal of another, or nobody.
func (j *juggler) blocker(i int) int {
	m := &j.moves[i]
	for n := m.To; n < m.To+m.width(); n++ {
		for _, other := range j.takers[m.Range][n] {
			if other != i {
				return other
			}
		}
	}
	return nobody
}

// put makes a device answer at n.
func (j *juggler) put(i, n int) {
	j.at[i] = n
	switch m := &j.moves[i]; {
	case n == 0:
	case j.span.isUnset(n):
		j.unset++
	default:
		takers := j.takers[m.Range]
		for k := n; k < n+m.width(); k++ {
			takers[k] = append(takers[k], i)
			if len(takers[k]) == 1 && j.open.fits(k, 1) {
				j.vacant[m.Range]--
			}
		}
	}
}

// leave takes a device from the numbers that it answers to.
func (j *juggler) leave(i int) {
	switch m, n := &j.moves[i], j.at[i]; {
	case n == 0:
	case j.span.isUnset(n):
		j.unset--
	default:
		takers := j.takers[m.Range]
		for k := n; k < n+m.width(); k++ {
			at := slices.Index(takers[k], i)
			takers[k] = slices.Delete(takers[k], at, at+1)
			if len(takers[k]) == 0 && j.open.fits(k, 1) {
				j.vacant[m.Range]++
			}
		}
	}
}
