package app

import (
	"fmt"
	"time"

	"sootline"
	"sootline/internal/listing"
)

// A pass whose own text may speak of a failure is asked about where somebody is there
// to answer. What a phone hands in is kept, and so is what older logs hold: there
// it is a finding, until the entry is put right or said to be so.

// PassDoubtful is the code of the finding about such a pass.
const PassDoubtful = "pass-doubtful"

// againstPass gives the text of a passed test, or of a retest that found all in
// order, that may speak against it, unless whoever wrote it was certain.
func againstPass(body sootline.Body) (text string, against bool) {
	switch said := body.(type) {
	case sootline.Tested:
		if !said.Failed && !said.Certain {
			text = said.Text
		}
	case sootline.Retested:
		if !said.Failed && !said.Certain {
			text = said.Text
		}
	}
	return text, text != "" && listing.AgainstPass(text)
}

// doubtPass asks about a pass whose text speaks against it. A step of a defect is
// given its certainty with what it says, for the faces of defects ask nothing else.
func doubtPass(body sootline.Body) error {
	text, against := againstPass(body)
	if !against {
		return nil
	}
	if body.Kind() == sootline.RetestedKind {
		return sootline.Errorf(sootline.Doubtful, "if it is in order, say that you are certain", "it is said to be in order, and the text may speak against that: %q", text).
			Do(sootline.Give, "certain")
	}
	return doubtful("the test is said to have passed, and its text may speak against that: %q", text)
}

// certain marks a pass as one that somebody is certain of, where its text needs it.
func certain(body sootline.Body) sootline.Body {
	if _, against := againstPass(body); !against {
		return body
	}
	switch said := body.(type) {
	case sootline.Tested:
		said.Certain = true
		return said
	case sootline.Retested:
		said.Certain = true
		return said
	}
	return body
}

// doubtfulPasses finds the passes of a register whose text may speak against them.
func doubtfulPasses(r *sootline.Register) []sootline.Finding {
	var findings []sootline.Finding
	seen := map[sootline.ID]bool{}
	look := func(e *sootline.Entry, p *sootline.Point) {
		if e == nil || seen[e.ID] {
			return
		}
		if text, against := againstPass(e.Body); against {
			seen[e.ID] = true
			findings = append(findings, doubtfulPass(r, e, p, text))
		}
	}
	for _, p := range r.Points() {
		for i := range p.Events {
			look(p.Events[i].Entry, p)
		}
	}
	for i := range r.Events {
		look(r.Events[i].Entry, nil)
	}
	for _, d := range r.Defects() {
		for _, e := range d.Story {
			look(e, d.Point)
		}
	}
	return findings
}

func doubtfulPass(r *sootline.Register, e *sootline.Entry, p *sootline.Point, text string) sootline.Finding {
	f := sootline.Finding{Code: PassDoubtful, Weight: sootline.Warning, Entries: []sootline.ID{e.ID}}
	where := "a part of the site"
	if p != nil {
		f.Points, f.Loop, where = []*sootline.Point{p}, p.LoopID(), p.Ref().String()
	}
	f.Reason = fmt.Sprintf("%s passed on %s, and the text of that may speak of a failure: %q", where, e.At.In(r.AsOf.Location()).Format(time.DateOnly), text)
	f.WayOut = sootline.Out("correct the entry if the test failed, or say that you are certain").Do(sootline.CorrectEntry, e.ID.String())
	return f
}
