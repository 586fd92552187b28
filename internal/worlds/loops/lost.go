package loops

import "math"

// Rule is a limit to what a single fault may take.
type Rule string

// The rules. How each was read stands beside it.
const (
	Rule32     Rule = "EN 54-2:1997 12.5.2: 32 detectors and call points"                          // from memory
	RuleThird  Rule = "buildings manual: one third of the elements of a network"                   // read
	RuleArea   Rule = "BS 5839-1:2025, one fault: 2000 m2"                                         // read on a wiki of practitioners
	RuleFloors Rule = "BS 5839-1:2025, one fault: one floor and 5 devices on the floors beside it" // read on a wiki of practitioners
	RuleZone   Rule = "NFPA 72 23.6.1 (2016 and later): one zone"                                  // from memory
)

// Over says by how much a rule is broken by what is lost: devices, share, square metres or zones; at most 0: kept.
func (l *Loop) Over(r Rule, lost []bool) float64 {
	switch r {
	case Rule32:
		return l.sum(lost, func(p *Point) float64 { return ones[p.Counted] }) - 32
	case RuleThird:
		all := float64(l.devices())
		return (l.sum(lost, func(*Point) float64 { return 1 }) - all/3) / all
	case RuleArea:
		return l.sum(lost, func(p *Point) float64 { return p.M2 }) - 2000
	case RuleZone:
		zones := map[string]bool{}
		l.sum(lost, func(p *Point) float64 {
			if p.Zone != "" {
				zones[p.Zone] = true
			}
			return 0
		})
		return float64(len(zones) - 1)
	}
	return l.floorsOver(lost)
}

var ones = map[bool]float64{true: 1}

func (l *Loop) sum(lost []bool, of func(*Point) float64) float64 {
	total := 0.0
	for i := range l.Points {
		if p := &l.Points[i]; lost[i] && !p.Junction {
			total += of(p)
		}
	}
	return total
}

// floorsOver is how many devices are lost too many, the floor that is lost whole being chosen best.
func (l *Loop) floorsOver(lost []bool) float64 {
	on := map[int]float64{}
	l.sum(lost, func(p *Point) float64 {
		if p.Floor != NoFloor {
			on[p.Floor]++
		}
		return 0
	})
	best := math.Inf(1)
	for whole := range on {
		over := 0.0
		for floor, n := range on {
			switch floor - whole {
			case 0:
			case 1, -1:
				over += max(0, n-5)
			default:
				over += n
			}
		}
		best = min(best, over)
	}
	if len(on) == 0 {
		return 0
	}
	return best
}

// cut is what a fault leaves of the cable: which stretches carry on each core, and which isolators opened.
type cut struct {
	plus, minus []bool // by stretch: whole
	opened      []opened
}

// opened is an isolator that must open: at a point, on the dead stretch before or behind it.
type opened struct{ point, stretch int }

func (l *Loop) whole() cut {
	c := cut{make([]bool, l.Stretches()), make([]bool, l.Stretches()), nil}
	for s := range c.plus {
		c.plus[s], c.minus[s] = true, true
	}
	return c
}

// short takes out what lies between the isolators next to a shorted stretch.
func (l *Loop) short(stretch int) cut {
	c := l.whole()
	l.spread(&c, stretch, math.MinInt)
	return c
}

// spread has the short go along a stretch that it reached from a point, and on at both its ends as far as no isolator opens.
func (l *Loop) spread(c *cut, stretch, from int) {
	c.plus[stretch], c.minus[stretch] = false, false
	a, b := l.Ends(stretch)
	atA, atB := l.sides(stretch)
	l.reach(c, stretch, a, atA, from)
	l.reach(c, stretch, b, atB, from)
}

func (l *Loop) reach(c *cut, stretch, point int, side Side, from int) {
	if point == from || point < 0 {
		return
	}
	if side.Opens {
		c.opened = append(c.opened, opened{point, stretch})
		return
	}
	for next := range l.Stretches() {
		if next == stretch || !c.plus[next] {
			continue
		}
		a, b := l.Ends(next)
		atA, atB := l.sides(next)
		if a == point {
			l.pass(c, next, point, atA)
		} else if b == point {
			l.pass(c, next, point, atB)
		}
	}
}

// pass has a dead point take the stretch beyond with it, unless the isolator between them opens.
func (l *Loop) pass(c *cut, next, point int, side Side) {
	if side.Opens {
		c.plus[next], c.minus[next] = false, false // whole up to its isolator, where nothing hangs
		c.opened = append(c.opened, opened{point, next})
		return
	}
	l.spread(c, next, point)
}

// fed says which points a core reaches from either end of the panel.
func (l *Loop) fed(whole []bool) []bool {
	at := make([]bool, len(l.Points))
	for again := true; again; {
		again = false
		for s, ok := range whole {
			a, b := l.Ends(s)
			if !ok || a >= 0 && b >= 0 && at[a] == at[b] {
				continue
			}
			for _, p := range []int{a, b} {
				if p >= 0 && !at[p] {
					at[p], again = true, true
				}
			}
		}
	}
	return at
}

// lost says which points have not both cores.
func (l *Loop) lost(c cut) []bool {
	plus, minus := l.fed(c.plus), l.fed(c.minus)
	for i := range plus {
		plus[i] = !plus[i] || !minus[i]
	}
	return plus
}
