package judge_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// crossingCase is one history of testdata/crossing_cases.json, see its README.
type crossingCase struct {
	Name  string
	Input struct {
		Days  []float64
		Y     []float64
		Limit float64
		Side  string
	}
	Expected struct {
		Slope    float64  `json:"ols_slope_per_year"`
		TQuant   float64  `json:"t_quantile"`
		SlopeSE  float64  `json:"se_slope"`
		Lower    *float64 `json:"lower_day"`
		Point    *float64 `json:"point_day"`
		Upper    *float64 `json:"upper_day"`
		Screened []int    `json:"screened_out_indices"`
	}
}

// crossingWant is what this package adds to the reference: which of the days
// may be given, whether the drift is real, and the chance at the next visit.
//
// Days: twice the span ahead of the last visit at day d is day 3*d; 4 or 5
// visits give the earliest day only. Real: the one-sided exact p of the order
// of the values, counted over all orderings by a Python program, beside the
// quotient of slope and standard error from the file. Chance: Student's t of
// (fit - limit)/se 184 days after the last visit, by Simpson's rule in Python.
// Guard: the lower day of the last six visits alone, by the same Python program
// that made the file.
type crossingWant struct {
	earliest, likely, latest bool
	real                     judge.Real
	chance                   float64
	steady                   bool
	guard                    float64 // the earliest day of the guard, where it comes before that of the file
}

func crossingWants() map[string]crossingWant {
	return map[string]crossingWant{
		// day 1932.7 lies beyond 3*640; p 0.0002
		"steady rise n=8": {true, true, false, judge.Yes, 0.000049, true, 1007.883},
		// all before 3*1006; p below 0.0001
		"fast rise n=12": {true, true, true, judge.Yes, 0.000005, true, 1292.425},
		// day 2685.7 lies beyond 3*820; p 0.0014
		"rise with outlier n=10": {true, true, false, judge.Yes, 0, true, 1400.147},
		// slope 2.74 standard errors, quantile 1.94, but p 0.083
		"short n=4": {true, false, false, judge.No, 0.002826, true, 0},
		// day 5299.6 lies beyond 3*730; p 0.5
		"flat n=9": {false, false, false, judge.No, 0, true, 0},
		// all before 3*1003; p below 0.0001
		"falling towards low limit n=12": {true, true, true, judge.Yes, 0.001351, true, 1198.048},
		"falling, asked for high limit":  {false, false, false, judge.Yes, 0, true, 0},
		"already beyond n=6":             {false, false, false, judge.Yes, 0.999702, true, 0},
		// day 5370.1 lies beyond 3*639; p 0.0399; excess 44.93 of chi-squared with 6 df, whose 99 % point is 16.81
		"noisier than pooled n=8": {true, true, false, judge.Yes, 0.040081, false, 721.679},
		// slope 1.05 standard errors; p 0.1
		"close to limit, slow n=6": {true, false, false, judge.No, 0.270001, true, 0},
	}
}

func TestCrossingCases(t *testing.T) {
	raw, err := os.ReadFile("testdata/crossing_cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Cases []crossingCase }
	if err := json.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	wants := crossingWants()
	if len(file.Cases) != len(wants) {
		t.Errorf("%d cases in the file, %d expected", len(file.Cases), len(wants))
	}
	for _, c := range file.Cases {
		want, ok := wants[c.Name]
		if !ok {
			t.Errorf("nothing is expected of case %q", c.Name)
		}
		t.Run(c.Name, func(t *testing.T) { checkCrossing(t, c, want) })
	}
}

func checkCrossing(t *testing.T, c crossingCase, want crossingWant) {
	first := date("2022-03-05")
	at := func(days float64) time.Time { return first.Add(time.Duration(days * 24 * float64(time.Hour))) }
	var b book
	band := sootline.Band{High: &c.Input.Limit}
	if c.Input.Side == "low" {
		band = sootline.Band{Low: &c.Input.Limit}
	}
	b.sheet(sootline.TypeSheet{Kind: sootline.Smoke, PooledSD: new(1.0408), Bands: []sootline.Band{band}})
	b.fit(first)
	for i, d := range c.Input.Days {
		b.read(at(d), c.Input.Y[i])
	}
	last := c.Input.Days[len(c.Input.Days)-1]
	on := at(last+184).AddDate(0, -6, 0)
	if !on.AddDate(0, 6, 0).Equal(at(last + 184)) {
		t.Fatalf("the visit after %s is not 184 days after the last", on)
	}
	got := b.judge(t, on)

	near(t, "drift", got.DriftPerYear, &c.Expected.Slope, 1e-9)
	half := c.Expected.TQuant * c.Expected.SlopeSE
	near(t, "low end of the drift", got.DriftLow, new(c.Expected.Slope-half), 1e-6)
	near(t, "high end of the drift", got.DriftHigh, new(c.Expected.Slope+half), 1e-6)
	near(t, "chance outside", got.ChanceOutside, &want.chance, 1e-6)
	if got.DriftReal != want.real {
		t.Errorf("drift real: %s, want %s", got.DriftReal, want.real)
	}
	if got.Unsteady == want.steady {
		t.Errorf("unsteady: %t (%s)", got.Unsteady, got.UnsteadyWhy)
	}
	if want.guard > 0 {
		c.Expected.Lower = &want.guard
	}
	for _, d := range []struct {
		name  string
		given bool
		got   *time.Time
		want  *float64
	}{
		{"earliest", want.earliest, got.LeavesEarliest, c.Expected.Lower},
		{"likely", want.likely, got.LeavesLikely, c.Expected.Point},
		{"latest", want.latest, got.LeavesLatest, c.Expected.Upper},
	} {
		switch {
		case (d.got != nil) != d.given:
			t.Errorf("%s: %v, want one %t", d.name, d.got, d.given)
		case d.given && math.Abs(d.got.Sub(at(*d.want)).Hours()) > 0.1: // the file gives thousandths of a day
			t.Errorf("%s: %v, want %v", d.name, d.got, at(*d.want))
		}
	}
}

// near compares within a tolerance, absolute up to 1 and relative above.
func near(t *testing.T, what string, got, want *float64, tolerance float64) {
	t.Helper()
	if got == nil || math.Abs(*got-*want) > tolerance*max(1, math.Abs(*want)) {
		t.Errorf("%s: %v, want %v", what, text(got), *want)
	}
}

func text(x *float64) string {
	if x == nil {
		return "none"
	}
	return fmt.Sprint(*x)
}

// Readings of one day are one visit: four looks on each of three days are three
// visits, too few to speak of a drift.
func TestReadingsOfOneDayAreOneVisit(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2024-01-01"))
	for i, day := range []string{"2024-06-01", "2025-01-01", "2025-06-01"} {
		for hour := range 4 {
			b.read(date(day).Add(time.Duration(8+hour)*time.Hour), 24+float64(i))
		}
	}
	got := b.judge(t, date("2025-07-01"))
	if got.DriftReal != judge.TooFew || got.DriftPerYear != nil || got.ChanceOutside != nil || got.LeavesEarliest != nil {
		t.Errorf("drift %v, real %s, chance %v, earliest %v", got.DriftPerYear, got.DriftReal, got.ChanceOutside, got.LeavesEarliest)
	}
	if got.ReadingsSinceReset != 12 {
		t.Errorf("%d readings", got.ReadingsSinceReset)
	}
}

// A cleaning begins a new drift: the rise from before is no part of it.
func TestDriftBeginsAtTheReset(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2020-01-01"))
	b.visits(date("2023-12-01"), 22, 24, 26, 28, 30, 32, 34)
	b.add(date("2023-12-02"), sootline.Cleaned{})
	b.visits(date("2025-12-01"), 25, 25, 24, 25, 25, 26, 25, 25)
	got := b.judge(t, date("2025-12-02"))
	if got.ReadingsSinceReset != 8 || !got.ResetAt.Equal(date("2023-12-02")) || got.DriftReal != judge.No {
		t.Errorf("%d readings since %s, drift real %s", got.ReadingsSinceReset, got.ResetAt, got.DriftReal)
	}
	if ids := got.Entries(); len(ids) != 9 || ids[0] != b.entries[len(b.entries)-1].ID {
		t.Errorf("rests on %d entries, want the latest reading, the cleaning and 7 readings", len(ids))
	}
}

// Five visits over more than a year give the earliest day alone, however clear
// the drift.
func TestFiveVisitsGiveNoLatestDay(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2024-01-01"))
	for i, day := range []string{"2024-06-01", "2024-12-01", "2025-06-01", "2025-12-01", "2026-03-01"} {
		b.read(date(day), 22+2*float64(i))
	}
	got := b.judge(t, date("2026-03-04"))
	if got.DriftReal != judge.Yes || got.LeavesEarliest == nil || got.LeavesLikely != nil || got.LeavesLatest != nil {
		t.Errorf("real %s, from %v, %v, to %v", got.DriftReal, got.LeavesEarliest, got.LeavesLikely, got.LeavesLatest)
	}
}

// A line that may be outside already leaves at the last visit, not a fraction of
// a millisecond before.
func TestNoDayBeforeTheLastVisit(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2024-01-01"))
	last := date("2026-03-01").Add(400 * time.Microsecond)
	b.visits(last, 34, 34, 35, 34, 35, 34)
	got := b.judge(t, date("2026-03-04"))
	if got.LeavesEarliest == nil || !got.LeavesEarliest.Equal(last) {
		t.Errorf("earliest %v, last visit %v", got.LeavesEarliest, last)
	}
}
