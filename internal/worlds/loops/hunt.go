package loops

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// Hunt looks for the state of a loop of any size that fails most, in volts or in the current of an end, with the facts
// as they stand. It finds no proof that none fails: what it finds refutes a claim of shown, what it does not find shows
// nothing. It looks at the breaks and shorts next to the panel and at as many others as it is told; where alarms are
// limited, it takes for each device those whose alarm costs it most. Loads of constant current it so ranks exactly.
func Hunt(l *Loop, others int, seed uint64) Failure {
	rng := rand.New(rand.NewPCG(seed, 40))
	worst := Failure{By: math.Inf(-1)}
	for _, volts := range l.volts() {
		for _, s := range l.likely(others, rng) {
			s.Volts = volts
			h := hunter{l, newPorts(l, s), s}
			h.state(func(f Failure) {
				if f.Limit != Carries && f.Limit != Holds && f.By > worst.By {
					worst = f
				}
			})
		}
	}
	return worst
}

// likely gives faults in which most fails.
func (l *Loop) likely(others int, rng *rand.Rand) []State {
	ring := -1
	for i := range l.Points {
		if l.Points[i].Spur < 0 {
			ring = i
		}
	}
	out := []State{{Fault: Healthy}, {Fault: Open, Stretch: 0}, {Fault: Open, Stretch: len(l.Points)}, {Fault: Short, Stretch: 0}}
	out = append(out, State{Fault: Short, Stretch: len(l.Points)}, State{Fault: Open, Stretch: ring}, State{Fault: Starting, Stage: l.Stages() - 1})
	all := l.Faults()
	for range others {
		out = append(out, all[rng.IntN(len(all))])
	}
	return out
}

type hunter struct {
	loop  *Loop
	ports *ports
	start State
}

// state tries the choices of alarms of a fault that hurt most: the current of the ends, and the ten devices that have
// least left.
func (h hunter) state(each func(Failure)) {
	h.loop.still(h.start, each)
	if h.start.Fault == Starting {
		h.try(h.start, each)
		return
	}
	even := make([]float64, len(h.ports.point))
	for k := range even {
		even[k] = 1
	}
	var left []Failure
	h.try(h.choose(even, h.ports.rest), func(f Failure) {
		each(f)
		if f.Limit == LeastVolts {
			left = append(left, f)
		}
	})
	slices.SortFunc(left, func(a, b Failure) int { return cmp.Compare(b.By, a.By) })
	for _, f := range left[:min(10, len(left))] {
		k := slices.Index(h.ports.point, f.Point)
		s := h.choose(h.ports.falls[k], h.ports.rest)
		if op, ok := h.ports.operate(h.loop.draws(s)); ok {
			s = h.choose(h.ports.falls[k], op)
		}
		h.try(s, each)
	}
}

// choose puts those in alarm whose alarm adds most, by the weight of an amp at each and the volts of an operation.
func (h hunter) choose(weight []float64, at Operation) State {
	adds := make([]float64, len(h.loop.Points))
	var who []int
	for k, i := range h.ports.point {
		p := &h.loop.Points[i]
		alarm, _ := p.Alarm.draw(at.Volts[i])
		rest, _ := p.Rest.draw(at.Volts[i])
		if adds[i] = weight[k] * (alarm - rest); adds[i] > 0 && !p.Junction {
			who = append(who, i)
		}
	}
	slices.SortFunc(who, func(a, b int) int { return cmp.Compare(adds[b], adds[a]) })
	if h.loop.AtOnce >= 0 {
		who = who[:min(h.loop.AtOnce, len(who))]
	}
	slices.Sort(who)
	s := h.start
	s.Alarms = who
	return s
}

func (h hunter) try(s State, each func(Failure)) {
	op, ok := h.ports.operate(h.loop.draws(s))
	if !ok {
		each(Failure{s, Operates, -1, "", math.Inf(1)})
		return
	}
	h.loop.margins(s, op, each)
}
