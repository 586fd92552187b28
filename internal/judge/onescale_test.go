package judge_test

import (
	"strings"
	"testing"
	"time"

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
		if !strings.Contains(text, "on the scale of its type sheet it shows about 2") {
			t.Errorf("%s does not say on which scale: %s", j.Point.Ref(), text)
		}
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

// A yes is heard too: it is not asked again, and nobody goes to read again what the new scale explains.
func TestChangeOfScaleIsNoted(t *testing.T) {
	town := scaled()
	q := ask(t, town.register(), judge.AskRescaled)
	for _, said := range q.Say {
		town.add(said.Point.ID, said.At, said.Body)
	}
	for _, q := range judge.Unwritten(town.register()) {
		if q.Kind == judge.AskRescaled {
			t.Error("asked again")
		}
	}
	if got := town.judged(3); len(q.Say) == 0 || got.Verdict != judge.Inside || got.Action != judge.Leave || got.Advice != "leave it, and take in the new sheet" {
		t.Errorf("%d entries, then %s: %q", len(q.Say), got.Action, got.Sentences())
	}
}

// A factor moves what shows little by little; and the noise of a site whose values are counts says nothing of a type
// whose band is three wide.
func TestChangeOfScaleIsFound(t *testing.T) {
	for name, c := range map[string]struct {
		low, high, factor float64
		levels            []float64
	}{
		"some show little": {0, 100, 1.5, []float64{15, 60, 61, 16, 62, 58, 15, 60, 61, 14, 59, 60}},
		"a narrow band":    {1.9, 4.4, 0.75, []float64{3, 3.1, 2.9, 3.2, 3, 2.8, 3.1, 3, 3.2, 2.9, 3, 3.1}},
	} {
		town := newTown()
		town.add(sootline.ID{}, sootline.LongAgo.Add(time.Second), sootline.Sheet{TypeSheet: sootline.TypeSheet{
			Name: "Alpha", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: &c.low, High: &c.high}},
		}})
		for n, level := range c.levels {
			values := make([]float64, 12)
			for i := range values {
				values[i] = level + float64((i+n)%3)*(c.high-c.low)/200
				if i >= 7 {
					values[i] *= c.factor
				}
			}
			town.halfYearly(n+1, values...)
		}
		found := false
		for _, q := range judge.Unwritten(town.register()) {
			found = found || q.Kind == judge.AskRescaled
		}
		if !found {
			t.Errorf("%s: not asked about", name)
		}
	}
}

// A no to works of a room is heard by all of its points.
func TestNoWorks(t *testing.T) {
	town := newTown()
	town.neighbours(1, 12)
	for n := 21; n <= 26; n++ {
		town.history(n, "Mill", 24, 24, 25, 24, 25, 24, 31, 31, 32, 31, 32, 31)
	}
	q := ask(t, town.register(), judge.AskWorks)
	town.add(q.Points[0].ID, town.on, sootline.Note{Text: "answered with no", Answers: q.Key()})
	for n := 21; n <= 26; n++ {
		if text := strings.Join(town.judged(n).Reasons, "\n"); strings.Contains(text, "nobody wrote down why") || !strings.Contains(text, "answered with no") {
			t.Errorf("%d: %s", n, text)
		}
	}
}
