package judge_test

import (
	"testing"

	"sootline"
	"sootline/internal/judge"
)

func (t *town) glance() judge.Overview {
	r := t.register()
	return judge.Glance(r, judge.Site(r, t.on))
}

func TestWorstAreas(t *testing.T) {
	town := newTown()
	for n, last := range []float64{40, 30, 24} {
		town.history(n+1, "Kiln room", 23, 24, last)
	}
	town.history(11, "Stores", 23, 24, 41)
	town.history(21, "Office", 23, 24, 23)
	got := town.glance().Areas
	if len(got) != 2 || got[0].Area != "Stores" || got[0].Share != 1 || got[1].Area != "Kiln room" || got[1].Outside != 1 || got[1].Points != 3 {
		t.Fatalf("%+v", got)
	}
	// The band is 18 to 36: margins -4/18, 6/18 and 6/18, the median of them 1/3.
	if *got[1].Margin < 0.333 || *got[1].Margin > 0.334 {
		t.Errorf("margin %v", *got[1].Margin)
	}
}

// What was written is likely not what was shown: it is outside for nobody, and one to be cleaned at the visit is on the way.
func TestSlipsAreNotOutside(t *testing.T) {
	town := newTown()
	for n := 1; n <= 9; n++ {
		town.history(n, "Bakery", 25, 26, 25, 25, 26, 25)
	}
	town.history(10, "Bakery", 25, 26, 25, 25, 26, 250)
	town.history(11, "Bakery", 26, 28, 29, 31, 32, 34)
	a := judge.Assess(town.register(), town.on)
	if got := a.Overview.Areas; len(got) != 1 || got[0].Outside != 0 || got[0].Leaving != 1 || a.Judgements[10].Action != judge.CleanAtVisit {
		t.Errorf("%+v, %s", got, a.Judgements[10].Action)
	}
	if last := a.Overview.Halves[len(a.Overview.Halves)-1]; last.Inside != last.Points {
		t.Errorf("%+v", last)
	}
}

func TestTypesThatAge(t *testing.T) {
	falling, rising := newTown(), newTown()
	for n := 1; n <= 10; n++ {
		falling.history(n, "A", 30, 29, 28, 27, 26, 25)
		rising.history(n, "A", 25, 26, 27, 28, 29, 30)
	}
	got := falling.glance().Ageing
	// Ten of ten by chance: 1/1024.
	if len(got) != 1 || got[0].Falling != 10 || got[0].Drift > -2.4 || got[0].Drift < -4.6 || got[0].Chance < 0.000976 || got[0].Chance > 0.000977 {
		t.Errorf("%+v", got)
	}
	if got := rising.glance().Ageing; len(got) > 0 {
		t.Errorf("%+v", got)
	}
}

// Where dirt makes a type fall, a fall is no ageing; and after one visit nobody knows who falls.
func TestDirtThatFallsIsNoAgeing(t *testing.T) {
	for name, c := range map[string]struct {
		worse  sootline.Direction
		values []float64
	}{
		"dirt lowers it": {sootline.Downwards, []float64{30, 29, 28, 27, 26, 25}},
		"one visit":      {sootline.Upwards, []float64{30}},
	} {
		town := newTown()
		town.add(sootline.ID{}, sootline.LongAgo.AddDate(0, 0, 1), sootline.Sheet{TypeSheet: sootline.TypeSheet{
			Name: "Alpha", Kind: sootline.Smoke, Worse: c.worse, Bands: []sootline.Band{{Low: new(18.0), High: new(36.0)}},
		}})
		for n := 1; n <= 20; n++ {
			town.history(n, "A", c.values...)
		}
		if got := town.glance().Ageing; len(got) > 0 {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// A point that is outside by another quantity is outside for its area and for the course of the site.
func TestOutsideByAnotherQuantity(t *testing.T) {
	town := newTown()
	town.add(sootline.ID{}, sootline.LongAgo.AddDate(0, 0, 1), sootline.Sheet{TypeSheet: sootline.TypeSheet{
		Name: "Alpha", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: new(18.0), High: new(36.0)}},
		Others: []sootline.Quantity{{Name: sootline.CompensationUsed, Unit: "%", Bands: []sootline.Band{{High: new(80.0)}}}},
	}})
	for n := 1; n <= 3; n++ {
		id := town.history(n, "Kiln room", 25, 25)
		town.add(id, visit(1, n), sootline.Read{Samples: []float64{float64(60 + 10*n)}, Quantity: sootline.CompensationUsed})
	}
	got := town.glance()
	if len(got.Areas) != 1 || got.Areas[0].Outside != 1 || got.Areas[0].Points != 3 {
		t.Errorf("%+v", got.Areas)
	}
	if last := got.Halves[len(got.Halves)-1]; last.Points != 3 || last.Inside != 2 {
		t.Errorf("%+v", got.Halves)
	}
}

// Twelve quarterly visits are six half-years; the smallest one-sided exact p of
// Mann-Kendall is 0.0417 at n = 4 (statistics.md section 2), so three are too few.
func TestCourse(t *testing.T) {
	for name, c := range map[string]struct {
		outside []int // points outside in each half-year, of 10
		want    judge.SiteCourse
	}{
		"worse":   {[]int{0, 1, 2, 4, 5, 6}, judge.SiteWorse},
		"better":  {[]int{6, 5, 4, 2, 1, 0}, judge.SiteBetter},
		"neither": {[]int{1, 2, 1, 2, 1, 2}, judge.SiteNoChange},
		"same":    {[]int{1, 1, 1, 1, 1, 1}, judge.SiteNoChange},
		"few":     {[]int{0, 3, 6}, judge.SiteTooFew},
	} {
		town := newTown()
		for n := range 10 {
			var values []float64
			for _, outside := range c.outside {
				v := 25.0
				if n < outside {
					v = 40
				}
				values = append(values, 25, v)
			}
			town.history(n+1, "A", values...)
		}
		got := town.glance()
		if got.Course != c.want || len(got.Halves) != len(c.outside) || got.Halves[0].Inside != 10-c.outside[0] || got.Halves[0].Points != 10 {
			t.Errorf("%s: %+v", name, got)
		}
	}
}
