package judge_test

import (
	"math"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// A yes to a value that jumps about is heard: the fault that it writes settles it, and no second one is asked for.
func TestUnsteadyIsAskedOnce(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	town.history(21, "Hall", 25, 25, 25, 24, 25, 25, 25, 31, 20, 30, 22, 32, 21, 29, 20, 31)
	q := ask(t, town.register(), judge.AskUnsteady)
	if said := q.Evidence[len(q.Evidence)-1]; !strings.Contains(said, "does its value jump about?") {
		t.Errorf("asked %q: a yes is no plain answer to it", said)
	}
	town.yes(t, q)
}

// A cleaning before a change of scale is told in what was read, and held against the limit on the scale of that: a clean
// reading is not as dirty again because the scale went up since.
func TestCleanedBeforeTheScaleChanged(t *testing.T) {
	town := scaled()
	id := town.halfYearly(20, 23, 26, 30, 34, 24, 24, 24, 37, 37, 38, 38, 39)
	town.add(id, date("2020-01-08").AddDate(0, 18, 5), sootline.Cleaned{})
	for _, j := range judge.Assess(town.register(), town.on).Judgements {
		if text := strings.Join(j.Reasons, "\n"); j.Point.Order == 20 && (!strings.Contains(text, "from 34 to 24") || strings.Contains(text, "as dirty again")) {
			t.Errorf("%s", text)
		}
	}
}

// What lies beyond the limit by the change of scale alone is not cleaned for the number that was read: the forecast is
// what calls for it.
func TestCleanedForTheForecast(t *testing.T) {
	town := scaled()
	town.halfYearly(20, 22, 23, 24, 25, 26, 27, 28, 43.5, 45, 47, 49, 51)
	got := town.judged(20)
	if got.Action != judge.CleanAtVisit && got.Action != judge.CleanNow || !strings.Contains(got.Reasons[0], "with a chance of") {
		t.Errorf("%s: %q", got.Action, got.Reasons)
	}
}

// Only the visits since a change at once are counted where they are too few to show a drift.
func TestVisitsSinceTheChange(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	town.history(21, "Hall", 25, 24, 25, 25, 24, 25, 24, 25, 33, 34, 35)
	got, text := said(town, 21)
	if got.DriftReal != judge.TooFew || !strings.Contains(text, ": 3 visits over") {
		t.Errorf("%s: %s", got.DriftReal, text)
	}
}

// A cleaning that was noted at the visit before it was done is asked about as this cleaning, and not told as a fact; a yes
// brings its day to where the readings fall.
func TestCleaningNotedEarly(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	id := town.history(21, "Hall", 25, 27, 29, 31, 33, 35, 36, 25, 26, 27)
	town.add(id, visit(5, 21).AddDate(0, 0, 9), sootline.Cleaned{})
	text := ""
	for _, j := range judge.Assess(town.register(), town.on).Judgements {
		if j.Point.Order == 21 {
			text = strings.Join(j.Reasons, "\n")
		}
	}
	if !strings.Contains(text, "but the readings fall later: from 35 to 36, and to 25 counts") {
		t.Errorf("%s", text)
	}
	q := ask(t, town.register(), judge.AskCleaned)
	if said := q.Evidence[len(q.Evidence)-1]; !strings.Contains(said, "was it this cleaning, noted on a wrong day?") || q.Say[0].Body.Kind() != sootline.CorrectedKind {
		t.Errorf("%q, %s", said, q.Say[0].Body.Kind())
	}
	town.yes(t, q)
}

// Where visits lie half a year apart, three cleanings in a row that achieved nothing call for another unit, and two not
// yet: a place may dirty as fast.
func TestThreeCleaningsSeenLate(t *testing.T) {
	for first, want := range map[int]bool{6: false, 5: true} {
		town := newTown()
		id := town.fit(1, "Kiln room")
		for n := 2; n < 8; n++ {
			town.halfYearly(n, flat(8, 23)...)
		}
		for i, y := range []float64{23, 27, 31, 35, 38, 37, 40, 42} {
			town.add(id, visit(2*i, 1), sootline.Read{Samples: []float64{y}})
			if i >= first-1 && i < 7 {
				town.add(id, visit(2*i, 1).AddDate(0, 0, 1), sootline.Cleaned{})
			}
		}
		r := town.register()
		if u := judge.Cleanings(r, r.Point(id), judge.CleanLevels(r)); (u.Worn > 0.75) != want {
			t.Errorf("cleaned from visit %d on: %+v", first, u)
		}
	}
}

// Two values that were written for each other are one question, wherever the points hang: a yes takes no true value away.
func TestValuesCrossedFarApart(t *testing.T) {
	town := newTown()
	town.history(1, "Hall", 25, 26, 25, 25, 26, 25, 33, 25, 26)
	for n := 2; n <= 20; n++ {
		town.history(n, "Hall", flat(9, 25)...)
	}
	town.history(21, "Office", 33, 33, 34, 33, 33, 34, 25, 33, 34)
	q := ask(t, town.register(), judge.AskNeighbour)
	if got := numbersOf(q); len(got) != 2 || len(q.Say) != 2 || q.Say[0].Body.Kind() != sootline.CorrectedKind {
		t.Errorf("%v, %d entries: %q", got, len(q.Say), q.Evidence)
	}
	town.yes(t, q)
}

// A value that stands still does so over a noted cleaning, which would have lowered it, and after a rise four visits tell
// it. Where a display shows steps far apart, four visits tell nothing.
func TestStandsStill(t *testing.T) {
	for _, c := range []struct {
		name    string
		values  []float64
		cleaned int // after which visit
		coarse  bool
		want    bool
	}{
		{"over a cleaning", []float64{25, 27, 29, 31, 33, 33, 33, 33}, 6, false, true},
		{"after a rise", []float64{21, 23, 26, 28, 31, 33, 33, 33, 33}, 0, false, true},
		{"rises in the steps of the display", []float64{20, 20, 24, 24, 28, 28, 32, 32, 32, 32, 32, 32}, 0, true, false},
		{"at rest", []float64{25, 24, 25, 25, 25, 25}, 0, false, false},
	} {
		town := newTown()
		for n := 1; n <= 20; n++ {
			values := flat(10, 25)
			for i := range values {
				if values[i] += float64(n%4) * 0.4 * float64(i); c.coarse {
					values[i] = 4 * math.Round(values[i]/4)
				} else {
					values[i] = math.Round(values[i])
				}
			}
			town.halfYearly(n, values...)
		}
		id := town.halfYearly(21, c.values...)
		if c.cleaned > 0 {
			town.add(id, visit(2*c.cleaned, 21).AddDate(0, 0, 1), sootline.Cleaned{})
		}
		asked := false
		for _, q := range judge.Unwritten(town.register()) {
			asked = asked || q.Kind == judge.AskNeverMoves && q.Points[0].ID == id
		}
		if _, text := said(town, 21); asked != c.want {
			t.Errorf("%s: asked %t, %s", c.name, asked, text)
		}
	}
}

// That is so as well where one of the two rises, and what was written for it looks like a cleaning: of both one question is
// asked, and a yes writes each where it belongs.
func TestValuesCrossedWhileOneRises(t *testing.T) {
	town := newTown()
	town.history(1, "Hall", 25, 26, 25, 25, 26, 35, 25, 26, 25)
	for n := 2; n <= 20; n++ {
		town.history(n, "Hall", flat(9, 25)...)
	}
	id := town.history(21, "Office", 25, 27, 29, 31, 33, 26, 37, 39, 41)
	q := ask(t, town.register(), judge.AskNeighbour)
	if got := numbersOf(q); len(got) != 2 || len(q.Say) != 2 {
		t.Errorf("%v, %d entries: %q", got, len(q.Say), q.Evidence)
	}
	for _, one := range judge.Raised(town.register()) {
		if one.Kind != judge.AskNeighbour {
			t.Errorf("%s: %q", one.Kind, one.Evidence)
		}
	}
	town.yes(t, q)
	if got := town.register().Point(id).Readings[5].Samples[0]; got != 35 {
		t.Errorf("%v is written where 35 belongs", got)
	}
}

// What goes up and down with the year is not unsteady, and in summer it lies where a summer before it did; what jumps as far
// without the year is.
func TestSeasonIsNotUnsteady(t *testing.T) {
	for name, c := range map[string]struct {
		values []float64
		want   bool
	}{
		"with the year":    {[]float64{30, 25, 30, 24, 30, 25, 31, 25, 31, 24, 31, 24, 30, 25}, false},
		"without the year": {[]float64{25, 30, 30, 24, 25, 30, 25, 25, 31, 31, 24, 31, 24, 25}, true},
	} {
		town := newTown()
		for n := 1; n <= 20; n++ {
			town.halfYearly(n, flat(14+n, 25)[n:]...)
		}
		town.halfYearly(21, c.values...)
		got, text := said(town, 21)
		if got.Unsteady != c.want {
			t.Errorf("%s: %s", name, text)
		}
		for _, x := range judge.Expect(town.register(), town.on.AddDate(0, 6, 0)) {
			if x.Point.Order == 21 && !c.want && (x.Value == nil || *x.Value < 28) {
				t.Errorf("%s: in summer %s is expected", name, text)
			}
		}
	}
}

// A number written backwards is asked about as that number, and not as a slip that a yes would take away.
func TestWrittenBackwards(t *testing.T) {
	town := newTown()
	town.add(sootline.ID{}, sootline.LongAgo, sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Gamma", Kind: sootline.Smoke, Unit: "counts", Bands: []sootline.Band{{Low: new(300.0), High: new(700.0)}},
	}})
	for n := 1; n <= 12; n++ {
		id := town.fitType(n, "Hall", "Gamma")
		for i, y := range flat(8+n, 5)[n:] {
			if y = 513 + y; n == 3 && i == 5 {
				y = 815
			}
			town.add(id, visit(i, n), sootline.Read{Samples: []float64{y}})
		}
	}
	q := ask(t, town.register(), judge.AskTransposed)
	if text := strings.Join(q.Evidence, "\n"); !strings.Contains(text, "was it 518") {
		t.Errorf("%s", text)
	}
}
