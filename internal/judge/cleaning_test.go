package judge_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// cleaned reads a point before and after a cleaning among six clean ones.
func cleaned(t *testing.T, before, after []float64) judge.Upkeep {
	t.Helper()
	town := newTown()
	id := town.history(1, "Kiln room", slices.Concat(before, after)...)
	town.add(id, visit(len(before)-1, 0).AddDate(0, 0, 1), sootline.Cleaned{})
	for n := 2; n < 8; n++ {
		town.history(n, "Office", flat(8, 23)...)
	}
	r := town.register()
	return judge.Cleanings(r, r.Point(id), judge.CleanLevels(r))
}

func TestCleaningPays(t *testing.T) {
	u := cleaned(t, []float64{23, 26, 29, 32, 35}, []float64{24, 25, 26, 27})
	if len(u.Cleanings) != 1 || u.Worn > 0 {
		t.Fatalf("%+v", u)
	}
	c := u.Cleanings[0]
	if c.Before != 35 || c.After != 24 || c.Rest == nil || *c.Rest != 23 || c.AgainIn != 0 {
		t.Errorf("%+v", c)
	}
}

// Two cleanings in a row that left it dirty say that cleaning no longer pays; one alone may have been noted on a wrong
// day or half done, and two where it came down after all were so.
func TestCleaningNoLongerPays(t *testing.T) {
	for name, c := range map[string]struct {
		values []float64
		worn   bool
	}{
		"stays high twice":           {[]float64{23, 26, 29, 33, 35, 36, 34, 35, 36, 35, 35, 36}, true},
		"once":                       {[]float64{23, 26, 29, 33, 35, 36, 23, 29, 36, 35, 35, 36}, false},
		"twice, and came down after": {[]float64{23, 26, 29, 33, 35, 36, 34, 35, 36, 35, 24, 25}, false},
	} {
		town := newTown()
		id := town.history(1, "Kiln room", c.values...)
		for _, at := range [2]int{5, 8} {
			town.add(id, visit(at, 0).AddDate(0, 0, 1), sootline.Cleaned{})
		}
		for n := 2; n < 8; n++ {
			town.history(n, "Office", flat(12, 23)...)
		}
		r := town.register()
		u := judge.Cleanings(r, r.Point(id), judge.CleanLevels(r))
		if c.worn != (u.Worn > 0.75) || c.worn != strings.Contains(u.Reasons[len(u.Reasons)-1], "no longer pays") {
			t.Errorf("%s: %+v", name, u)
		}
	}
	// A place that dirties fast is cleaned often; and a clean unit has nothing to come back to.
	for name, c := range map[string][2][]float64{
		"dirty again":    {{23, 26, 29, 33, 35, 36}, {24, 36, 37}},
		"lasted":         {{23, 26, 29, 33, 35, 36}, {24, 28, 32, 36}},
		"was not dirty":  {{23, 24, 23, 24, 23, 24}, {24, 24, 24}},
		"not read since": {{23, 26, 29, 33, 35, 36}, nil},
	} {
		if u := cleaned(t, c[0], c[1]); u.Worn > 0 {
			t.Errorf("%s: %+v", name, u)
		}
	}
}

// Another unit has come since: what cleaning did to the old one advises nothing.
func TestReplacedSinceCleaning(t *testing.T) {
	town := newTown()
	id := town.history(1, "Kiln room", 23, 26, 29, 33, 35, 36, 35, 36)
	town.add(id, visit(5, 0).AddDate(0, 0, 1), sootline.Cleaned{})
	town.add(id, visit(7, 0).AddDate(0, 0, 1), sootline.Replaced{})
	for n := 2; n < 8; n++ {
		town.history(n, "Office", flat(8, 23)...)
	}
	r := town.register()
	if u := judge.Cleanings(r, r.Point(id), judge.CleanLevels(r)); u.Worn > 0 || len(u.Cleanings) != 1 || !u.Cleanings[0].Stayed {
		t.Errorf("%+v", u)
	}
}

// A look at the unit that was there before says nothing of what cleaning did.
func TestRenewedBeforeCleaning(t *testing.T) {
	town := newTown()
	id := town.history(1, "Kiln room", 23, 26, 29, 33, 35, 24)
	town.add(id, visit(4, 0).AddDate(0, 0, 1), sootline.Replaced{})
	town.add(id, visit(4, 0).AddDate(0, 0, 2), sootline.Cleaned{})
	r := town.register()
	if u := judge.Cleanings(r, r.Point(id), judge.CleanLevels(r)); len(u.Cleanings) > 0 {
		t.Errorf("%+v", u)
	}
}

// Where clean units rest is what the sheet says, whatever the few that were cleaned show; and what a cleaning hardly
// lowered is not said to be as dirty again.
func TestWhatCleaningIsHeldAgainst(t *testing.T) {
	town := newTown()
	town.add(sootline.ID{}, sootline.LongAgo.Add(time.Second), sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Alpha", Kind: sootline.Smoke, FactoryRest: new(25.0), Bands: []sootline.Band{{Low: new(20.0), High: new(40.0)}},
	}})
	for n, values := range [][]float64{{25, 30, 36, 38, 34, 35, 38}, {25, 29, 34, 38, 33, 35, 38}, {25, 29, 34, 37, 26, 30, 34}, {25, 25, 25, 25, 25, 25, 25}} {
		id := town.history(1+n, "Hall", values...)
		if n < 3 {
			town.add(id, visit(3, 0).AddDate(0, 0, 1), sootline.Cleaned{})
		}
	}
	for _, j := range judge.Assess(town.register(), town.on).Judgements[:3] {
		text := strings.Join(j.Reasons, "\n")
		if !strings.Contains(text, "where clean units of its type rest at 25") || strings.Contains(text, "as dirty again") {
			t.Errorf("%s: %s", j.Point.Ref(), text)
		}
	}
}

// A noted cleaning that did nothing may have come in the gap after: a fall there is that cleaning, noted too early, and
// one long after is asked about as a cleaning of its own.
func TestNotedTooEarly(t *testing.T) {
	for fallAt, asked := range map[int]bool{5: false, 9: true} {
		town := newTown()
		values := []float64{23, 24.5, 26, 27.5, 29, 30.5, 32, 33.5, 35, 36.5, 38, 39.5}
		for i := range values {
			if i >= fallAt {
				values[i] = 23 + 1.5*float64(i-fallAt)
			}
		}
		id := town.history(1, "Kiln room", values...)
		town.add(id, visit(3, 0).AddDate(0, 0, 1), sootline.Cleaned{})
		for n := 2; n < 12; n++ {
			town.history(n, "Office", flat(12, 23)...)
		}
		found := slices.ContainsFunc(judge.Unwritten(town.register()), func(q judge.Question) bool {
			return q.Kind == judge.AskCleaned && q.From.Equal(visit(fallAt-1, 1))
		})
		if found != asked {
			t.Errorf("fell at visit %d: asked %v, want %v", fallAt, found, asked)
			for _, q := range judge.Unwritten(town.register()) {
				t.Log(q.Kind, q.Evidence)
			}
		}
	}
}
