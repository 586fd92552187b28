package loops

import (
	"math"
	"slices"
)

// Fault is what is wrong in a state.
type Fault string

// The faults of a state.
const (
	Healthy   Fault = "healthy"
	Open      Fault = "open"       // both cores of a stretch
	OpenPlus  Fault = "open plus"  // one core
	OpenMinus Fault = "open minus" //
	Short     Fault = "short"      // the isolators next to it have opened
	Starting  Fault = "starting"   // after an interruption; every device draws the most that it can
)

// State is one of those that the verdict is about.
type State struct {
	Fault   Fault
	Stretch int     // of an open or short
	Stage   int     // of a start: see [Loop.Stages]
	Alarms  []int   // points in alarm; of a start none are named
	Volts   float64 // of the supply
}

// Limit is what must be kept in a state.
type Limit string

// The limits. A failure's By is in the unit that stands here.
const (
	LeastVolts Limit = "least volts"        // V, of a device
	OutLimit   Limit = "current of OUT"     // A
	InLimit    Limit = "current of IN"      // A
	Holds      Limit = "isolator holds"     // V, at a point
	Carries    Limit = "isolator carries"   // A, at a point
	Closes     Limit = "isolator closes"    // V, at a point
	Opens      Limit = "isolator opens"     // V, at a point
	Operates   Limit = "operating point"    // there is none; infinite
	Takes      Limit = "what a fault takes" // by a rule: see [Loop.Over]
)

// Failure is a limit that a state does not keep, or with a By below 0 how much is left to it.
type Failure struct {
	State State
	Limit Limit
	Point int // where it is about one, else -1
	Rule  Rule
	By    float64
}

// cut gives what is left of the cable in a state.
func (l *Loop) cut(s State) cut {
	c := l.whole()
	switch s.Fault {
	case Open:
		c.plus[s.Stretch], c.minus[s.Stretch] = false, false
	case OpenPlus:
		c.plus[s.Stretch] = false
	case OpenMinus:
		c.minus[s.Stretch] = false
	case Short:
		c = l.short(s.Stretch)
	case Starting:
		c = l.stageOf(s.Stage).cut
	}
	return c
}

// Solve gives the point of operation of a state; false where there is none.
func (l *Loop) Solve(s State) (Operation, bool) {
	return newNet(l, s.Volts, l.cut(s)).operate(l.draws(s))
}

// draws gives what each point draws in a state.
func (l *Loop) draws(s State) func(int, float64) (float64, float64) {
	return func(i int, v float64) (float64, float64) {
		p := &l.Points[i]
		if s.Fault == Starting {
			return p.most(v)
		}
		if slices.Contains(s.Alarms, i) {
			return p.Alarm.draw(v)
		}
		return p.Rest.draw(v)
	}
}

// most is the larger of what a point draws at rest and in alarm.
func (p *Point) most(v float64) (amps, slope float64) {
	amps, slope = p.Rest.draw(v)
	if a, s := p.Alarm.draw(v); a > amps {
		return a, s
	}
	return amps, slope
}

// margins passes on how every limit stands in a state, but for what is lost and whether isolators open and close,
// which do not depend on alarms.
func (l *Loop) margins(s State, op Operation, each func(Failure)) {
	for i := range l.Points {
		p := &l.Points[i]
		if math.IsNaN(op.Volts[i]) {
			continue
		}
		if !p.Junction && p.LeastVolts > 0 {
			each(Failure{s, LeastVolts, i, "", p.LeastVolts - op.Volts[i]})
		}
		if isolates := p.Before.Opens || p.After.Opens || p.Branch.Opens; isolates && p.Bounds.Holds > 0 && s.Fault != Starting {
			each(Failure{s, Holds, i, "", p.Bounds.Holds - op.Volts[i]})
		}
	}
	if l.Supply.Limit > 0 {
		each(Failure{s, OutLimit, -1, "", op.Out - l.Supply.Limit})
		each(Failure{s, InLimit, -1, "", op.In - l.Supply.Limit})
	}
	for stretch, amps := range op.Carried {
		a, b := l.Ends(stretch)
		atA, atB := l.sides(stretch)
		for _, end := range []struct {
			point int
			side  Side
		}{{a, atA}, {b, atB}} {
			if end.point >= 0 && end.side.Opens && l.Points[end.point].Bounds.Carries > 0 {
				each(Failure{s, Carries, end.point, "", math.Abs(amps) - l.Points[end.point].Bounds.Carries})
			}
		}
	}
}

// Check gives how a limit stands in a state that somebody names, with the loop's facts as they stand: By above 0 is a
// failure. Alarms of a start are not looked at.
func (l *Loop) Check(s State, limit Limit, point int, rule Rule) Failure {
	worst := Failure{State: s, Limit: limit, Point: point, Rule: rule, By: math.Inf(-1)}
	keep := func(f Failure) {
		if f.Limit == limit && f.Rule == rule && (f.Point == point || f.Point < 0) && f.By > worst.By {
			worst.By = f.By
		}
	}
	switch limit {
	case Takes, Opens, Closes:
		l.still(s, keep)
		return worst
	}
	op, ok := l.Solve(s)
	switch {
	case !ok:
		worst.By = math.Inf(1) // no limit is kept where nothing works
	case limit != Operates:
		l.margins(s, op, keep)
	}
	return worst
}
