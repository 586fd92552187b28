package judge

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"testing"
)

// series is a line of the published series: what was read when, the model, and what statsmodels makes of it
// (scripts/oracle_smooth.py).
type series struct {
	T             []float64  `json:"t"`
	Y             []*float64 `json:"y"`
	Level         float64    `json:"level"`
	Drift         float64    `json:"drift"`
	LevelVariance float64    `json:"level_variance"`
	DriftVariance float64    `json:"drift_variance"`
	Noise         float64    `json:"noise"`
	Step          float64    `json:"step"`
	LogLikelihood float64    `json:"log_likelihood"`
	Mean          []float64  `json:"mean"`
	Variance      []float64  `json:"variance"`
}

// smoothed runs the steps of the filter with plain normal noise through a series, and back (Rauch, Tung & Striebel
// 1965; from memory).
func (s *series) smoothed() (logLik float64, mean, variance []float64) {
	l := leaf{x: s.Level, r: s.Drift, pxx: s.LevelVariance, prr: s.DriftVariance}
	ahead, after := make([]leaf, len(s.T)), make([]leaf, len(s.T))
	for i := range s.T {
		if i > 0 {
			dt := s.T[i] - s.T[i-1]
			l.grow(dt, s.Step*dt, 0)
		}
		ahead[i] = l
		if s.Y[i] != nil {
			e, v := *s.Y[i]-l.x, l.pxx+s.Noise
			logLik += math.Log(normal(e, v))
			l.move(e, 1/v)
		}
		after[i] = l
	}
	back := after[len(after)-1]
	mean, variance = make([]float64, len(s.T)), make([]float64, len(s.T))
	for i := len(s.T) - 1; ; i-- {
		mean[i], variance[i] = back.x, back.pxx
		if i == 0 {
			return logLik, mean, variance
		}
		back = s.back(after[i-1], ahead[i], back, s.T[i]-s.T[i-1])
	}
}

// back takes what is known of a time from all looks one time back. Where the drift is certain its variance is 0, and
// the level alone goes back.
func (s *series) back(was, ahead, back leaf, dt float64) leaf {
	a, b, d := ahead.pxx, ahead.pxr, ahead.prr
	c00, c01 := was.pxx+dt*was.pxr, was.pxr
	c10, c11 := was.pxr+dt*was.prr, was.prr
	det := a*d - b*b
	var g00, g01, g10, g11 float64
	if s.DriftVariance == 0 {
		g00 = c00 / a
		g11 = 1
	} else {
		g00, g01 = (c00*d-c01*b)/det, (c01*a-c00*b)/det
		g10, g11 = (c10*d-c11*b)/det, (c11*a-c10*b)/det
	}
	ex, er := back.x-ahead.x, back.r-ahead.r
	x00, x01, x11 := back.pxx-a, back.pxr-b, back.prr-d
	was.x, was.r = was.x+g00*ex+g01*er, was.r+g10*ex+g11*er
	p00 := g00*(g00*x00+g01*x01) + g01*(g00*x01+g01*x11)
	p01 := g10*(g00*x00+g01*x01) + g11*(g00*x01+g01*x11)
	p11 := g10*(g10*x00+g11*x01) + g11*(g10*x01+g11*x11)
	was.pxx, was.pxr, was.prr = was.pxx+p00, was.pxr+p01, was.prr+p11
	return was
}

// The steps of the filter against an independent implementation on 200 series: the likelihood, and the levels smoothed
// with their variances.
func TestFilterAgainstStatsmodels(t *testing.T) {
	file, err := os.Open("../../cmd/judgescore/testdata/smooth.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	n := 0
	for lines := bufio.NewScanner(file); lines.Scan(); n++ {
		var s series
		if err := json.Unmarshal(lines.Bytes(), &s); err != nil {
			t.Fatal(err)
		}
		logLik, mean, variance := s.smoothed()
		if math.Abs(logLik-s.LogLikelihood) > 1e-6*max(1, math.Abs(s.LogLikelihood)) {
			t.Fatalf("series %d: log likelihood %v, statsmodels %v", n, logLik, s.LogLikelihood)
		}
		for i := range mean {
			if math.Abs(mean[i]-s.Mean[i]) > 1e-6*max(1, math.Abs(s.Mean[i])) || math.Abs(variance[i]-s.Variance[i]) > 1e-5*s.Variance[i] {
				t.Fatalf("series %d, time %d: %v with variance %v, statsmodels %v, %v", n, i, mean[i], variance[i], s.Mean[i], s.Variance[i])
			}
		}
	}
	if n < 200 {
		t.Errorf("%d series", n)
	}
}
