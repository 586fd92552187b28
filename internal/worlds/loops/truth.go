package loops

import (
	"math"
	"math/bits"
)

// Says is what a verdict says.
type Says string

// The three verdicts.
const (
	Shown    Says = "shown"
	NotShown Says = "not shown"
	Fails    Says = "fails"
)

// Most is how many points a loop may have whose every choice of alarms is gone through.
const Most = 9

// Truth is what is so of a small loop.
type Truth struct {
	Says    Says
	Failing []Failure // of each fault, limit, point and rule that is not kept, the worst; of NotShown, at the unsafe side
	Worst   Failure   // what is nearest to failing in volts, or fails most
	Near    bool      // a limit is kept or missed by less than a solver can tell, and none is missed by more
	States  int       // how many were solved
	Alone   []Fact    // of NotShown: the facts each of which, at its safe side, settles it alone
}

// near is what two solvers may differ by, in V and A.
const near = 1e-6

// Judge goes through every state: with all missing facts at their safe side (what fails there fails), and at their
// unsafe side (what fails nowhere there is shown).
func Judge(l *Loop) Truth {
	if len(l.Missing) == 0 {
		return l.sweep()
	}
	if t := l.Settled(l.Missing).sweep(); t.Says == Fails {
		return t
	}
	t := l.unsafe(nil)
	if t.Says == Shown {
		return t
	}
	t.Says = NotShown
	for _, f := range l.Missing {
		if l.unsafe([]Fact{f}).Says == Shown {
			t.Alone = append(t.Alone, f)
		}
	}
	return t
}

// unsafe judges with some of the missing facts at their safe side and the others at their unsafe one. Of ohms both
// sides are tried, since less of them is more current through constant resistances.
func (l *Loop) unsafe(safe []Fact) Truth {
	long := l.Settled(safe).sweep()
	ohms := append([]Fact{}, safe...)
	for _, f := range l.Missing {
		if f.Kind == Metres || f.Kind == SourceOhms || f.Kind == IsolatorOhms {
			ohms = append(ohms, f)
		}
	}
	if len(ohms) == len(safe) || long.Says == Fails {
		return long
	}
	short := l.Settled(ohms).sweep()
	short.States += long.States
	if short.Says == Shown && long.Worst.By > short.Worst.By {
		short.Worst = long.Worst
	}
	short.Near = short.Says == Shown && long.Near || short.Near
	return short
}

// sweep goes through every state of a loop whose facts count as they stand.
type sweep struct {
	loop   *Loop
	truth  Truth
	at     map[failureKey]int // in truth.Failing
	isNear bool
	clear  bool // a limit is missed by more than near
}

type failureKey struct {
	fault        Fault
	stretch, now int
	limit        Limit
	point        int
	rule         Rule
}

func (l *Loop) sweep() Truth {
	w := sweep{loop: l, at: map[failureKey]int{}, truth: Truth{Says: Shown, Worst: Failure{By: math.Inf(-1)}}}
	for _, v := range l.volts() {
		for _, s := range l.Faults() {
			s.Volts = v
			w.fault(s)
		}
	}
	w.truth.Near = w.isNear && !w.clear
	return w.truth
}

// volts gives the supplies at which limits are looked at: constant resistances draw most at the highest.
func (l *Loop) volts() []float64 {
	if l.Supply.High > l.Supply.Low {
		return []float64{l.Supply.Low, l.Supply.High}
	}
	return []float64{l.Supply.Low}
}

// fault solves a fault with every choice of alarms.
func (w *sweep) fault(s State) {
	w.loop.still(s, w.note)
	p := newPorts(w.loop, s)
	if s.Fault == Starting {
		worst := w.solve(p, s, w.loop.draws(s), nil)
		w.noteAll(worst)
		return
	}
	var free []int // who may be in alarm, and is not lost
	for _, i := range p.point {
		if w.loop.Points[i].Alarm != w.loop.Points[i].Rest {
			free = append(free, i)
		}
	}
	most := w.loop.AtOnce
	if most < 0 {
		most = len(free)
	}
	var worst []Failure
	in := make([]bool, len(w.loop.Points))
	for mask := range uint(1) << len(free) {
		if bits.OnesCount(mask) > most {
			continue
		}
		s.Alarms = nil
		for k, i := range free {
			if in[i] = mask>>k&1 == 1; in[i] {
				s.Alarms = append(s.Alarms, i)
			}
		}
		worst = w.solve(p, s, func(i int, v float64) (float64, float64) {
			if in[i] {
				return w.loop.Points[i].Alarm.draw(v)
			}
			return w.loop.Points[i].Rest.draw(v)
		}, worst)
	}
	w.noteAll(worst)
}

// solve keeps of each margin of a fault the worst. They come in one order whatever the alarms.
func (w *sweep) solve(p *ports, s State, draw func(int, float64) (float64, float64), worst []Failure) []Failure {
	w.truth.States++
	op, ok := p.operate(draw)
	if !ok {
		w.note(Failure{s, Operates, -1, "", math.Inf(1)})
		return worst
	}
	k := 0
	w.loop.margins(s, op, func(f Failure) {
		if k == len(worst) {
			worst = append(worst, f)
		}
		if f.By > worst[k].By {
			worst[k] = f
		}
		k++
	})
	return worst
}

func (w *sweep) noteAll(of []Failure) {
	for _, f := range of {
		w.note(f)
	}
}

func (w *sweep) note(f Failure) {
	if f.Limit == LeastVolts && f.By > w.truth.Worst.By {
		w.truth.Worst = f
	}
	if f.Limit != Takes {
		w.isNear = w.isNear || math.Abs(f.By) < near
	}
	w.clear = w.clear || f.By > near
	if f.By <= 0 {
		return
	}
	w.truth.Says = Fails
	key := failureKey{f.State.Fault, f.State.Stretch, f.State.Stage, f.Limit, f.Point, f.Rule}
	k, known := w.at[key]
	switch {
	case !known:
		w.at[key] = len(w.truth.Failing)
		w.truth.Failing = append(w.truth.Failing, f)
	case f.By > w.truth.Failing[k].By:
		w.truth.Failing[k] = f
	}
}
