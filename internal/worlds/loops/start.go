package loops

import "math"

// Stage is a moment while the loop comes back: what is closed, and which isolators are to close next.
type Stage struct {
	cut  cut
	next []opened
}

// Stages counts the stages of a start. Volts come from both ends; on the ring the isolators close one after another from
// each end, in any order between the ends, so that every pair of how far OUT and IN have come is a stage. A spur's
// isolators close as soon as their point is fed. The last stage is the closed ring; of [StartWhole] it is the only one.
func (l *Loop) Stages() int {
	if l.Start != StartStepwise {
		return 1
	}
	n := len(l.ringIsolators())
	return n*(n+1)/2 + 1
}

// stageOf gives a stage by its number.
func (l *Loop) stageOf(k int) Stage {
	if k == l.Stages()-1 {
		return Stage{cut: l.whole()}
	}
	ring := l.ringIsolators()
	a := 0
	for ; k >= len(ring)-a; a++ {
		k -= len(ring) - a
	}
	return l.stage(ring, a, a+k)
}

// ringIsolators gives the isolators of the ring in the order from OUT to IN.
func (l *Loop) ringIsolators() []opened {
	var out []opened
	for s := range l.Stretches() {
		a, b := l.Ends(s)
		if s < len(l.Points) && l.Points[s].Spur >= 0 {
			continue
		}
		atA, atB := l.sides(s)
		if a >= 0 && atA.Opens {
			out = append(out, opened{a, s})
		}
		if b >= 0 && atB.Opens {
			out = append(out, opened{b, s})
		}
	}
	return out
}

// stage has the isolators from a to b still open: those before a have closed from OUT, those after b from IN. Their
// stretches are taken out whole, since beyond an open isolator a stretch is fed to no point.
func (l *Loop) stage(ring []opened, a, b int) Stage {
	c := l.whole()
	for _, gap := range ring[a : b+1] {
		c.plus[gap.stretch], c.minus[gap.stretch] = false, false
	}
	next := []opened{ring[a]}
	if b > a {
		next = append(next, ring[b])
	}
	return Stage{c, next}
}

// closes passes on how far above its bound an isolator has its volts when it is to close.
func (l *Loop) closes(s State, each func(Failure)) {
	stage := l.stageOf(s.Stage)
	op, ok := l.Solve(s)
	for _, next := range stage.next {
		bound := l.Points[next.point].Bounds.Closes
		if bound == 0 || !ok {
			continue
		}
		each(Failure{s, Closes, next.point, "", bound - l.before(op, s.Volts, next)})
	}
}

// before gives the volts on the fed side of an open isolator: those of its point, or where the point lies behind it, of
// the point at the other end of its stretch, since the stretch carries nothing.
func (l *Loop) before(op Operation, supply float64, at opened) float64 {
	a, b := l.Ends(at.stretch)
	best := math.Inf(-1)
	for _, p := range []int{a, b} {
		v := supply
		if p >= 0 {
			v = op.Volts[p]
		}
		if !math.IsNaN(v) {
			best = max(best, v)
		}
	}
	return best
}
