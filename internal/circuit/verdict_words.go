package circuit

import (
	"fmt"
	"math"
	"strings"
)

// VerdictSentence says what a verdict comes to, beginning with its standing.
func (c *Circuit) VerdictSentence(v *Verdict) string {
	switch v.Says {
	case Failing:
		return "fails: " + c.FailureSentence(v.Fails)
	case Shown:
		return "shown: in every state every device that stays fed keeps its least volts, every end its current, " +
			"the loop starts again, and what is lost stays within the rules that the site goes by"
	}
	if len(v.Bounds) > 0 {
		return "not shown: " + c.boundSentence(&v.Bounds[0])
	}
	return "not shown: " + missingSentence(v.Missing)
}

// Settles says what would settle a verdict that is not shown; empty otherwise.
func (c *Circuit) Settles(v *Verdict) string {
	switch {
	case v.Says != NotShown:
		return ""
	case len(v.Bounds) > 0:
		return c.settlesBound(&v.Bounds[0])
	case len(v.Missing) == 1:
		return "write down " + string(v.Missing[0].Kind)
	case len(v.Missing) == 0:
		return ""
	}
	return fmt.Sprintf("write down all %d: %s", len(v.Missing), and(kindsOf(v.Missing)))
}

func kindsOf(facts []Fact) []string {
	var kinds []string
	for i := range facts {
		kinds = append(kinds, string(facts[i].Kind))
	}
	return kinds
}

func missingSentence(missing []Fact) string {
	const unsafe = "not known, and on the unsafe side it would fail"
	kinds := kindsOf(missing)
	switch {
	case len(kinds) > 2:
		return fmt.Sprintf("%s and %d other kinds of fact are %s", kinds[0], len(kinds)-1, unsafe)
	case len(kinds) == 1 && missing[0].Kind.one():
		return kinds[0] + " is " + unsafe
	}
	return and(kinds) + " are " + unsafe
}

// one reports whether a fact is said in the singular.
func (k FactKind) one() bool {
	switch k {
	case SourceFact, EndLimitFact, SectionFact, WarmthFact, RestFact, AlarmFact, IsolatorOhmsFact, CarriesFact, LevelFact:
		return true
	}
	return false
}

// and joins the parts of a list.
func and(parts []string) string {
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

// Situation says a state in words.
func (c *Circuit) Situation(at *Situation) string {
	volts := at.Volts.String()
	if at.Starting {
		switch {
		case at.Stage.All:
			return fmt.Sprintf("on starting at %s, every device drawing the most that it can", volts)
		case at.Stage.FromIn > 0:
			return fmt.Sprintf("on starting at %s, with %s from IN closed again", volts, count(at.Stage.FromIn, "isolator"))
		}
		return fmt.Sprintf("on starting at %s, with %s from OUT closed again", volts, count(at.Stage.FromOut, "isolator"))
	}
	text := fmt.Sprintf("at %s with %s", volts, c.Describe(at.Faults))
	if len(at.Alarm) > 0 {
		text += " and " + count(len(at.Alarm), "device") + " in alarm"
	}
	return text
}

// FailureSentence says which limit is not kept, where and by how much.
func (c *Circuit) FailureSentence(f *Failure) string {
	state := c.Situation(&f.At)
	name := ""
	if f.Point >= 0 {
		name = c.loop.Points[f.Point].Name
	}
	switch f.Limit {
	case OperatingPoint:
		return state + " there is no operating point: the loads ask for more than the cable can carry"
	case Takes:
		return fmt.Sprintf("%s, %s (%s, %s)", "with "+c.Describe(f.At.Faults), f.Why, f.Rule.Clause, f.Rule.Source)
	case PanelAllows:
		return f.Why
	case OutCurrent, InCurrent:
		is, needs := apart(f.Is, f.Needs, ampText)
		return fmt.Sprintf("%s, %s may have to give %s and can give %s, %s too little", state, strings.TrimPrefix(string(f.Limit), "current of "), is, needs, small(f.By, ampText))
	case IsolatorCarries:
		is, needs := apart(f.Is, f.Needs, ampText)
		return fmt.Sprintf("%s, the isolator at %s may have to carry %s and carries %s", state, name, is, needs)
	case IsolatorHolds:
		is, needs := apart(f.Is, f.Needs, voltText)
		return fmt.Sprintf("%s, the isolator at %s has %s and is sure to stay closed from %s on", state, name, is, needs)
	case IsolatorCloses:
		is, needs := apart(f.Is, f.Needs, voltText)
		return fmt.Sprintf("%s, the isolator at %s is fed with %s and is sure to close again from %s on", state, name, is, needs)
	case IsolatorOpens:
		is, needs := apart(f.Is, f.Needs, voltText)
		return fmt.Sprintf("%s, the isolator at %s has %s before it opens and is sure to open below %s", state, name, is, needs)
	}
	is, needs := apart(f.Is, f.Needs, voltText)
	return fmt.Sprintf("%s, %s has %s and needs %s, %s too little", state, name, is, needs, small(f.By, voltText))
}

func (c *Circuit) boundSentence(b *Bound) string {
	name := ""
	if b.Point >= 0 {
		name = " at " + c.loop.Points[b.Point].Name
	}
	past := ""
	switch {
	case b.Asks > 0:
		gives := "what it can give is not known"
		if b.Gives < farAmps {
			gives = "it can give " + Amps(b.Gives).String()
		}
		return fmt.Sprintf("with %s, the isolator%s keeps %s too many to be sure to open only if an end of the panel gives %s, and %s: what the limit leaves is not calculated",
			c.Describe(b.Fault), name, small(b.Past, voltText), Amps(b.Asks), gives)
	case b.Limit == Takes:
		return "with " + c.Describe(b.Fault) + ", what is lost keeps to the rules only if the floors lie beside each other, which is not known"
	case math.IsInf(b.Past, 1):
		past = "no bound was found"
	case b.Limit == OutCurrent || b.Limit == InCurrent || b.Limit == IsolatorCarries:
		past = "the bound lies " + small(b.Past, ampText) + " beyond the limit"
	default:
		past = "the bound lies " + small(b.Past, voltText) + " beyond the limit"
	}
	state := ""
	if len(b.Fault) > 0 {
		state = "with " + c.Describe(b.Fault) + ", "
	}
	return fmt.Sprintf("%s%s%s is not decided for every choice of alarms: %s", state, b.Limit, name, past)
}

func (c *Circuit) settlesBound(b *Bound) string {
	switch {
	case b.Limit == Takes:
		return "name the floors by whole numbers, counted upwards"
	case b.Asks > 0:
		return "short the cable there on trial and see whether the isolator opens, or the makers' word that it does with what the panel gives into a short"
	case b.Limit == IsolatorOpens:
		return "an isolator that opens at higher volts, or the makers' word on one with nothing fed behind it"
	case b.Limit == IsolatorCloses:
		return "measure the volts at " + c.loop.Points[b.Point].Name + " with its spur open, everything else drawing its most"
	case b.Point >= 0:
		return "measure the volts at " + c.loop.Points[b.Point].Name + " in that state, or name who may be in alarm together"
	}
	return "measure the current there, or name who may be in alarm together"
}

// apart writes two figures with as many digits as tell them apart.
func apart(a, b float64, text func(x float64, digits int) string) (string, string) {
	for digits := 2; digits < 7; digits++ {
		if x, y := text(a, digits), text(b, digits); x != y {
			return x, y
		}
	}
	return text(a, 7), text(b, 7)
}

// small writes a difference to two digits that say something.
func small(x float64, text func(x float64, digits int) string) string {
	for digits := 2; digits < 7; digits++ {
		if s := text(x, digits); strings.Trim(s, "0. VmA") != "" {
			return s
		}
	}
	return text(x, 7)
}

func voltText(x float64, digits int) string { return fmt.Sprintf("%.*f V", digits, x) }

func ampText(x float64, digits int) string {
	if math.Abs(x) < 1 {
		return fmt.Sprintf("%.*f mA", digits-1, 1000*x)
	}
	return fmt.Sprintf("%.*f A", digits+1, x)
}
