package loops

import "slices"

// forget takes one to four facts away, each bounded or not.
func (m maker) forget() {
	l := m.loop
	for range 1 + m.IntN(4) {
		f := m.fact()
		if f.Kind == "" || slices.ContainsFunc(l.Missing, func(g Fact) bool { return g.Kind == f.Kind && g.At == f.At }) {
			continue
		}
		l.Missing = append(l.Missing, f)
	}
}

// fact draws a fact to be missing: its safe side is the number that stands in the loop, or something better.
func (m maker) fact() Fact {
	at := m.IntN(len(m.loop.Points))
	p := &m.loop.Points[at]
	more := m.between(1.02, 1.6)
	bounded := m.IntN(3) > 0
	f := Fact{At: at, Bounded: bounded}
	switch m.IntN(8) {
	case 0:
		return m.supplyFact(more, bounded)
	case 1, 2:
		f.At = m.IntN(m.loop.Stretches())
		f.Kind = Metres
		c := m.loop.Return
		if f.At < len(m.loop.Points) {
			c = m.loop.Points[f.At].Cable
		}
		if c.Plus > 0 || c.Minus > 0 {
			return Fact{}
		}
		return sides(f, c.Metres, c.Metres*more, 1e6)
	case 7:
		return m.isolatorFact(more, bounded)
	}
	if p.Junction {
		return Fact{}
	}
	switch m.IntN(6) {
	case 0, 1:
		f.Kind = AlarmDraw
		return sides(f, p.Alarm.Value, p.Alarm.scaled(more).Value, p.Alarm.scaled(1e5).Value)
	case 2:
		f.Kind = RestDraw
		return sides(f, p.Rest.Value, p.Rest.scaled(more).Value, p.Rest.scaled(1e6).Value)
	case 3:
		f.Kind = LeastOf
		return sides(f, p.LeastVolts, p.LeastVolts+m.between(0.2, 3), 1e6)
	case 4:
		f.Kind = SquareMetres
		return sides(f, p.M2, p.M2*more*2, 1e9)
	}
	f.Kind, f.Bounded = []FactKind{ZoneOf, FloorOf}[m.IntN(2)], false
	return f
}

func (m maker) supplyFact(more float64, bounded bool) Fact {
	s := m.loop.Supply
	f := Fact{Bounded: bounded}
	switch m.IntN(3) {
	case 0:
		f.Kind = LowVolts
		return sides(f, s.Low, s.Low/min(more, 1.2), 0.1)
	case 1:
		f.Kind = SourceOhms
		return sides(f, s.Source, s.Source*more+0.1, 1e6)
	}
	if s.Limit == 0 {
		return Fact{}
	}
	f.Kind = LimitAmps
	return sides(f, s.Limit, s.Limit/more, 1e-9)
}

func (m maker) isolatorFact(more float64, bounded bool) Fact {
	for i := range m.loop.Points {
		p := &m.loop.Points[i]
		for _, s := range []Side{p.Before, p.After, p.Branch} {
			if s.Opens && m.taste.BaseTo == 0.5 { // else a base's two sides have not the same ohms
				return sides(Fact{Kind: IsolatorOhms, Bounded: bounded}, s.Ohm, s.Ohm*more, 1e6)
			}
		}
	}
	return Fact{}
}

// sides gives a fact its sides: unbounded, its unsafe side is so far away that whatever hangs on it fails.
func sides(f Fact, safe, unsafe, far float64) Fact {
	f.Safe, f.Unsafe = safe, unsafe
	if !f.Bounded {
		f.Unsafe = far
	}
	return f
}
