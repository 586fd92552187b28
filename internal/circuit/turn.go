package circuit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"sootline"
)

// Turn is how far a fact that nobody knows may be off, all else being as it was taken, until the verdict turns.
type Turn struct {
	Fact Fact
	Keep float64 // the last figure tried at which every limit was kept, in the fact's own unit
	Text string
	far  float64 // how far that is from what was taken, to sort by
}

// Turns finds, for each kind of fact with a figure, where the verdict turns on the way from what was taken to the unsafe side. It
// says nothing where the loop is not shown with what was taken, or where nothing hangs on the fact. Each figure is found to
// a few per cent by halving.
func Turns(l *Loop, d Demand, facts []Fact) ([]Turn, error) {
	if slices.ContainsFunc(facts, func(f Fact) bool { return f.Kind == RulesFact }) {
		d.Rules = nil
	}
	as, err := judged(l, d, facts, func(int) side { return taken })
	if err != nil || as.Says != Shown {
		return nil, err
	}
	var list []Turn
	for i := range facts {
		turn, ok, err := facts[i].turn(l, d)
		if err != nil {
			return nil, err
		}
		if ok {
			list = append(list, turn)
		}
	}
	slices.SortStableFunc(list, func(a, b Turn) int { return cmp.Compare(a.far, b.far) })
	return list, nil
}

// turn halves between what stands in the loop and the unsafe side.
func (f *Fact) turn(l *Loop, d Demand) (Turn, bool, error) {
	d.quick = true
	good, bad, ok := f.span(l)
	if !ok {
		return Turn{}, false, nil
	}
	keeps := func(x float64) (bool, error) {
		set := l.clone()
		f.put(&set, x)
		c, err := New(set)
		if err != nil {
			return false, nil // too far for anything to be calculated
		}
		v, err := c.Verdict(d)
		return err == nil && v.Says == Shown, err
	}
	kept, err := keeps(bad)
	if kept || err != nil {
		return Turn{}, false, err
	}
	start := good
	for range 10 {
		mid := (good + bad) / 2
		if good > 0 && bad > 0 && (good > 4*bad || bad > 4*good) {
			mid = math.Sqrt(good * bad)
		}
		kept, err := keeps(mid)
		if err != nil {
			return Turn{}, false, err
		}
		if kept {
			good = mid
		} else {
			bad = mid
		}
	}
	return Turn{Fact: *f, Keep: good, Text: f.turnText(good), far: math.Abs(math.Log(max(good, 1e-12) / max(start, 1e-3)))}, true, nil
}

// span gives a figure at which the loop is as it was taken, and the unsafe one. A limit that is not judged begins where
// none is.
func (f *Fact) span(l *Loop) (good, bad float64, ok bool) {
	at := 0
	if len(f.At) > 0 {
		at = f.At[0]
	}
	top := 2 * float64(max(l.Out.Volts, l.Out.High))
	switch f.Kind {
	case LowVoltsFact:
		return float64(l.Out.Volts), f.Unsafe, true
	case HighVoltsFact:
		return float64(max(l.Out.Volts, l.Out.High)), 5 * top, true
	case SourceFact, IsolatorOhmsFact:
		return 0.01, f.Unsafe, true
	case EndLimitFact, CarriesFact:
		return 100, f.Unsafe, true
	case OpensFact:
		return top, f.Unsafe, true
	case HoldsFact, ClosesFact, LeastFact:
		return 0.01, top, true
	case MetresFact:
		cable := &l.Return
		if at < len(l.Points) {
			cable = &l.Points[at].Cable
		}
		return max(float64(cable.Metres), 0.1), f.Unsafe, true
	case RestFact, AlarmFact:
		return 1e-6, f.Unsafe, true
	}
	return 0, 0, false
}

// turnText says how far the fact may be off.
func (f *Fact) turnText(x float64) string {
	of := ""
	if n := len(f.At); n > 1 && f.Kind != LowVoltsFact && f.Kind != HighVoltsFact && f.Kind != SourceFact && f.Kind != EndLimitFact {
		of = fmt.Sprintf(" (at %d places alike)", n)
	}
	switch f.Kind {
	case LowVoltsFact, OpensFact:
		return fmt.Sprintf("%s%s: kept down to about %s V", f.Kind, of, sootline.Significant(x, 3))
	case HighVoltsFact, HoldsFact, ClosesFact, LeastFact:
		return fmt.Sprintf("%s%s: kept up to about %s V", f.Kind, of, sootline.Significant(x, 3))
	case EndLimitFact, CarriesFact:
		return fmt.Sprintf("%s%s: kept down to about %s mA", f.Kind, of, sootline.Significant(1000*x, 3))
	case RestFact, AlarmFact:
		return fmt.Sprintf("%s%s: kept up to about %s mA", f.Kind, of, sootline.Significant(1000*x, 3))
	case MetresFact:
		return fmt.Sprintf("%s%s: kept up to about %s m each", f.Kind, of, sootline.Significant(x, 3))
	}
	return fmt.Sprintf("%s%s: kept up to about %s ohm", f.Kind, of, sootline.Significant(x, 3))
}
