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
// isolators lies no more than the rules allow one fault to take, and no more cable than leaves a short at its far end few enough
// volts for each of the two to open, as iso is declared to; where no set does that, the rules alone are kept. Of all sets of the fewest, one whose stretches are the most
// even is tried first, then those nearest to OUT and to IN; judge gives the verdict of the loop with such a set, and the first one shown
// is taken, or else the first that comes furthest.
func (l *Loop) IsolatorSet(rules []Rule, iso Isolator, judge func(at []int) (*Loop, *Verdict, error)) (*IsolatorSet, error) {
	bare := l.clone()
	bare.Isolators = nil
	c, err := New(bare)
	if err != nil {
		return nil, err
	}
	p := newIsolatorPlan(c, rules)
	p.trips = c.tripping(&iso)
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

// EveryIsolator is the set of isolators at all those points, of a loop that has them, with its verdict.
func EveryIsolator(l *Loop, at []int, v *Verdict) (*IsolatorSet, error) {
	c, err := New(*l)
	if err != nil {
		return nil, err
	}
	set := &IsolatorSet{At: at, Verdict: v}
	set.Worst, _ = c.shortLoss()
	set.Reason = fmt.Sprintf("%s, one in every base; the worst short takes %s", count(len(at), "isolator"), count(set.Worst, "device"))
	return set, nil
}

// rank orders verdicts: shown before not shown, and that before what fails.
func (v *Verdict) rank() int { return slices.Index([]Standing{Failing, NotShown, Shown}, v.Says) }

func (s *IsolatorSet) reason(p *isolatorPlan) string {
	text := fmt.Sprintf("%s; the worst short takes %s", count(len(s.At), "isolator"), count(s.Worst, "device"))
	switch {
	case p.stuck:
		return text + "; what hangs from one point is more than a rule allows, and no isolator in a base of the ring mends that"
	case p.shy:
		return text + "; no set of them keeps the rules with each sure to open"
	case len(s.At) > p.least:
		return fmt.Sprintf("%s; the rules alone ask for %d, and with more each is sure to open", text, p.least)
	case len(s.At) == 0:
		return text + "; no rule that the site goes by, about one fault, asks for any"
	}
	return text + ", and no fewer in bases keep the rules"
}

// isolatorPlan knows which positions of the ring may be lost together, and which may have an isolator.
type isolatorPlan struct {
	n     int
	may   [][]bool                // from position i on, so many positions more than one
	bears []bool                  // what hangs from the position may be lost with it
	stuck bool                    // no isolators in bases of the ring keep the rules
	least int                     // how many the rules alone ask for
	trips func(from, to int) bool // isolators at both, OUT being -1 and IN n, open for any short between them; nil: not judged
	shy   bool                    // no set keeps the rules with each sure to open
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

// tripping gives what tells whether two isolators that follow each other open for any short between them: the volts of each
// with the short at the other, nothing drawn, and all resistance of other isolators left out, which leaves the most.
func (c *Circuit) tripping(iso *Isolator) func(from, to int) bool {
	if iso.Opens <= 0 {
		return nil
	}
	n := len(c.ring)
	before := make([]float64, n+2) // ohms of both cores from the source of OUT to each position; the last: to that of IN
	for k := range c.branch {
		before[k+1] = before[k] + c.branch[k].plus + c.branch[k].minus
	}
	ohms, whole := float64(iso.Plus+iso.Minus), before[n+1]
	opens := func(behind, between float64) bool {
		return c.top*between/(behind+between) <= float64(iso.Opens)
	}
	return func(from, to int) bool {
		between := before[to+1] - before[from+1] + ohms
		return (from < 0 || opens(before[from+1], between)) && (to >= n || opens(whole-before[to+1], between))
	}
}

// sets lists sets of positions, each as few as can be: the most even, those nearest to OUT and those nearest to IN. Where none
// keeps the rules there is one, of all positions.
func (p *isolatorPlan) sets() [][]int {
	even := func(from, at int) int { return (at - from) * (at - from) }
	rules := *p
	rules.trips = nil
	alone, ok := rules.fewest(even)
	if p.least = len(alone); !ok {
		p.stuck = true
		all := make([]int, p.n)
		for k := range all {
			all[k] = k
		}
		return [][]int{all}
	}
	if _, ok := p.fewest(even); !ok {
		p.shy, p.trips = true, nil
	}
	var list [][]int
	for _, costs := range []func(from, at int) int{even, func(_, at int) int { return at }, func(_, at int) int { return -at }} {
		at, _ := p.fewest(costs)
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
			if best[from].isolators == math.MaxInt || from < i-1 && !p.may[from][i-2-from] || p.trips != nil && !p.trips(from-1, i-1) {
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
