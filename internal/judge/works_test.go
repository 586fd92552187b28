package judge_test

import (
	"math"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// attic reads two types of one room, one that rises and one that falls with dirt, beside others of both elsewhere: all
// of the room went towards dirt at the last visit, each by an amount of its own.
func attic() *town {
	town := newTown()
	town.add(sootline.ID{}, sootline.LongAgo, sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Beta", Kind: sootline.Smoke, Unit: "counts", Worse: sootline.Downwards, Bands: []sootline.Band{{Low: new(130.0), High: new(200.0)}},
	}})
	for n := 1; n <= 24; n++ {
		room, went := "Attic", 5+float64(n%4)
		if n > 12 {
			room, went = "Office", 0
		}
		typ, values := "Alpha", []float64{23, 23, 24, 24, 25, 25 + went}
		if n%2 == 0 {
			typ, values = "Beta", []float64{178, 178, 177, 176, 175, 175 - 4*went}
		}
		id := town.fitType(n, room, typ)
		for i, v := range values {
			town.add(id, visit(2*i, n), sootline.Read{Samples: []float64{v + float64(n/2%3)}})
		}
	}
	return town
}

// What a whole room did at once is one story, be its types such that rise or such that fall: none of it is a drift that
// quickens, it is asked about once, and after a yes nothing there is cleaned for it.
func TestRoomOfSeveralTypesRoseAtOnce(t *testing.T) {
	town := attic()
	q := ask(t, town.register(), judge.AskWorks)
	if len(q.Points) != 12 {
		t.Errorf("asked about %v", numbersOf(q))
	}
	for range 2 { // before and after a yes
		for _, j := range judge.Site(town.register(), town.on) {
			if j.Action != judge.Leave || j.Curved || *j.ChanceOutside > 0.3 {
				t.Errorf("%s: %s, curved %t, %.2f: %q", j.Point.Ref(), j.Action, j.Curved, *j.ChanceOutside, j.Reasons)
			}
		}
		if len(judge.Unwritten(town.register())) > 0 {
			town.yes(t, q)
		}
	}
}

// All that was read at the last visit is off alike, in all rooms: that is asked about once, is no drift, and nothing is
// cleaned for it. What was dirty before is cleaned all the same, and after a no all stands as it was read.
func TestAnotherInstrumentAtTheLastVisit(t *testing.T) {
	town := newTown()
	for n := 1; n <= 20; n++ {
		values := []float64{24, 24, 24, 24, 24, 26}
		if n == 20 {
			values = []float64{26, 29, 31, 34, 37, 42}
		}
		id := town.fit(n, []string{"Office", "Hall"}[n%2])
		for i, v := range values {
			town.add(id, visit(2*i, n), sootline.Read{Samples: []float64{v + 0.1*float64((5*n+3*i)%7)}})
		}
	}
	q := ask(t, town.register(), judge.AskInstrument)
	all := judge.Site(town.register(), town.on)
	for _, j := range all[:19] {
		if j.Action != judge.Leave || j.Curved || *j.DriftPerYear > 1 {
			t.Errorf("%s: %s, drift %v: %q", j.Point.Ref(), j.Action, *j.DriftPerYear, j.Reasons)
		}
	}
	if all[19].Action != judge.CleanNow {
		t.Errorf("dirty before: %s: %q", all[19].Action, all[19].Reasons)
	}
	no := town.entries
	town.add(q.Points[0].ID, town.on, sootline.Note{Text: "no", Answers: q.Key()})
	said := func() bool {
		return strings.Contains(strings.Join(judge.Site(town.register(), town.on)[0].Reasons, "\n"), "as of another instrument")
	}
	if said() || len(judge.Unwritten(town.register())) > 0 {
		t.Error("a no is not heard")
	}
	town.entries = no
	town.yes(t, q)
	if !said() {
		t.Error("a yes is forgotten")
	}
}

// What nearly a whole room did at once is works, be each of its points fast enough to have come there by itself: one of
// them has not changed places with a detector elsewhere that was cleaned.
func TestRoomLeaptAtOnce(t *testing.T) {
	town := newTown()
	for n := 1; n <= 20; n++ {
		town.history(n, "Hall", flat(6, 23+float64(n%4))...)
	}
	for n := 21; n <= 30; n++ {
		x, drift, leap := 20+float64(n%3), 0.8+0.3*float64(n%4), 6+float64(n%4)
		town.history(n, "Yard", x, math.Round(x+drift), math.Round(x+2*drift), math.Round(x+3*drift), math.Round(x+4*drift+leap), math.Round(x+5*drift+leap))
	}
	town.history(31, "Hall", 24, 27, 30, 33, 25, 26)
	q := ask(t, town.register(), judge.AskWorks)
	if len(q.Points) < 8 {
		t.Errorf("%q", q.Evidence)
	}
	for _, q := range judge.Raised(town.register()) {
		if q.Kind == judge.AskChangedPlaces {
			t.Errorf("%q", q.Evidence)
		}
	}
}

// All that was read at one visit is off alike and shows at the next what it showed before, by an amount or a factor: that
// is one question about that visit, not one about a scale that changed twice, and no detector's doing.
func TestAnotherInstrumentInTheMiddle(t *testing.T) {
	for _, c := range []struct{ times, more float64 }{{1, 6}, {1, -5}, {0.4, 0}, {2.55, 0}} {
		t.Logf("%+v", c)
		town := newTown()
		for n := 1; n <= 20; n++ {
			id := town.fit(n, []string{"Office", "Hall"}[n%2])
			for i := range 8 {
				v := 22 + float64(n%4) + 0.1*float64((5*n+3*i)%7)
				if i == 4 {
					v = c.times*v + c.more
				}
				town.add(id, visit(2*i, n), sootline.Read{Samples: []float64{v}})
			}
		}
		q := ask(t, town.register(), judge.AskInstrument)
		if !strings.Contains(strings.Join(q.Evidence, "\n"), "at the next visit") || q.From != q.To || q.From.Before(visit(8, 0)) || q.To.After(visit(8, 30)) {
			t.Errorf("%+v: from %v to %v: %q", c, q.From, q.To, q.Evidence)
		}
		for _, j := range judge.Site(town.register(), town.on) {
			if text := strings.Join(j.Reasons, "\n"); j.Action != judge.Leave || math.Abs(*j.DriftPerYear) > 0.5 || strings.Contains(text, "another instrument") {
				t.Errorf("%+v: %s: %s, drift %v: %s", c, j.Point.Ref(), j.Action, *j.DriftPerYear, text)
			}
		}
		town.yes(t, q)
	}
}

// A larger change that the last visit alone shows may be of the scale or of the instrument: who says no to the one is
// asked about the other.
func TestScaleOrInstrument(t *testing.T) {
	town := newTown()
	for n := 1; n <= 20; n++ {
		id := town.fit(n, []string{"Office", "Hall"}[n%2])
		for i, more := range []float64{0, 0, 0, 0, 0, 6} {
			town.add(id, visit(2*i, n), sootline.Read{Samples: []float64{22 + float64(n%4) + 0.1*float64((5*n+3*i)%7) + more}})
		}
	}
	q := ask(t, town.register(), judge.AskRescaled)
	if !strings.Contains(strings.Join(q.Evidence, "\n"), "say no") {
		t.Errorf("%q", q.Evidence)
	}
	town.add(q.Points[0].ID, town.on, sootline.Note{Text: "no", Answers: q.Key()})
	town.yes(t, ask(t, town.register(), judge.AskInstrument))
}
