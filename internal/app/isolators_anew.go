package app

import (
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/circuit"
)

// IsolatorsAnew is where the isolators of a loop would go if all of them were planned as a set, each in a base.
type IsolatorsAnew struct {
	*circuit.IsolatorSet
	Now    int      // how many it has
	At     []string // the points
	Stands string   // the verdict with them
}

// isolatorsAnew plans the isolators of a loop for the rules that its site goes by.
func isolatorsAnew(r *sootline.Register, id sootline.LoopID) (*IsolatorsAnew, error) {
	d, loop, demand, err := bareDraft(r, id, nil)
	if err != nil {
		return nil, err
	}
	anew := &IsolatorsAnew{Now: isolatorsNow(r, id)}
	judge := func(at []int) (*circuit.Loop, *circuit.Verdict, error) {
		with, loop, demand, err := bareDraft(r, id, at)
		if err != nil {
			return nil, nil, err
		}
		v, err := circuit.Judge(&loop, demand, with.missing)
		return &loop, v, err
	}
	if anew.IsolatorSet, err = loop.IsolatorSet(demand.Rules, d.isolator(), judge); err != nil {
		return nil, err
	}
	for _, i := range anew.IsolatorSet.At {
		anew.At = append(anew.At, loop.Points[i].Name)
	}
	_, with, _, err := bareDraft(r, id, anew.IsolatorSet.At)
	if err != nil {
		return nil, err
	}
	c, err := circuit.New(with)
	if err != nil {
		return nil, err
	}
	anew.Stands = c.VerdictSentence(anew.Verdict)
	return anew, nil
}

// isolatorsNow counts the points of a loop that have an isolator.
func isolatorsNow(r *sootline.Register, id sootline.LoopID) int {
	n := 0
	for _, p := range r.Points() {
		if side := r.IsolatorAt(p); p.LoopID() == id && side != "" && side != "none" {
			n++
		}
	}
	return n
}

// bareDraft is a loop without its isolators, and with one in the base of each of some points.
func bareDraft(r *sootline.Register, id sootline.LoopID, at []int) (*drafted, circuit.Loop, circuit.Demand, error) {
	d, err := draftOf(r, id, WhatIf{})
	if err != nil {
		return nil, circuit.Loop{}, circuit.Demand{}, err
	}
	for i := range d.draft.Points {
		d.draft.Points[i].Isolator = ""
	}
	for _, i := range at {
		d.draft.Points[i].Isolator = "base"
	}
	loop, demand, err := d.loop()
	return d, loop, demand, err
}

// Sentence says where they would go, how many there are now, and what the verdict would be.
func (a *IsolatorsAnew) Sentence() string {
	where := ""
	if len(a.At) > 0 {
		where = " in the bases of " + strings.Join(a.At, ", ")
	}
	return fmt.Sprintf("%s%s, now %d; the verdict with them: %s", a.Reason, where, a.Now, a.Stands)
}
