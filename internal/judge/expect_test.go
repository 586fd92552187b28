package judge_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// TestExpectHoldsItsShare simulates 600 detectors that drift and are read with
// noise, and reads each once more: of these looks, 99 of 100 are to lie in the
// interval that was expected. With 600 looks the share found is within 3 standard
// errors, sqrt(0.99*0.01/600) = 0.4 % each; that the noise is learned from few visits
// and rounding coarsens it is given another 1 %.
func TestExpectHoldsItsShare(t *testing.T) {
	chance := rand.New(rand.NewPCG(5, 6))
	now := date("2026-01-20")
	var entries []sootline.Entry
	add := func(at time.Time, n int, point sootline.ID, body sootline.Body) {
		entries = append(entries, sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, n, body.Kind())), Site: site, At: at, Noted: at, Point: point, Body: body})
	}
	low, high := 20.0, 60.0
	add(sootline.LongAgo, 0, sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Alpha", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: &low, High: &high}}}})
	const detectors, visits, noise = 600, 9, 1.2
	next := map[sootline.ID]float64{}
	for n := range detectors {
		point := sootline.DerivedID(now, fmt.Append(nil, "detector", n))
		add(now.AddDate(-4, 0, 0), n, point, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: fmt.Sprint(n / 126), Order: 1 + n%126, Area: fmt.Sprint(n / 50)}, Type: "Alpha"})
		start, slope := 25+3*chance.NormFloat64(), 1+0.5*chance.NormFloat64()
		value := func(years float64) float64 { return start + slope*years + noise*chance.NormFloat64() }
		for v := range visits {
			add(now.AddDate(0, -5*(visits-v), 0), n, point, sootline.Read{Samples: []float64{value(float64(v) * 5 / 12)}})
		}
		next[point] = value(visits * 5.0 / 12)
	}
	inside, asked := 0, 0
	for _, x := range judge.Expect(sootline.Fold(entries, now), now) {
		if x.Value == nil || *x.From > *x.Value || *x.Value > *x.To || *x.Low != low || *x.High != high || x.Spread == nil {
			t.Fatalf("nothing can be held against %+v", x)
		}
		asked++
		if y := next[x.Point.ID]; y >= *x.From && y <= *x.To {
			inside++
		}
	}
	if share := float64(inside) / float64(asked); asked != detectors || share < 0.968 {
		t.Errorf("%d of %d looks lie where they were expected: %.1f %%, want 99 %%", inside, asked, 100*share)
	} else {
		t.Logf("%d of %d looks lie where they were expected", inside, asked)
	}
}

// Where little is known, less is expected, and nothing is made up.
func TestExpectLittle(t *testing.T) {
	now := date("2026-01-20")
	b := &book{}
	b.sheet(alpha())
	b.fit(date("2024-01-20"))
	expect := func() judge.Expectation {
		t.Helper()
		all := judge.Expect(sootline.Fold(b.entries, now), now)
		if len(all) != 1 {
			t.Fatalf("%d expectations of one point", len(all))
		}
		return all[0]
	}
	if x := expect(); x.Value != nil || x.From != nil || x.To != nil || *x.Low != 20 || *x.High != 35 {
		t.Errorf("without a reading %+v is expected", x)
	}
	b.read(date("2025-06-20"), 26)
	if x := expect(); x.Value == nil || math.Abs(*x.Value-26) > 2 || *x.From >= 26 || *x.To <= 26 {
		t.Errorf("after one look at 26 %+v is expected", x)
	}
	b.add(date("2025-07-01"), sootline.Cleaned{})
	if x := expect(); x.Value != nil {
		t.Errorf("after cleaning %v is expected", *x.Value)
	}
}
