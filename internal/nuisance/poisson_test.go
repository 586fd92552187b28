package nuisance

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"
)

type reference struct {
	Table []struct {
		K                                  int
		Lo90, Hi90, Lo95, Hi95, Lo99, Hi99 float64
	}
	Spots []struct {
		K                int
		CI90, CI95, CI99 []float64
		Upper95          float64
	} `json:"spot_checks_read"`
	Rates []struct {
		Events        int
		DetectorYears float64    `json:"detector_years"`
		Threshold     float64    `json:"threshold_rate"`
		CI95          [2]float64 `json:"ci95_per_100"`
		CI90          [2]float64 `json:"ci90_per_100"`
		AtLeast       float64    `json:"p_at_least_k"`
		AtMost        float64    `json:"p_at_most_k"`
		Verdict       string
	} `json:"rate_cases"`
	Two []struct {
		X        [2]int
		T        [2]float64
		Ratio, P float64
		CI95     [2]float64
	} `json:"two_rate_cases_R"`
	Exposure []struct {
		Per100 float64            `json:"threshold_per_100"`
		Years  map[string]float64 `json:"detector_years_to_show_below_onesided95"`
	} `json:"exposure_needed"`
	Critical []struct {
		Expected float64
		Smallest int `json:"smallest_count_above_at_5pct"`
		P        float64
	} `json:"critical_counts"`
}

func load(t *testing.T, name string, into any) {
	t.Helper()
	raw, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatal(err)
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance*max(1, math.Abs(want)) || math.IsNaN(got) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

// Garwood's intervals against SciPy's chi-squared quantiles, relative 1e-9
// (testdata/poisson.json).
func TestIntervalAgainstSciPy(t *testing.T) {
	var ref reference
	load(t, "poisson.json", &ref)
	if len(ref.Table) < 20 {
		t.Fatalf("only %d rows", len(ref.Table))
	}
	for _, row := range ref.Table {
		for level, want := range map[float64][2]float64{0.90: {row.Lo90, row.Hi90}, 0.95: {row.Lo95, row.Hi95}, 0.99: {row.Lo99, row.Hi99}} {
			low, high := Interval(row.K, level)
			near(t, "low", low, want[0], 1e-9)
			near(t, "high", high, want[1], 1e-9)
		}
	}
}

// The published values, to the decimals printed: a calculator's help page that
// names Garwood's method (25 events), and the epitools manual (0 events).
func TestIntervalPublished(t *testing.T) {
	for level, want := range map[float64][2]float64{0.90: {17.38, 34.92}, 0.95: {16.18, 36.90}, 0.99: {14.0, 41.0}} {
		low, high := Interval(25, level)
		near(t, "low", low, want[0], 0.005)
		near(t, "high", high, want[1], 0.005)
	}
	_, high := Interval(0, 0.95)
	near(t, "upper of none", high, 3.689, 0.0005)
}

// Rates, tails and the three-way answer against SciPy (testdata/poisson.json).
func TestRateCases(t *testing.T) {
	var ref reference
	load(t, "poisson.json", &ref)
	states := map[string]State{"above": AboveLimit, "below": NotAbove, "not decided": CannotTell}
	for _, c := range ref.Rates {
		scale := 100 / c.DetectorYears
		low, high := Interval(c.Events, 0.95)
		near(t, "low95", low*scale, c.CI95[0], 1e-9)
		near(t, "high95", high*scale, c.CI95[1], 1e-9)
		low, high = Interval(c.Events, 0.90)
		near(t, "low90", low*scale, c.CI90[0], 1e-9)
		near(t, "high90", high*scale, c.CI90[1], 1e-9)
		mean := c.DetectorYears * c.Threshold
		near(t, "at least", AtLeast(c.Events, mean), c.AtLeast, 1e-9)
		near(t, "at most", AtMost(c.Events, mean), c.AtMost, 1e-9)
		r := Rate{Incidents: c.Events, DetectorYears: c.DetectorYears, Low90: low * scale, High90: high * scale}
		want, known := states[c.Verdict]
		if got, _ := r.against(100 * c.Threshold); !known || got != want {
			t.Errorf("%d in %v against %v: %s, want %s", c.Events, c.DetectorYears, c.Threshold, got, c.Verdict)
		}
	}
}

// What it takes to show "not above": detector-years by one-sided 95 %, and the
// smallest count above an expectation at 5 % (testdata/poisson.json).
func TestWhatItTakes(t *testing.T) {
	var ref reference
	load(t, "poisson.json", &ref)
	for _, row := range ref.Exposure {
		for k, years := range row.Years {
			var events int
			if err := json.Unmarshal([]byte(k), &events); err != nil {
				t.Fatal(err)
			}
			_, high := Interval(events, 0.90)
			near(t, "detector-years", high/row.Per100*100, years, 1e-9)
		}
	}
	for _, row := range ref.Critical {
		near(t, "tail", AtLeast(row.Smallest, row.Expected), row.P, 1e-9)
		if AtLeast(row.Smallest-1, row.Expected) <= 0.05 {
			t.Errorf("expected %v: %d would do", row.Expected, row.Smallest-1)
		}
	}
}

// Two rates against R's poisson.test (ratio and interval, as printed) and
// against SciPy's binomial (interval and twice the smaller tail, 1e-9).
func TestCompare(t *testing.T) {
	var ref reference
	load(t, "poisson.json", &ref)
	for _, c := range ref.Two {
		r := Compare(c.X[0], c.T[0], c.X[1], c.T[1])
		near(t, "ratio", r.Value, c.Ratio, 1e-9)
		near(t, "low", r.Low, c.CI95[0], 1e-6)
		near(t, "high", r.High, c.CI95[1], 1e-6)
	}
	var cases []struct {
		X    [2]int
		T    [2]float64
		Low  float64
		High *float64
		P    float64
	}
	load(t, "compare.json", &cases)
	for _, c := range cases {
		r := Compare(c.X[0], c.T[0], c.X[1], c.T[1])
		near(t, "low", r.Low, c.Low, 1e-8)
		near(t, "p", r.P, c.P, 1e-9)
		switch {
		case c.High == nil:
			if !math.IsInf(r.High, 1) {
				t.Errorf("%v in %v: high %v, want infinity", c.X, c.T, r.High)
			}
		default:
			near(t, "high", r.High, *c.High, 1e-8)
		}
	}
}

// fewestShowing against its own definition: with as many, none afterwards shows
// it; with one fewer it does not.
func TestFewestShowing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before := rapid.Float64Range(0.05, 3).Draw(t, "before")
		since := rapid.Float64Range(0.05, 3).Draw(t, "since")
		need := fewestShowing(before, since)
		if p := Compare(need, before, 0, since).P; p > 0.05+1e-9 {
			t.Errorf("%d before, none since: p = %v", need, p)
		}
		if p := Compare(need-1, before, 0, since).P; need > 1 && p <= 0.05-1e-9 {
			t.Errorf("%d before would do: p = %v", need-1, p)
		}
	})
}

// An interval holds what it is an interval of, narrows with the level, and its
// ends have the tails that define it.
func TestIntervalDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(0, 3000).Draw(t, "k")
		level := rapid.Float64Range(0.5, 0.999).Draw(t, "level")
		low, high := Interval(k, level)
		if low > float64(k) || high < float64(k) {
			t.Fatalf("%d lies outside %v to %v", k, low, high)
		}
		tail := (1 - level) / 2
		if got := AtMost(k, high); math.Abs(got-tail) > 1e-9 {
			t.Errorf("tail at the upper end %v, want %v", got, tail)
		}
		if got := AtLeast(k, low); k > 0 && math.Abs(got-tail) > 1e-9 {
			t.Errorf("tail at the lower end %v, want %v", got, tail)
		}
	})
}
