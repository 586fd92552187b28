package app

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/circuit"
)

// Ask says what of a loop is to be looked at beside every single fault.
type Ask struct {
	Pairs  bool     // every two breaks
	Turns  bool     // how far each fact that nobody wrote down may be off
	Faults []string // one state with these: break@POINT, short@POINT, plus@POINT, minus@POINT
}

// State is what a state with faults comes to, and what is lost in it.
type State struct {
	circuit.Outcome
	Loss circuit.Loss
}

// stateOf adds what is lost.
func stateOf(c *circuit.Circuit, outcome *circuit.Outcome) (*State, error) {
	loss, err := c.Lost(outcome.Faults...)
	return &State{*outcome, loss}, err
}

// ReadLoopFile reads a what-if file, as docs/formats/loop.md describes it.
func ReadLoopFile(r io.Reader) (*LoopFile, error) { return circuit.ReadDraft(r) }

// under looks at one state with given faults, each on the cable that leads to
// the point that it names, or to IN.
func under(c *circuit.Circuit, alarms circuit.Alarms, texts []string) (*State, error) {
	var faults []circuit.Fault
	for _, text := range texts {
		fault, err := parseFault(c, text)
		if err != nil {
			return nil, err
		}
		faults = append(faults, fault)
	}
	outcome, err := c.Under(faults, alarms)
	if err != nil {
		return nil, err
	}
	return stateOf(c, &outcome)
}

func parseFault(c *circuit.Circuit, text string) (circuit.Fault, error) {
	var fault circuit.Fault
	kind, point, _ := strings.Cut(text, "@")
	switch kind {
	case "break":
	case "short":
		fault.Kind = circuit.Short
	case "plus":
		fault.Core = circuit.PlusCore
	case "minus":
		fault.Core = circuit.MinusCore
	default:
		return fault, sootline.Errorf(sootline.Invalid, "for example break@1.1.004, short@IN, or plus@1.1.004 for one core", "%q is not a fault and the point that its cable leads to", text)
	}
	if strings.EqualFold(point, "IN") {
		fault.Segment = c.Loop().ReturnSegment()
		return fault, nil
	}
	for i := range c.Loop().Points {
		if c.Loop().Points[i].Name == point {
			fault.Segment = circuit.Segment(i)
			return fault, nil
		}
	}
	return fault, sootline.Errorf(sootline.NotFound, "points are named as the answer names them, for example 1.1.004; IN names the way back", "no cable of the loop leads to %q", point)
}

// Broken is a rule that some fault breaks: the fault that loses most, and how
// many others break it too.
type Broken struct {
	circuit.Breach
	Others int
	Aside  bool // the site goes by other rules
}

// SourceWords explains, once at the foot, how a clause or a figure is known.
const SourceWords = circuit.SourceWords

// Sentence says what is broken, by which fault.
func (b *Broken) Sentence(c *circuit.Circuit) string {
	text := fmt.Sprintf("%s: with %s, %s", cmp.Or(b.Rule.Clause, b.Rule.Name), c.Describe(b.Faults), b.Why)
	switch {
	case b.Others == 1:
		text += "; 1 other fault breaks it too"
	case b.Others > 1:
		text += fmt.Sprintf("; %d other faults break it too", b.Others)
	}
	text = fmt.Sprintf("%s (%s)", text, b.Rule.Source)
	if b.Aside {
		text += "; the site does not say that it goes by this rule"
	}
	return text
}

// kept lists the clauses that no fault breaks, and apart from them those of which that cannot be told, for want of facts.
func kept(breaches []circuit.Breach, missing []circuit.Fact) (clauses, untold []string) {
	for _, rule := range circuit.Rules() {
		of := func(unsure bool) func(circuit.Breach) bool {
			return func(b circuit.Breach) bool { return b.Rule == rule && b.Unsure == unsure }
		}
		if slices.ContainsFunc(breaches, of(false)) {
			continue
		}
		text := fmt.Sprintf("%s (%s)", rule.Clause, rule.Source)
		var want []string
		for _, kind := range rule.Needs() {
			if i := slices.IndexFunc(missing, func(f circuit.Fact) bool { return f.Kind == kind }); i >= 0 {
				want = append(want, fmt.Sprintf("%s are not known of %d devices", kind, len(missing[i].At)))
			}
		}
		if slices.ContainsFunc(breaches, of(true)) {
			want = append(want, string(circuit.LevelFact)+" is not known")
		}
		if len(want) == 0 {
			clauses = append(clauses, text)
		} else {
			untold = append(untold, text+": "+strings.Join(want, ", "))
		}
	}
	return clauses, untold
}

// broken gathers breaches by their rule.
func broken(breaches []circuit.Breach, by []circuit.Rule) []Broken {
	var list []Broken
	at := map[circuit.Rule]int{}
	for _, b := range breaches {
		if b.Unsure {
			continue
		}
		i, known := at[b.Rule]
		if !known {
			at[b.Rule] = len(list)
			list = append(list, Broken{Breach: b, Aside: !slices.ContainsFunc(by, func(r circuit.Rule) bool { return r.Name == b.Rule.Name })})
			continue
		}
		list[i].Others++
		if most := &list[i].Loss; b.Loss.Counted > most.Counted || b.Loss.Counted == most.Counted && len(b.Loss.Points) > len(most.Points) {
			list[i].Breach = b
		}
	}
	return list
}
