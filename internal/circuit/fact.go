package circuit

import (
	"fmt"
	"slices"
)

// FactKind is a kind of fact that may not be known of a loop.
type FactKind string

// The kinds of fact.
const (
	LowVoltsFact     FactKind = "the volts of the low battery"
	HighVoltsFact    FactKind = "the highest volts of the supply"
	SourceFact       FactKind = "the resistance in the panel"
	EndLimitFact     FactKind = "what an end can give"
	MetresFact       FactKind = "metres of cable"
	SectionFact      FactKind = "the cross-section of the cable"
	WarmthFact       FactKind = "the temperature of the cable"
	RestFact         FactKind = "what devices draw at rest"
	AlarmFact        FactKind = "what devices draw in alarm"
	LeastFact        FactKind = "least working volts of devices"
	IsolatorOhmsFact FactKind = "the resistance of closed isolators"
	HoldsFact        FactKind = "the volts above which isolators stay closed"
	OpensFact        FactKind = "the volts below which isolators open"
	ClosesFact       FactKind = "the volts above which isolators close again"
	CarriesFact      FactKind = "the current that isolators carry"
	ZoneFact         FactKind = "zones"
	FloorFact        FactKind = "floors"
	AreaFact         FactKind = "square metres"
	LevelFact        FactKind = "which floors lie beside each other"
	RulesFact        FactKind = "the rules that the site goes by"
)

// Fact is one that nobody knows, of some points or cables. Safe and Unsafe are the two sides between which it lies where
// it is bounded; where it is not, Unsafe is one at which whatever hangs on it fails.
type Fact struct {
	Kind         FactKind
	At           []int // points, or cables by their segment; nil: of the loop as a whole
	Safe, Unsafe float64
	Bounded      bool
	Taken        string // what stands in the loop meanwhile, in words; empty: nothing does
}

// OfCables reports whether At names cables.
func (f *Fact) OfCables() bool {
	return f.Kind == MetresFact || f.Kind == SectionFact || f.Kind == WarmthFact
}

// side is one of the sides of a fact, or what was taken.
type side uint8

const (
	safe side = iota
	unsafe
	taken
)

// set puts a side of a fact into a loop, which it changes.
func (f *Fact) set(l *Loop, d *Demand, to side) {
	switch to {
	case safe:
		f.put(l, f.Safe)
		if f.Kind == RulesFact {
			d.Rules = nil
		}
		f.place(l, false)
	case unsafe:
		f.put(l, f.Unsafe)
		f.place(l, true)
	case taken:
		if f.Kind == RulesFact {
			d.Rules = nil
		}
	}
}

// put puts a figure into a loop.
func (f *Fact) put(l *Loop, x float64) {
	switch f.Kind {
	case LowVoltsFact, HighVoltsFact, SourceFact, EndLimitFact:
		for i, e := range []*End{&l.Out, &l.In} {
			if f.At == nil || slices.Contains(f.At, i) {
				f.putEnd(e, x)
			}
		}
	case IsolatorOhmsFact, HoldsFact, OpensFact, ClosesFact, CarriesFact:
		f.putIsolators(l, x)
	case MetresFact, SectionFact, WarmthFact:
		f.putCables(l, x)
	default:
		for _, i := range f.At {
			f.putPoint(&l.Points[i], x)
		}
	}
}

func (f *Fact) putEnd(e *End, x float64) {
	switch f.Kind {
	case LowVoltsFact:
		e.Volts = Volts(x)
	case HighVoltsFact:
		e.High = Volts(x)
	case SourceFact:
		e.Plus, e.Minus = Ohms(x), Ohms(x)
	default:
		e.Limit = Amps(x)
	}
}

func (f *Fact) putIsolators(l *Loop, x float64) {
	for i := range l.Isolators {
		iso := &l.Isolators[i]
		if f.At != nil && !slices.Contains(f.At, l.at(iso.Point)) {
			continue
		}
		switch f.Kind {
		case HoldsFact:
			iso.Holds = Volts(x)
		case OpensFact:
			iso.Opens = Volts(x)
		case ClosesFact:
			iso.Closes = Volts(x)
		case CarriesFact:
			iso.Carries = Amps(x)
		default:
			if iso.Plus = Ohms(x); iso.Minus > 0 {
				iso.Minus = Ohms(x)
			}
		}
	}
}

func (f *Fact) putCables(l *Loop, x float64) {
	for _, i := range f.At {
		cable := &l.Return
		if i < len(l.Points) {
			cable = &l.Points[i].Cable
		}
		switch f.Kind {
		case SectionFact: // Safe and Unsafe are ohms of a core a kilometre
			cable.Conductor = Conductor{OhmsPerKm: x}
		case WarmthFact:
			cable.Celsius = Celsius(x)
		default:
			cable.Metres = Metres(max(x, 1e-3))
		}
	}
}

func (f *Fact) putPoint(p *Point, x float64) {
	switch f.Kind {
	case RestFact:
		p.Rest.Value = x
	case AlarmFact:
		p.Alarm.Value = x
	case LeastFact:
		p.Least = Volts(x)
	case AreaFact:
		p.Area = x
	}
}

// place puts zones and floors into a loop: those of nobody, or such as no other point has, far from all others.
func (f *Fact) place(l *Loop, apart bool) {
	for _, i := range f.At {
		name, level := "", (*int)(nil)
		if apart {
			far := 1_000_000 + 10*i
			name, level = fmt.Sprintf("not known %d", i), &far
		}
		switch f.Kind {
		case ZoneFact:
			l.Points[i].Zone = name
		case FloorFact:
			l.Points[i].Floor, l.Points[i].Level = name, level
		}
	}
}

// Judge gives the verdict of a loop of which some facts are not known. It fails where it does with all of them at their safe
// side, is shown where it is with all at their unsafe side, and else is not shown: then Missing holds the facts that stand in
// the way, the fewest that were found which at their safe side leave it shown whatever the others are.
func Judge(l *Loop, d Demand, facts []Fact) (*Verdict, error) {
	best, err := judged(l, d, facts, func(int) side { return safe })
	if err != nil || len(facts) == 0 || best.Says == Failing {
		return best, err
	}
	quick := d
	quick.quick = true
	worst, err := judged(l, quick, facts, func(int) side { return unsafe })
	if err != nil || worst.Says == Shown {
		return worst, err
	}
	as, err := judged(l, d, facts, func(int) side { return taken })
	if err != nil {
		return nil, err
	}
	v := &Verdict{Says: NotShown, Nearest: as.Nearest, Taken: as, Solved: best.Solved + worst.Solved + as.Solved}
	if best.Says == NotShown { // a bound stands in the way even with every fact at its best
		v.Bounds = best.Bounds
		return v, nil
	}
	v.Missing, err = standing(l, d, facts)
	return v, err
}

func judged(l *Loop, d Demand, facts []Fact, to func(i int) side) (*Verdict, error) {
	set := l.clone()
	for i := range facts {
		facts[i].set(&set, &d, to(i))
	}
	c, err := New(set)
	if err != nil {
		return nil, err
	}
	return c.Verdict(d)
}

// standing finds facts that stand in the way: one that settles it alone where there is one, else as few as are left when
// each is let go in turn that is not needed.
func standing(l *Loop, d Demand, facts []Fact) ([]Fact, error) {
	d.quick = true
	shown := func(known func(i int) bool) (bool, error) {
		v, err := judged(l, d, facts, func(i int) side {
			if known(i) {
				return safe
			}
			return unsafe
		})
		return err == nil && v.Says == Shown, err
	}
	needed := make([]bool, len(facts))
	for i := range needed {
		needed[i] = true
	}
	for i := range facts {
		alone, err := shown(func(k int) bool { return k == i })
		if err != nil {
			return nil, err
		}
		if alone {
			return facts[i : i+1 : i+1], nil
		}
	}
	var list []Fact
	for i := range facts {
		needed[i] = false
		still, err := shown(func(k int) bool { return needed[k] })
		if err != nil {
			return nil, err
		}
		if !still {
			needed[i] = true
			list = append(list, facts[i])
		}
	}
	return list, nil
}
