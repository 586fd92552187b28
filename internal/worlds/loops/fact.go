package loops

import "slices"

// FactKind is a kind of fact that may be missing.
type FactKind string

// The kinds of fact.
const (
	LowVolts     FactKind = "volts of the low battery"
	SourceOhms   FactKind = "source ohms"
	LimitAmps    FactKind = "limit of an end"
	Metres       FactKind = "metres"        // of a stretch
	RestDraw     FactKind = "draw at rest"  // of a point, in its load's own unit
	AlarmDraw    FactKind = "draw in alarm" // likewise
	LeastOf      FactKind = "least volts"   // of a point
	IsolatorOhms FactKind = "isolator ohms" // of every one
	ZoneOf       FactKind = "zone"          // of a point
	FloorOf      FactKind = "floor"         // of a point
	SquareMetres FactKind = "square metres" // of a point
)

// Fact is one that nobody knows. Whoever judges may take it to lie between its two sides where it is bounded, and else
// knows nothing of it; its unsafe side is then one at which whatever hangs on it fails. A missing zone or floor is at its
// safe side that of nobody, and at its unsafe side one that no other point has, far from all others.
type Fact struct {
	Kind         FactKind
	At           int // the stretch or point; else 0
	Safe, Unsafe float64
	Bounded      bool
}

// Settled gives the loop with some missing facts at their safe side and the others at their unsafe one.
func (l *Loop) Settled(safe []Fact) *Loop {
	out := *l
	out.Points = slices.Clone(l.Points)
	out.Missing = nil
	for _, f := range l.Missing {
		isSafe := slices.Contains(safe, f)
		value := f.Unsafe
		if isSafe {
			value = f.Safe
		}
		out.set(f, value, isSafe)
	}
	return &out
}

func (l *Loop) set(f Fact, value float64, safe bool) {
	switch f.Kind {
	case LowVolts:
		l.Supply.Low = value
	case SourceOhms:
		l.Supply.Source = value
	case LimitAmps:
		l.Supply.Limit = value
	case Metres:
		if f.At == len(l.Points) {
			l.Return.Metres = value
		} else {
			l.Points[f.At].Cable.Metres = value
		}
	case IsolatorOhms:
		for i := range l.Points {
			for _, s := range []*Side{&l.Points[i].Before, &l.Points[i].After, &l.Points[i].Branch} {
				if s.Opens {
					s.Ohm = value
				}
			}
		}
	default:
		l.Points[f.At].set(f, value, safe)
	}
}

func (p *Point) set(f Fact, value float64, safe bool) {
	switch f.Kind {
	case RestDraw:
		p.Rest.Value = value
	case AlarmDraw:
		p.Alarm.Value = value
	case LeastOf:
		p.LeastVolts = value
	case SquareMetres:
		p.M2 = value
	case ZoneOf:
		p.Zone = ""
		if !safe {
			p.Zone = "unknown zone of " + p.Name
		}
	case FloorOf:
		p.Floor = NoFloor
		if !safe {
			p.Floor = 1000 + 10*f.At
		}
	}
}
