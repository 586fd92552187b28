package judge_test

import (
	"strings"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// scaled is a site all of whose units show half as much again from the eighth visit on; one of them goes beyond the limit
// of the sheet by that alone.
func scaled() *town {
	town := newTown()
	for n := 1; n <= 12; n++ {
		values := flat(12, 23+float64(n%4))
		for i := 7; i < len(values); i++ {
			values[i] *= 1.5
		}
		town.halfYearly(n, values...)
	}
	return town
}

// What a change of scale explains is no dust in a room and no change of the share inside; the reason that decides
// about a value outside names it.
func TestChangeOfScaleIsNoDust(t *testing.T) {
	town := scaled()
	a := judge.Assess(town.register(), town.on)
	said := false
	for _, j := range a.Judgements {
		text := strings.Join(j.Reasons, "\n")
		if strings.Contains(text, "dusty") {
			t.Errorf("%s: %s", j.Point.Ref(), text)
		}
		if j.Verdict == judge.Above {
			said = said || strings.Contains(j.Reasons[0], "went to about 1.4")
		}
	}
	if !said {
		t.Errorf("no reason names the scale: %q", a.Judgements[2].Reasons)
	}
	first, last := a.Overview.Halves[0], a.Overview.Halves[len(a.Overview.Halves)-1]
	if first.Share != last.Share {
		t.Errorf("share inside from %+v to %+v", first, last)
	}
}

// A no to the question whether the scale was changed is heard: the readings are then taken as they were written.
func TestNoChangeOfScale(t *testing.T) {
	town := scaled()
	q := ask(t, town.register(), judge.AskRescaled)
	before := town.judged(3)
	town.add(q.Points[0].ID, town.on, sootline.Note{Text: "answered with no", Answers: q.Key()})
	for _, q := range judge.Unwritten(town.register()) {
		if q.Kind == judge.AskRescaled {
			t.Error("asked again")
		}
	}
	if after := town.judged(3); *after.ChanceNow < 0.3 || *before.ChanceNow > 0.1 {
		t.Errorf("chance outside %v, then %v: %q", *before.ChanceNow, *after.ChanceNow, after.Reasons)
	}
}
