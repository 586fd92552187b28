package robust

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// intervalCase is an expected interval; an end of "-Infinity" or "Infinity" means there is none.
type intervalCase struct{ Lo, Hi json.RawMessage }

// check compares the interval with the expected one.
func (c intervalCase) check(t *testing.T, name string, got Interval) {
	t.Helper()
	var low, high float64
	if json.Unmarshal(c.Lo, &low) != nil || json.Unmarshal(c.Hi, &high) != nil {
		if got != (Interval{State: NotEnough}) {
			t.Errorf("%s: interval %+v, want none for lack of pairs", name, got)
		}
		return
	}
	if low == high {
		if got != (Interval{State: AllTied}) {
			t.Errorf("%s: interval %+v, want none without width", name, got)
		}
		return
	}
	if got.State != Given {
		t.Errorf("%s: no interval: %v", name, got.State)
	}
	wantRel(t, name+" low", got.Low, low, 1e-11)
	wantRel(t, name+" high", got.High, high, 1e-11)
}

// senCase is one invented series of theil_sen.json.
type senCase struct {
	Name  string
	Input struct{ Days, Y []float64 }
	Want  struct {
		Separate struct {
			Slope     float64 `json:"slope_per_day"`
			Intercept float64
		} `json:"scipy_separate_90"`
		Joint struct{ Intercept float64 } `json:"scipy_joint_90"`
		Exact *struct {
			Slopes   int64 `json:"n_slopes"`
			Num, Den float64
		}
		Gilbert90 *intervalCase `json:"gilbert_interpolated_90"`
		Gilbert95 *intervalCase `json:"gilbert_interpolated_95"`
	} `json:"expected"`
}

func TestTheilSenAgainstSciPy(t *testing.T) {
	// SciPy 1.10.1 theilslopes for slope and both intercepts, checked there against exact rational
	// arithmetic and R mblm; the interpolated interval by exact ranks. Relative tolerance 1e-12, 1e-11 for
	// the interval. The longest series has 2000 values: here they go through the search, there all pairs.
	var file struct{ Cases []senCase }
	readCases(t, "theil_sen.json", &file)
	if len(file.Cases) != 10 {
		t.Fatalf("%d cases", len(file.Cases))
	}
	for _, c := range file.Cases {
		got, err := TheilSen(c.Input.Days, c.Input.Y, 0.90)
		if err != nil {
			t.Fatalf("%s: %v", c.Name, err)
		}
		wantRel(t, c.Name+" slope", got.Slope, c.Want.Separate.Slope, 1e-12)
		wantRel(t, c.Name+" joint", got.Joint, c.Want.Joint.Intercept, 1e-12)
		wantRel(t, c.Name+" separate", got.Separate, c.Want.Separate.Intercept, 1e-12)
		if c.Want.Exact != nil && got.Pairs != c.Want.Exact.Slopes {
			t.Errorf("%s: %d pairs, want %d", c.Name, got.Pairs, c.Want.Exact.Slopes)
		}
		if c.Want.Gilbert90 == nil {
			continue // long_n2000: compared with all pairs in TestSearchFindsWhatListingFinds
		}
		c.Want.Gilbert90.check(t, c.Name+" 90 %", got.Interval)
		if got, err = TheilSen(c.Input.Days, c.Input.Y, 0.95); err != nil {
			t.Fatal(err)
		}
		c.Want.Gilbert95.check(t, c.Name+" 95 %", got.Interval)
	}
}

// publishedCase is one worked example of theil_sen_mk_published.json.
type publishedCase struct {
	Name      string
	Input     struct{ T, Y []float64 }
	Published struct {
		Slope, Intercept, Z, P *float64
		CI95                   []float64
	}
	Computed struct {
		Slope     float64
		Separate  float64 `json:"intercept_separate"`
		Joint     float64 `json:"intercept_joint"`
		MK        kendallCase
		Gilbert90 intervalCase `json:"gilbert_interpolated_90"`
		Gilbert95 intervalCase `json:"gilbert_interpolated_95"`
	}
}

func readPublished(t *testing.T) []publishedCase {
	t.Helper()
	var cases []publishedCase
	readCases(t, "theil_sen_mk_published.json", &cases)
	for i, c := range cases {
		if n := len(c.Input.Y); len(c.Input.T) == 2 && n > 2 { // the Nile: first and last year
			cases[i].Input.T = make([]float64, n)
			for j := range n {
				cases[i].Input.T[j] = c.Input.T[0] + float64(j)
			}
		}
	}
	return cases
}

func TestTheilSenPublished(t *testing.T) {
	// EPA Unified Guidance (2009) examples 17-6 and 17-7, Helsel & Hirsch chapter 10, the R data sets maxau
	// and Nile: data and sources in testdata/README.md. Computed figures by exact rational arithmetic.
	for _, c := range readPublished(t) {
		for conf, want := range map[float64]intervalCase{0.90: c.Computed.Gilbert90, 0.95: c.Computed.Gilbert95} {
			got, err := TheilSen(c.Input.T, c.Input.Y, conf)
			if err != nil {
				t.Fatalf("%s: %v", c.Name, err)
			}
			wantRel(t, c.Name+" slope", got.Slope, c.Computed.Slope, 1e-12)
			wantNear(t, c.Name+" joint", got.Joint, c.Computed.Joint, 1e-12)
			wantNear(t, c.Name+" separate", got.Separate, c.Computed.Separate, 1e-12)
			want.check(t, c.Name, got.Interval)
		}
	}
}

func TestTheilSenEPASulfate(t *testing.T) {
	// EPA Unified Guidance (2009) example 17-6, as the EnvStats help page of kendallTrendTest prints it.
	c := readPublished(t)[0]
	got, err := TheilSen(c.Input.T, c.Input.Y, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "slope", got.Slope, 26.6666667, 1e-8)
	wantNear(t, "separate intercept", got.Separate, -1909.3333333, 1e-10)
	wantNear(t, "low", got.Interval.Low, 20.00000, 1e-6)
	wantNear(t, "high", got.Interval.High, 35.71182, 2e-7)
}

func TestTheilSenNile(t *testing.T) {
	// R trend sens.slope on the Nile 1871-1970: slope -2.6; intercept 5886.8 by SciPy.
	for _, c := range readPublished(t) {
		if c.Name != "Nile 1871-1970" {
			continue
		}
		got, err := TheilSen(c.Input.T, c.Input.Y, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		wantNear(t, "slope", got.Slope, -2.6, 1e-13)
		wantNear(t, "separate intercept", got.Separate, 5886.8, 1e-12)
		return
	}
	t.Fatal("no Nile")
}

// listed sets all three ranks from the full list of pairs, whatever the length.
func listed(s *Scratch, ranks [3]float64) (at [3]float64) {
	s.listSlopes()
	for i, h := range ranks {
		at[i] = atRank(s.slopes, h)
	}
	return at
}

func TestSearchFindsWhatListingFinds(t *testing.T) {
	// Definition: the search must give the very slopes that listing all pairs gives.
	var file struct{ Cases []senCase }
	readCases(t, "theil_sen.json", &file)
	long := file.Cases[len(file.Cases)-1]
	if long.Name != "long_n2000" {
		t.Fatalf("last case is %s", long.Name)
	}
	type pair struct {
		name string
		t, y []float64
	}
	r := rand.New(rand.NewPCG(5, 6))
	tests := []pair{{"long_n2000", long.Input.Days, long.Input.Y}}
	drift, noisy := series(1500, 9)
	tests = append(tests, pair{"drift", drift, noisy})
	flat, times, walk := make([]float64, 1200), make([]float64, 1200), make([]float64, 1200)
	for i := range flat {
		flat[i] = 25 + float64(r.IntN(3)/2) // two thirds of the values equal
		times[i] = float64(r.IntN(300)) - 1e4
		walk[i] = r.NormFloat64() * 1e6
	}
	constant := make([]float64, 1200)
	tests = append(tests, pair{"many equal", times, flat}, pair{"tied times", times, walk}, pair{"constant", times, constant})
	// Slopes in two heaps of 180,000 with nothing between: any step of the search can fall in the gap.
	heaps := pair{"two heaps", make([]float64, 1200), make([]float64, 1200)}
	for i := range heaps.t {
		heaps.y[i] = r.Float64()
		if i%2 == 1 {
			heaps.t[i], heaps.y[i] = 1, heaps.y[i]+float64(100*(i%4-2))
		}
	}
	tests = append(tests, heaps)
	for _, c := range tests {
		var s Scratch
		if err := s.load(c.t, c.y); err != nil {
			t.Fatal(err)
		}
		n := float64(s.tally().slopes)
		ranks := []float64{n/2 - 0.5, n / 2, n/2 + 0.5, n/2 + 1, n/2 + 1.5}
		for _, share := range []float64{0, 0.01, 0.33, 0.71, 1} {
			ranks = append(ranks, math.Round(2*(1+share*(n-1)))/2)
		}
		for _, h := range ranks {
			h = math.Floor(2*h) / 2
			got, want := s.searchSlopes([3]float64{h, h, h})[1], listed(&s, [3]float64{h, h, h})[1]
			if got != want {
				t.Errorf("%s: rank %v of %v: %.17g, want %.17g", c.name, h, n, got, want)
			}
		}
	}
}

func TestTheilSenHundredThousand(t *testing.T) {
	if testing.Short() {
		t.Skip("a few seconds long")
	}
	// The slope put in is 0.005 per day. With noise of sd 1 on a hundred thousand readings over 9.2 million
	// days, least squares has a standard error of 1.2e-9 (sd/sqrt(n*span^2/12)); ten of them are allowed.
	x, y := series(100_000, 4)
	start := time.Now()
	got, err := TheilSen(x, y, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%v, slope %v, interval %v", time.Since(start), got.Slope, got.Interval)
	wantNear(t, "slope", got.Slope, 0.005, 1.2e-8)
	if got.Interval.State != Given || got.Interval.Low > got.Slope || got.Interval.High < got.Slope {
		t.Errorf("interval %+v", got.Interval)
	}
}
