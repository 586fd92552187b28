package app

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/circuit"
)

// judge holds the loop against every limit, and the cable against what the panel allows.
func (p *Power) judge(loop *circuit.Loop, demand circuit.Demand, over *circuit.Failure, ask Ask) error {
	var err error
	if p.Stands, err = circuit.Judge(loop, demand, p.Missing); err != nil {
		return err
	}
	if over != nil && p.Stands.Says != circuit.Failing {
		p.Stands = &circuit.Verdict{Says: circuit.Failing, Fails: over, Nearest: p.Stands.Nearest, Solved: p.Stands.Solved}
	}
	if !ask.Turns {
		return nil
	}
	turns, err := circuit.Turns(loop, demand, p.Missing)
	for i := range turns {
		p.Turns = append(p.Turns, turns[i].Text)
	}
	return err
}

// hear takes back what was shown where what was measured contradicts the facts that it rests on.
func (p *Power) hear() {
	if p.Stands.Says == circuit.Shown && len(p.Meters.Against()) > 0 {
		stands := *p.Stands
		stands.Says = circuit.NotShown
		p.Stands = &stands
	}
}

// worstOfVerdict takes the state in which the verdict found least left, where it leaves less than those that the survey solved:
// where loads are mixed, the survey's choice of alarms need not be the worst.
func (p *Power) worstOfVerdict() error {
	n := p.Stands.Nearest
	if n == nil || n.At.Starting || n.At.Volts != p.Circuit.Loop().Out.Volts {
		return nil
	}
	found, err := p.Circuit.Under(n.At.Faults, circuit.Alarms{Named: append([]int{}, n.At.Alarm...)})
	if err != nil {
		return err
	}
	if worst := &p.Survey.Worst; found.Exists && worst.Exists && found.Margin < worst.Margin {
		p.Survey.Worst = found
	}
	return nil
}

// Shown reports whether the verdict is a proof that every limit is kept.
func (p *Power) Shown() bool { return p.Stands.Says == circuit.Shown }

// Fails reports whether a state was found that does not keep a limit.
func (p *Power) Fails() bool { return p.Stands.Says == circuit.Failing }

// Verdict says how the loop stands: shown, not shown or fails, and why.
func (p *Power) Verdict() string {
	against := p.Meters.Against()
	if p.Stands.Says != circuit.NotShown || len(against) == 0 {
		return p.Circuit.VerdictSentence(p.Stands)
	}
	text := "not shown: what was measured contradicts the facts: " + strings.Join(against, "; ")
	if p.heardAlone() {
		return text
	}
	return text + "; and " + strings.TrimPrefix(p.Circuit.VerdictSentence(p.Stands), "not shown: ")
}

// heardAlone reports whether nothing but what was measured stands in the way of what would be shown.
func (p *Power) heardAlone() bool {
	return p.Stands.Says == circuit.NotShown && len(p.Stands.Bounds) == 0 && len(p.Stands.Missing) == 0
}

// Settles says which fact or measurement would settle a verdict that is not shown; empty otherwise.
func (p *Power) Settles() string {
	settles := p.Circuit.Settles(p.Stands)
	switch {
	case p.Stands.Says != circuit.NotShown || len(p.Meters.Against()) == 0:
		return settles
	case settles == "":
		return MendMeasured
	}
	return MendMeasured + "; and " + settles
}

// AsTaken says what the verdict would be with what was taken for the facts that are missing; empty where none stands in
// the way.
func (p *Power) AsTaken() string {
	if p.Stands.Taken == nil {
		return ""
	}
	taken := "with what was taken for them"
	if slices.ContainsFunc(p.Missing, func(f circuit.Fact) bool { return f.Kind == circuit.RulesFact }) {
		taken += ", and the rules left aside,"
	}
	switch as := p.Stands.Taken; as.Says {
	case circuit.Shown:
		return taken + " every limit that is known is kept in every state"
	case circuit.Failing:
		return taken + " it " + p.Circuit.VerdictSentence(as)
	default:
		return taken + " it is " + p.Circuit.VerdictSentence(as)
	}
}

// Guessed says how many of the facts that the verdict rests on nobody wrote down.
func (p *Power) Guessed() string {
	n := 0
	for i := range p.Missing {
		n += max(len(p.Missing[i].At), 1)
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%d of the %d facts that the verdict rests on are not written down (%.0f %%)", n, p.Facts, math.Ceil(100*float64(n)/float64(p.Facts)))
}

// Least says what is left to the device that has least left, in any state.
func (p *Power) Least() string {
	n := p.Stands.Nearest
	if n == nil {
		return "no device's least working volts are known"
	}
	point := &p.Circuit.Loop().Points[n.Point]
	byFacts := ""
	if len(p.Meters.Against()) > 0 {
		byFacts = ", by the facts that what was measured contradicts"
	}
	text := fmt.Sprintf("%s, %s has %s", p.Circuit.Situation(&n.At), point.Name, n.Volts)
	if n.Margin < 0 {
		return fmt.Sprintf("%s, %s V below its least of %s", text, sootline.Significant(-float64(n.Margin), 3), point.Least)
	}
	text += fmt.Sprintf(", %s V above its least of %s", sootline.Significant(float64(n.Margin), 3), point.Least)
	switch gap := float64(n.Margin - n.Floor); {
	case math.IsInf(gap, 1):
		return text + "; that no state leaves less was not proved"
	case gap > 0.01:
		return fmt.Sprintf("%s; no state leaves less than %s V%s", text, sootline.Significant(float64(n.Floor), 3), byFacts)
	}
	return text + ", and no state leaves less" + byFacts
}
