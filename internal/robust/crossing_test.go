package robust

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// crossingCase is one case of crossing_cases.json.
type crossingCase struct {
	Name  string
	Input struct {
		Days, Y  []float64
		Limit    float64
		Side     string
		PooledSD float64 `json:"pooled_sd"`
		Nu0      float64
		Conf     float64
		Year     float64
	}
	Want struct {
		SenSlope  float64 `json:"theil_sen_slope_per_year"`
		SenJoint  float64 `json:"theil_sen_intercept_joint"`
		Screened  []int   `json:"screened_out_indices"`
		Slope     float64 `json:"ols_slope_per_year"`
		MeanT     float64 `json:"t_bar_days"`
		MeanY     float64 `json:"y_bar"`
		Sxx       float64 `json:"Sxx_years2"`
		SSE       float64
		Noisier   bool     `json:"residuals_noisier_than_pooled"`
		SD        float64  `json:"s_used"`
		DF        float64  `json:"nu"`
		TQuant    float64  `json:"t_quantile"`
		SlopeSE   float64  `json:"se_slope"`
		SlopeReal bool     `json:"slope_real_one_sided_5pct"`
		Fit       float64  `json:"fit_at_last_visit"`
		FitSE     float64  `json:"se_fit_at_last_visit"`
		Point     *float64 `json:"point_day"`
		Lower     *float64 `json:"lower_day"`
		Upper     *float64 `json:"upper_day"`
		Status    string
	} `json:"expected"`
}

func (c crossingCase) query() Query {
	side := map[string]Side{"high": High, "low": Low}[c.Input.Side]
	return Query{Limit: c.Input.Limit, Side: side, Conf: c.Input.Conf, Noise: Noise{SD: c.Input.PooledSD, DF: c.Input.Nu0}}
}

// statusOf translates the words of the reference.
var statusOf = map[string]Status{
	"interval":   Bounded,
	"not before": NoLatest,
	"undetermined (limit already inside the error of the line)": Undetermined,
	"already beyond the limit on the fitted line":               AlreadyOutside,
	"moving away from this limit: no date":                      MovingAway,
}

func readCrossings(t *testing.T) []crossingCase {
	t.Helper()
	var file struct{ Cases []crossingCase }
	readCases(t, "crossing_cases.json", &file)
	if len(file.Cases) != 10 {
		t.Fatalf("%d cases", len(file.Cases))
	}
	return file.Cases
}

func TestCrossingCases(t *testing.T) {
	// The method worked through in Python with NumPy 1.24.2 and SciPy 1.10.1, each interval confirmed there
	// by a grid of 600,000 dates. Full digits to a relative 1e-9; dates, printed to 0.001 day, to half that.
	for _, c := range readCrossings(t) {
		t.Run(c.Name, func(t *testing.T) {
			got, err := Crossing(c.Input.Days, c.Input.Y, c.query())
			if err != nil {
				t.Fatal(err)
			}
			c.checkDrift(t, got.Drift)
			wantRel(t, "t quantile", got.TQuant, c.Want.TQuant, 1e-9)
			wantRel(t, "fit", got.Fit, c.Want.Fit, 1e-9)
			wantRel(t, "fit se", got.FitSE, c.Want.FitSE, 1e-9)
			if want := statusOf[c.Want.Status]; got.Status != want || want == 0 {
				t.Errorf("status %v, want %q", got.Status, c.Want.Status)
			}
			point := got.Point
			if got.Status == AlreadyOutside {
				point = got.Crossed // the reference gives the past crossing as its point
			}
			wantDay(t, "point", point, c.Want.Point)
			wantDay(t, "earliest", got.Earliest, c.Want.Lower)
			wantDay(t, "latest", got.Latest, c.Want.Upper)
		})
	}
}

func (c crossingCase) checkDrift(t *testing.T, got Drift) {
	t.Helper()
	year := c.Input.Year
	const tol = 1e-9
	wantRel(t, "Theil-Sen slope", got.Sen.Slope*year, c.Want.SenSlope, tol)
	wantRel(t, "joint intercept", got.Sen.Joint, c.Want.SenJoint, tol)
	if !slices.Equal(got.Screened, c.Want.Screened) {
		t.Errorf("screened %v, want %v", got.Screened, c.Want.Screened)
	}
	wantRel(t, "slope", got.Line.Slope*year, c.Want.Slope, tol)
	wantRel(t, "mean time", got.Line.MeanT, c.Want.MeanT, tol)
	wantRel(t, "mean value", got.Line.MeanY, c.Want.MeanY, tol)
	wantRel(t, "Sxx", got.Line.Sxx/(year*year), c.Want.Sxx, tol)
	wantRel(t, "SSE", got.Line.SSE, c.Want.SSE, tol)
	wantRel(t, "sd", got.SD, c.Want.SD, tol)
	wantRel(t, "df", got.DF, c.Want.DF, 0)
	wantRel(t, "slope se", got.SlopeSE()*year, c.Want.SlopeSE, tol)
	if got.Noisier != c.Want.Noisier {
		t.Errorf("noisier %v, want %v", got.Noisier, c.Want.Noisier)
	}
	up, ok := got.ChanceTowards(High)
	down, ok2 := got.ChanceTowards(Low)
	if !ok || !ok2 || max(up, down) > 0.95 != c.Want.SlopeReal {
		t.Errorf("slope leads up with chance %v, down %v, real %v", up, down, c.Want.SlopeReal)
	}
}

func wantDay(t *testing.T, what string, got When, want *float64) {
	t.Helper()
	if got.Known != (want != nil) {
		t.Errorf("%s %+v, want known %v", what, got, want != nil)
	} else if got.Known && math.Abs(got.At-*want) > 0.5e-3+1e-6 {
		t.Errorf("%s day %.6f, want %.3f", what, got.At, *want)
	}
}

func TestChanceBeyond(t *testing.T) {
	// By definition of the interval: at its earliest and latest date the limit is q standard errors from
	// the line, so the chance of being beyond is 5 % and 95 % for a 90 % interval; at the point it is half.
	bounded := 0
	for _, c := range readCrossings(t) {
		got, err := Crossing(c.Input.Days, c.Input.Y, c.query())
		if err != nil {
			t.Fatal(err)
		}
		if got.Status != Bounded {
			continue
		}
		bounded++
		for at, want := range map[When]float64{got.Earliest: 0.05, got.Point: 0.5, got.Latest: 0.95} {
			p, ok := got.Drift.ChanceBeyond(at.At, c.Input.Limit, c.query().Side)
			if !ok {
				t.Fatalf("%s: no chance", c.Name)
			}
			wantNear(t, c.Name, p, want, 1e-9)
		}
	}
	if bounded != 6 {
		t.Errorf("%d bounded cases, want 6", bounded)
	}
}

func TestCrossingTooFew(t *testing.T) {
	q := Query{Limit: 30, Side: High, Noise: Noise{SD: 1, DF: PriorDF}, Conf: 0.9}
	for _, c := range [][2][]float64{
		{{}, {}},
		{{1}, {25}},
		{{1, 2}, {25, 26}},
		{{5, 5, 5, 5}, {25, 26, 25, 27}},
	} {
		got, err := Crossing(c[0], c[1], q)
		if err != nil || got.Status != TooFew || got.Earliest.Known || got.Latest.Known || got.Point.Known {
			t.Errorf("%v: %+v, %v", c, got, err)
		}
	}
}

func TestScreeningKeepsSpread(t *testing.T) {
	// By hand: the line by medians is 43t, so both readings at time 1 lie 43 away and would be set aside,
	// and no line goes through three readings at time 0. So all are kept.
	d, err := FitDrift([]float64{0, 1, 1, 0, 0}, []float64{0, 0, 86, 0, 0}, Noise{SD: 1, DF: PriorDF})
	if err != nil {
		t.Fatal(err)
	}
	if d.Screened != nil || d.Line.N != 5 || math.Abs(d.Line.Slope-43) > 1e-12 {
		t.Errorf("%+v", d)
	}
}

func TestScratchKeepsNothing(t *testing.T) {
	// A working space used for other series must give what a fresh one gives.
	var s Scratch
	for _, c := range readCrossings(t) {
		want, err := Crossing(c.Input.Days, c.Input.Y, c.query())
		if err != nil {
			t.Fatal(err)
		}
		got, err := s.Crossing(c.Input.Days, c.Input.Y, c.query())
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-fresh +used):\n%s", c.Name, diff)
		}
	}
}
