package judge_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// judged gives the judgement of a point.
func (t *town) judged(n int) judge.Judgement {
	r := t.register()
	all := judge.Site(r, t.on)
	return all[slices.IndexFunc(all, func(j judge.Judgement) bool { return j.Point.Order == n })]
}

// neighbours fits points that behave, so that a type is known.
func (t *town) neighbours(from, to int) {
	for n := from; n <= to; n++ {
		t.history(n, "Hall", flat(12, 25)...)
	}
}

// Up and down by far more than noise at the last visits is no level, whatever story could be told of each visit.
func TestJumpsAboutLately(t *testing.T) {
	for _, values := range [][]float64{
		{25, 25, 25, 24, 25, 25, 25, 25, 25, 38, 22, 36},
		{25, 25, 25, 24, 25, 25, 25, 25, 25, 38, 22, 36, 24},
		{32, 23, 22, 28, 31, 33, 26, 27, 20, 24, 29, 30},
	} {
		town := newTown()
		town.neighbours(1, 20)
		town.history(21, "Hall", values...)
		if got := town.judged(21); got.Action != judge.LookAgain || !got.Unsteady {
			t.Errorf("%v: %s, unsteady %t: %q", values, got.Action, got.Unsteady, got.Reasons)
		}
	}
	town := newTown() // one slip among them is no unrest
	town.neighbours(1, 20)
	town.history(21, "Hall", 25, 25, 25, 24, 25, 25, 25, 25, 25, 62, 26, 25)
	if got := town.judged(21); got.Unsteady {
		t.Errorf("one slip: %q", got.Reasons)
	}
}

// Two looks were written for each other only where each fits the place of the other.
func TestWrittenForEachOther(t *testing.T) {
	for _, c := range []struct {
		name string
		a, b []float64 // of two neighbours
		want bool
	}{
		{"both odd", []float64{25, 25, 26, 25, 24, 25, 38}, []float64{38, 38, 37, 38, 38, 37, 25}, true},
		{"the neighbour as ever", []float64{26, 26, 25, 26, 26, 26, 34}, []float64{24, 24, 25, 24, 24, 24, 25}, false},
		{"two looks tell nothing", []float64{25, 34}, []float64{34, 25}, false},
		{"they changed places before", []float64{25, 25, 25, 34, 34, 34, 34}, []float64{34, 34, 34, 25, 25, 25, 25}, false},
	} {
		town := newTown()
		town.neighbours(1, 20)
		town.history(21, "Hall", c.a...)
		town.history(22, "Hall", c.b...)
		asked := 0
		for _, q := range judge.Unwritten(town.register()) {
			if q.Kind == judge.AskNeighbour {
				asked++
			}
		}
		if (asked > 0) != c.want {
			t.Errorf("%s: asked %d times", c.name, asked)
		}
		said := false
		for _, n := range []int{21, 22} {
			said = said || strings.Contains(strings.Join(town.judged(n).Reasons, "\n"), "neighbour")
		}
		if said != c.want {
			t.Errorf("%s: said %t", c.name, said)
		}
	}
}

// A last visit that departs from all others is said, be it ever so usual a value.
func TestLastVisitOutweighsOthers(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	town.history(21, "Hall", 38, 38, 37, 38, 38, 38, 38, 38, 38, 37, 38, 25)
	if text := strings.Join(town.judged(21).Reasons, "\n"); !strings.Contains(text, "changed at once") {
		t.Errorf("%s", text)
	}
}

// A change at once is no drift: the order of the visits is looked at after it.
func TestAJumpIsNoTrend(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	town.history(21, "Hall", 25, 24, 25, 25, 24, 25, 33, 32, 33, 33, 32, 33)
	if got := town.judged(21); got.DriftReal == judge.Yes || strings.Contains(strings.Join(got.Reasons, "\n"), "more than by chance") {
		t.Errorf("%s: %q", got.DriftReal, got.Reasons)
	}
}

// Ten times the value is a factor of ten, and not the neighbour's value.
func TestTenTimesBesideANeighbour(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	town.history(21, "Hall", 26, 26, 26, 25, 26, 26, 25, 26, 26, 25, 26, 260)
	q := ask(t, town.register(), judge.AskFactorTen)
	if text := strings.Join(q.Evidence, "\n"); !strings.Contains(text, "was it 26") {
		t.Errorf("%s", text)
	}
}

// Between a noted reset and the first look after it nobody saw anything change.
func TestNothingChangedBeforeTheFirstLook(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	for n := 21; n <= 22; n++ {
		id := town.fit(n, "Hall")
		for i, v := range []float64{24, 24, 25, 27, 29} {
			town.add(id, visit(15+2*i, n), sootline.Read{Samples: []float64{v}})
		}
	}
	if got := judge.Unwritten(town.register()); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

// A fall far below where clean units rest is no cleaning.
func TestFallBelowRest(t *testing.T) {
	town := newTown()
	town.neighbours(1, 20)
	town.history(21, "Hall", 24, 25, 24, 26, 25, 25, 25, 24, 25, 0, 0, 0)
	ask(t, town.register(), judge.AskOtherDevice)
}

// What else was read on the last day is said; of two readings of one instant the one on the side of dirt is shown,
// whichever the log holds first.
func TestTwoReadingsOfOneDay(t *testing.T) {
	for _, c := range [][2]float64{{35, 37}, {37, 35}, {24, 48}, {48, 24}} {
		town := newTown()
		town.neighbours(1, 20)
		id := town.fit(21, "Hall")
		town.add(id, visit(10, 21), sootline.Read{Samples: []float64{25}})
		for _, v := range c {
			town.add(id, visit(11, 21), sootline.Read{Samples: []float64{v}})
		}
		got := town.judged(21)
		text := strings.Join(got.Reasons, "\n")
		if got.Value != max(c[0], c[1]) || !strings.Contains(text, "also read on that day: "+fmt.Sprint(min(c[0], c[1]))) {
			t.Errorf("%v: %v: %s", c, got.Value, text)
		}
	}
}

// A point that is cleaned at a visit says why it is not worth a trip before.
func TestNoTrip(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2022-01-01"))
	b.visits(date("2026-03-01"), 25, 26, 28, 29, 31, 32, 34)
	got := b.judge(t, date("2026-03-04"))
	if text := strings.Join(got.Reasons, "\n"); got.Action != judge.CleanAtVisit || !strings.Contains(text, "a trip for it alone pays from 67 % on") {
		t.Errorf("%s: %s", got.Action, text)
	}
}

// Equal readings after a rise surprise; as many about a level that rested all along do not, also where others of the
// type are written to a tenth.
func TestStuckAfterARise(t *testing.T) {
	for _, c := range []struct {
		name   string
		values []float64
		want   judge.Action
	}{
		{"seven after a rise", []float64{26, 25, 27, 28, 30, 31, 31, 31, 31, 31, 31, 31}, judge.LookAgain},
		{"at rest all along", []float64{25, 26, 25, 25, 24, 25, 25, 25, 25, 25, 25, 25}, judge.Leave},
		{"beyond the limit", []float64{41, 42, 41, 41, 41, 41, 41, 41, 41, 41, 41, 41}, judge.CleanNow},
	} {
		town := newTown()
		for n := 1; n <= 20; n++ {
			values := []float64{25, 25, 25, 25, 24, 25, 25, 25, 25, 26, 25, 25}
			for i := range values {
				values[i] += float64(n%4) * 0.3 * float64(i)
			}
			town.halfYearly(n, values...)
		}
		town.halfYearly(21, c.values...)
		if got := town.judged(21); got.Action != c.want {
			t.Errorf("%s: %s: %q", c.name, got.Action, got.Reasons)
		}
	}
}

// Two looks that were written for each other are one question, be they of one type or of two; a yes puts both right.
func TestWrittenForEachOtherIsPutRight(t *testing.T) {
	for _, typ := range []string{"Alpha", "Beta"} {
		town := newTown()
		town.add(sootline.ID{}, sootline.LongAgo, sootline.Sheet{TypeSheet: sootline.TypeSheet{
			Name: "Beta", Kind: sootline.Smoke, Unit: "counts", Bands: []sootline.Band{{Low: new(20.0), High: new(50.0)}},
		}})
		town.neighbours(1, 10)
		a := town.history(21, "Hall", 25, 25, 26, 25, 24, 25, 38)
		b := town.fitType(22, "Hall", typ)
		for i, v := range []float64{38, 38, 37, 38, 38, 37, 25} {
			town.add(b, visit(i, 22), sootline.Read{Samples: []float64{v}})
		}
		town.yes(t, ask(t, town.register(), judge.AskNeighbour))
		r := town.register()
		if x, y := r.Point(a).Readings, r.Point(b).Readings; x[len(x)-1].Samples[0] != 38-13 || y[len(y)-1].Samples[0] != 38 {
			t.Errorf("%s: put right to %v and %v", typ, x[len(x)-1].Samples, y[len(y)-1].Samples)
		}
	}
}
