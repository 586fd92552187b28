package judge_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/judge"
)

// Sites of 60 points on one loop with 20 quarterly visits, noise of standard
// deviation 1 rounded to whole numbers, where two devices whose levels are 8
// apart changed places: recall and precision at least 0.9 (our goal). Sites
// where nothing happened: questions about one site in twenty, at most.
func TestSwapsOfFiveSD(t *testing.T) {
	const sites, points, visits = 60, 60, 20
	rng := rand.New(rand.NewPCG(11, 5))
	found, wrong, false_ := 0, 0, 0
	for s := range 2 * sites {
		swapped := s%2 == 0
		at := 4 + rng.IntN(visits-8)
		town := newTown()
		for n := 1; n <= points; n++ {
			level, drift := 23+rng.NormFloat64(), 0.1*rng.Float64()
			values := make([]float64, visits)
			for i := range values {
				here := level
				switch {
				case swapped && n == 7:
					here = 23 + 8*step(i < at)
				case swapped && n == 40:
					here = 23 + 8*step(i >= at)
				}
				values[i] = math.Round(here + drift*float64(i) + rng.NormFloat64())
			}
			town.history(n, "A", values...)
		}
		for _, q := range judge.Unwritten(town.register()) {
			right := q.Kind == judge.AskChangedPlaces && len(q.Points) == 2 && numbersOf(q)[0] == 7 && numbersOf(q)[1] == 40
			switch {
			case !swapped:
				false_++
			case right:
				found++
			case q.Kind == judge.AskChangedPlaces:
				wrong++
			}
		}
	}
	recall, precision := float64(found)/sites, float64(found)/float64(max(1, found+wrong))
	t.Logf("swaps: recall %.3f, precision %.3f; questions about %d quiet sites: %d", recall, precision, sites, false_)
	if recall < 0.9 || precision < 0.9 || false_ > sites/10 {
		t.Errorf("recall %.3f, precision %.3f, %d false questions", recall, precision, false_)
	}
}

func step(so bool) float64 {
	if so {
		return 1
	}
	return 0
}

// Whatever logs hold: numbers are numbers, every question names points, times in
// order and entries, what a yes says is a possible entry; the same log gives the
// same questions; points without a reading give none.
func TestAnyUnwritten(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		entries, end := severalLogs(rt)
		r := sootline.Fold(entries, end)
		got := judge.Unwritten(r)
		for _, q := range got {
			if len(q.Points) == 0 || q.To.Before(q.From) || len(q.Evidence) < 2 || len(q.Entries) == 0 {
				rt.Errorf("question %+v", q)
			}
			for _, f := range q.Numbers {
				if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
					rt.Errorf("%s is %v", f.Name, f.Value)
				}
			}
			for _, p := range q.Points {
				if len(p.Readings) == 0 {
					rt.Errorf("asked about a point without a reading: %+v", q)
				}
			}
			for i, said := range q.Say {
				e := sootline.Entry{ID: sootline.DerivedID(said.At, fmt.Append(nil, i)), Site: site, At: said.At, Point: said.Point.ID, Body: said.Body}
				if err := e.Check(); err != nil {
					rt.Error(err)
				}
			}
		}
		if !reflect.DeepEqual(got, judge.Unwritten(r)) {
			rt.Error("asked otherwise the second time")
		}
		judgements := judge.Site(r, end)
		for p, peer := range judge.Peers(r, judgements) {
			if len(p.Readings) == 0 || math.IsNaN(peer.Z) || math.IsInf(peer.Z, 0) || peer.Reason == "" || (peer.State != judge.NoPeers) != (peer.Scale > 0) {
				rt.Errorf("peer %+v", peer)
			}
		}
		checkGlance(rt, judge.Glance(r, judgements))
		levels := judge.CleanLevels(r)
		for _, p := range r.Points() {
			u := judge.Cleanings(r, p, levels)
			if u.Worn > 0 && len(u.Cleanings) == 0 || len(u.Reasons) < len(u.Cleanings) {
				rt.Errorf("upkeep %+v", u)
			}
		}
	})
}

func checkGlance(t *rapid.T, o judge.Overview) {
	for _, area := range o.Areas {
		if !(area.Share > 0 && area.Share <= 1) {
			t.Errorf("area %+v", area)
		}
	}
	for _, h := range o.Halves {
		if h.Points < 1 || h.Inside > h.Points || !(h.Share >= 0 && h.Share <= 1) {
			t.Errorf("half %+v", h)
		}
	}
	if o.Course == "" || o.Reason == "" {
		t.Errorf("course %q, reason %q", o.Course, o.Reason)
	}
}

// severalLogs puts up to seven drawn logs on one site.
func severalLogs(t *rapid.T) (entries []sootline.Entry, end time.Time) {
	end = date("2015-01-02")
	for i := range rapid.IntRange(0, 7).Draw(t, "points") {
		b := logGen().Draw(t, "log")
		for _, e := range b.entries {
			if !e.Point.Zero() {
				e.Point[15] = byte(i)
			}
			e.ID[15] = byte(i)
			entries = append(entries, e)
		}
		if b.end().After(end) {
			end = b.end()
		}
	}
	return entries, end
}

func TestNothingToAsk(t *testing.T) {
	town := newTown()
	town.fit(1, "A")
	for _, r := range []*sootline.Register{sootline.Fold(nil, town.on), town.register()} {
		if got := judge.Unwritten(r); len(got) > 0 {
			t.Errorf("from nothing: %+v", got)
		}
		o := judge.Glance(r, judge.Site(r, town.on))
		if o.Course != judge.SiteTooFew || len(o.Halves)+len(o.Areas)+len(o.Ageing) > 0 {
			t.Errorf("from nothing: %+v", o)
		}
		if diff := cmp.Diff(map[*sootline.Point]judge.Peer{}, judge.Peers(r, judge.Site(r, town.on))); diff != "" {
			t.Error(diff)
		}
	}
}

// BenchmarkUnwritten asks about 5,000 points with 20 visits each, of which one
// in fifty has a step; the goal is about a second at most.
func BenchmarkUnwritten(b *testing.B) {
	town := newTown()
	rng := rand.New(rand.NewPCG(1, 2))
	for n := range 5000 {
		id := sootline.DerivedID(date("2020-01-01"), fmt.Append(nil, n))
		town.add(id, date("2020-01-01"), sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: fmt.Sprint(n / 125)}, Type: "Alpha"})
		for i := range 20 {
			v := math.Round(24 + 0.1*float64(i) + rng.NormFloat64() + 9*step(n%50 == 0 && i > 10))
			town.add(id, visit(i, n%125), sootline.Read{Samples: []float64{v}})
		}
	}
	r := town.register()
	for b.Loop() {
		judge.Unwritten(r)
	}
}
