package loops

import (
	"fmt"
	"math"
	"slices"
)

// Claim is an engine's verdict.
type Claim struct {
	Says    Says
	Fail    Failure // of Fails: the state, with its alarms and volts, the limit, the point or rule, and by how much
	Missing []Fact  // of NotShown: the facts that stand in the way; none where it is a bound. One is named as settling it
}

// Mark is what a claim is worth.
type Mark struct {
	Sound bool   // it says no more than is so
	Weak  bool   // not shown, although the truth is shown or fails
	Why   string // what is not sound
}

func unsound(format string, args ...any) Mark { return Mark{Why: fmt.Sprintf(format, args...)} }

// Score holds a claim against the truth of the same loop. A truth that is near (see [Truth]) is of no weight for shown.
func Score(l *Loop, t Truth, c Claim) Mark {
	switch c.Says {
	case Shown:
		if t.Says != Shown && !t.Near {
			return unsound("shown, but the truth is %s: %+v", t.Says, t.Failing[0])
		}
		return Mark{Sound: true}
	case Fails:
		if t.Says != Fails && !t.Near {
			return unsound("fails, but the truth is %s", t.Says)
		}
		return ScoreFailure(l, c.Fail)
	case NotShown:
		mark := ScoreMissing(l, t, c.Missing)
		mark.Weak = t.Says != NotShown
		return mark
	}
	return unsound("no verdict: %q", c.Says)
}

// ScoreFailure says whether a state fails as it is said to, whatever the facts that are missing; for a loop of any size.
func ScoreFailure(l *Loop, said Failure) Mark {
	loop := l.Settled(l.Missing)
	if mark := loop.possible(said.State); mark.Why != "" {
		return mark
	}
	is := loop.Check(said.State, said.Limit, said.Point, said.Rule)
	switch {
	case is.By <= -near:
		return unsound("%s at point %d does not fail in %+v: %.6g is left", said.Limit, said.Point, said.State, -is.By)
	case math.IsInf(is.By, 1) || math.IsInf(said.By, 1):
		if !math.IsInf(is.By, 1) || !math.IsInf(said.By, 1) {
			return unsound("%s fails by %v, not by %v", said.Limit, is.By, said.By)
		}
	case math.Abs(is.By-said.By) > about(said.Limit, is.By) && len(l.Missing) == 0:
		return unsound("%s at point %d fails by %.6g, not by %.6g, in %+v", said.Limit, said.Point, is.By, said.By, said.State)
	}
	return Mark{Sound: true}
}

// about is what may lie between by how much a limit fails and what is said of it, for figures are rounded.
func about(limit Limit, by float64) float64 {
	switch limit {
	case OutLimit, InLimit, Carries:
		return 0.0005 + 0.01*math.Abs(by)
	case Takes:
		return 0.01 + 0.01*math.Abs(by)
	}
	return 0.01 + 0.01*math.Abs(by)
}

// possible refuses a state that the loop cannot be in.
func (l *Loop) possible(s State) Mark {
	switch {
	case s.Stretch < 0 || s.Stretch >= l.Stretches():
		return unsound("there is no stretch %d", s.Stretch)
	case s.Fault == Starting && (s.Stage < 0 || s.Stage >= l.Stages()):
		return unsound("there is no stage %d", s.Stage)
	case (s.Fault == OpenPlus || s.Fault == OpenMinus) && !l.OneCore:
		return unsound("a break of one core is not looked at")
	case l.AtOnce >= 0 && len(s.Alarms) > l.AtOnce:
		return unsound("%d in alarm, at most %d may be", len(s.Alarms), l.AtOnce)
	case s.Volts < l.Supply.Low-1e-9 || s.Volts > max(l.Supply.Low, l.Supply.High)+1e-9:
		return unsound("a supply of %v V", s.Volts)
	case slices.ContainsFunc(s.Alarms, func(i int) bool { return i < 0 || i >= len(l.Points) || l.Points[i].Junction }):
		return unsound("in alarm %v", s.Alarms)
	}
	return Mark{}
}

// ScoreMissing says whether the facts that are named stand in the way: they are missing, and the first one, at its safe
// side, settles it; where none does alone, all that are named do, and none of them can be left out.
func ScoreMissing(l *Loop, t Truth, named []Fact) Mark {
	for _, f := range named {
		if !slices.Contains(l.Missing, f) {
			return unsound("%s of %d is not missing", f.Kind, f.At)
		}
	}
	switch {
	case len(named) == 0 && t.Says == NotShown:
		return unsound("a bound is said to stand in the way, but a fact does")
	case len(named) == 0 || t.Says == Fails:
		return Mark{Sound: true} // of a loop that fails no fact is asked for that could help; that is weak, not unsound
	case t.Says == Shown:
		return unsound("%s of %d is asked for, but it is shown without", named[0].Kind, named[0].At)
	case slices.Contains(t.Alone, named[0]):
		return Mark{Sound: true}
	case len(t.Alone) > 0:
		return unsound("%s of %d does not settle it; %s of %d does", named[0].Kind, named[0].At, t.Alone[0].Kind, t.Alone[0].At)
	case l.unsafe(named).Says != Shown:
		return unsound("the %d facts named do not settle it together", len(named))
	}
	for k := range named {
		if l.unsafe(slices.Delete(slices.Clone(named), k, k+1)).Says == Shown {
			return unsound("%s of %d is named without need", named[k].Kind, named[k].At)
		}
	}
	return Mark{Sound: true}
}
