package loops

import "math"

// still passes on what of a state's limits does not depend on alarms: what it takes, whether isolators open towards a
// short, and whether they close again while the loop starts.
func (l *Loop) still(s State, each func(Failure)) {
	switch s.Fault {
	case Open, Short, OpenPlus, OpenMinus:
		lost := l.lost(l.cut(s))
		for _, r := range l.Rules {
			each(Failure{s, Takes, -1, r, l.Over(r, lost)})
		}
		if s.Fault == Short {
			l.opens(s, each)
		}
	case Starting:
		l.closes(s, each)
	}
}

// opens passes on how far above its bound an isolator next to a short has its volts. The short has no ohms, every
// isolator is still closed, and loads are left out, since no model of a load holds there; so is the limit of the ends.
// Of the places on the stretch the one counts that leaves most volts.
func (l *Loop) opens(s State, each func(Failure)) {
	for _, iso := range l.cut(s).opened {
		bound := l.Points[iso.point].Bounds.Opens
		if bound == 0 {
			continue
		}
		worst := math.Inf(-1)
		for _, place := range []float64{1e-6, 1 - 1e-6} {
			worst = max(worst, l.shorted(s, place)[iso.point]-bound)
		}
		each(Failure{s, Opens, iso.point, "", worst})
	}
}

// shorted gives the volts of each point without loads while the cores touch at a place on a stretch, from 0 to 1.
func (l *Loop) shorted(s State, place float64) []float64 {
	n := newNet(l, s.Volts, l.whole())
	at := n.nodes // the node at which both cores touch
	n.nodes++
	kept := n.links[:0:0]
	for _, k := range n.links {
		if k.stretch != s.Stretch {
			kept = append(kept, k)
			continue
		}
		kept = append(kept,
			link{k.stretch, k.minus, k.a, at, k.siemens / place},
			link{k.stretch, k.minus, at, k.b, k.siemens / (1 - place)})
	}
	n.links = kept
	g, x := n.build()
	if !g.solve(x) {
		return make([]float64, len(l.Points))
	}
	return n.read(x).Volts
}

// Faults gives every state but for its alarms and volts: healthy, every single open and short, every stage of a start.
func (l *Loop) Faults() []State {
	out := []State{{Fault: Healthy}}
	for s := range l.Stretches() {
		out = append(out, State{Fault: Open, Stretch: s}, State{Fault: Short, Stretch: s})
		if l.OneCore {
			out = append(out, State{Fault: OpenPlus, Stretch: s}, State{Fault: OpenMinus, Stretch: s})
		}
	}
	for k := range l.Stages() {
		out = append(out, State{Fault: Starting, Stage: k})
	}
	return out
}

// Breaches gives of each rule of the site the single open or short that breaks it most; for a loop of any size.
func (l *Loop) Breaches() []Failure {
	worst := map[Rule]Failure{}
	for _, s := range l.Faults() {
		if s.Fault == Open || s.Fault == Short {
			s.Volts = l.Supply.Low
			lost := l.lost(l.cut(s))
			for _, r := range l.Rules {
				if by := l.Over(r, lost); by > worst[r].By {
					worst[r] = Failure{s, Takes, -1, r, by}
				}
			}
		}
	}
	var out []Failure
	for _, r := range l.Rules {
		if worst[r].By > 0 {
			out = append(out, worst[r])
		}
	}
	return out
}
