package circuit

import (
	"fmt"
	"math"
	"slices"
)

// IsolatorSet is where isolators in bases go so that the rules of a site are kept with as few of them as can be.
type IsolatorSet struct {
	At      []int // points of the ring, by index, in cable order; each has an isolator in its base
	Verdict *Verdict
	Worst   int // devices that the worst short takes
	Reason  string
}

// IsolatorSet plans the isolators of a loop anew, whatever it has; each goes in the base of a point on the ring. Between two
// isolators lies no more than the rules allow one fault to take. Of all sets of the fewest, one whose stretches are the most
// even is tried first, then those nearest to OUT and to IN; judge gives the verdict of the loop with such a set, and the first one shown
// is taken, or else the first that comes furthest. More isolators never leave more volts.
func (l *Loop) IsolatorSet(rules []Rule, judge func(at []int) (*Loop, *Verdict, error)) (*IsolatorSet, error) {
	bare := l.clone()
	bare.Isolators = nil
	c, err := New(bare)
	if err != nil {
		return nil, err
	}
	p := newIsolatorPlan(c, rules)
	var best *IsolatorSet
	for _, positions := range p.sets() {
		set := &IsolatorSet{}
		for _, k := range positions {
			set.At = append(set.At, c.ring[k])
		}
		with, v, err := judge(set.At)
		if err != nil {
			return nil, err
		}
		set.Verdict = v
		if best == nil || v.rank() > best.Verdict.rank() {
			solved, err := New(*with)
			if err != nil {
				return nil, err
			}
			set.Worst, _ = solved.shortLoss()
			best = set
		}
		if v.Says == Shown {
			break
		}
	}
	best.Reason = best.reason(p)
	return best, nil
}

// rank orders verdicts: shown before not shown, and that before what fails.
func (v *Verdict) rank() int { return slices.Index([]Standing{Failing, NotShown, Shown}, v.Says) }

func (s *IsolatorSet) reason(p *isolatorPlan) string {
	text := fmt.Sprintf("%s; the worst short takes %s", count(len(s.At), "isolator"), count(s.Worst, "device"))
	switch {
	case p.stuck:
		return text + "; what hangs from one point is more than a rule allows, and no isolator in a base of the ring mends that"
	case len(s.At) == 0:
		return text + "; no rule about one fault asks for any"
	}
	return text + ", and no fewer in bases keep the rules"
}

// isolatorPlan knows which positions of the ring may be lost together, and which may have an isolator.
type isolatorPlan struct {
	n     int
	may   [][]bool // from position i on, so many positions more than one
	bears []bool   // what hangs from the position may be lost with it
	stuck bool     // no isolators in bases of the ring keep the rules
}

func newIsolatorPlan(c *Circuit, rules []Rule) *isolatorPlan {
	p := &isolatorPlan{n: len(c.ring), bears: slices.Repeat([]bool{true}, len(c.ring))}
	var one []Rule
	for _, r := range rules {
		if r.Faults == 1 {
			one = append(one, r)
		}
	}
	for i := range p.n {
		may := make([]bool, p.n-i)
		for k := range may {
			may[k] = allows(one, c.lost(&cut{out: i, in: i + k + 1}))
		}
		p.may = append(p.may, may)
	}
	for s := range c.spurs {
		at := c.spurs[s].at
		p.bears[at] = p.bears[at] && p.may[at][0]
		for k := range c.spurs[s].points { // a break of the spur takes what lies behind it, whatever isolators there are
			left := c.whole()
			left.fed = c.allFed()
			left.fed[s] = k
			p.stuck = p.stuck || !allows(one, c.lost(&left))
		}
	}
	return p
}

// allows reports whether rules for one fault allow a loss.
func allows(rules []Rule, loss Loss) bool {
	for i := range rules {
		if len(rules[i].Breaks(&loss)) > 0 {
			return false
		}
	}
	return true
}

// sets lists sets of positions, each as few as can be: the most even, those nearest to OUT and those nearest to IN. Where none
// keeps the rules there is one, of all positions.
func (p *isolatorPlan) sets() [][]int {
	var list [][]int
	for _, costs := range []func(from, at int) int{
		func(from, at int) int { return (at - from) * (at - from) },
		func(_, at int) int { return at },
		func(_, at int) int { return -at },
	} {
		at, ok := p.fewest(costs)
		if !ok {
			p.stuck = true
			for k := range p.n {
				at = append(at, k)
			}
		}
		if !slices.ContainsFunc(list, func(known []int) bool { return slices.Equal(known, at) }) {
			list = append(list, at)
		}
	}
	return list
}

// fewest gives of all sets that keep the rules one with the fewest isolators, and of those with the least sum of costs, each
// of a stretch from its first position to the isolator behind it, or to IN. It is the shortest way from OUT to IN.
func (p *isolatorPlan) fewest(costs func(from, at int) int) (set []int, ok bool) {
	type way struct{ isolators, cost, from int }
	best := make([]way, p.n+2) // to the isolator at position i-1; 0: OUT, n+1: IN
	for i := 1; i <= p.n+1; i++ {
		best[i] = way{isolators: math.MaxInt}
		if i <= p.n && !p.bears[i-1] {
			continue
		}
		for from := range i {
			if best[from].isolators == math.MaxInt || from < i-1 && !p.may[from][i-2-from] {
				continue
			}
			w := way{best[from].isolators + 1, best[from].cost + costs(from, i-1), from}
			if w.isolators < best[i].isolators || w.isolators == best[i].isolators && w.cost < best[i].cost {
				best[i] = w
			}
		}
	}
	if best[p.n+1].isolators == math.MaxInt {
		return nil, false
	}
	for i := best[p.n+1].from; i > 0; i = best[i].from {
		set = append(set, i-1)
	}
	slices.Reverse(set)
	return set, true
}
