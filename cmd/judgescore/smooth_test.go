package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// A level that moves by a constant drift and normal increments, and is read with normal noise, has a likelihood and
// smoothed values that are known exactly. Here they are held against statsmodels, which filters and smooths, and
// against the joint normal distribution of all readings, which needs no filter.

// series is one that statsmodels has judged.
type series struct {
	T             []float64  `json:"t"` // years
	Y             []*float64 `json:"y"` // nil: not read
	Level         float64    `json:"level"`
	LevelVariance float64    `json:"level_variance"`
	Drift         float64    `json:"drift"`
	DriftVariance float64    `json:"drift_variance"`
	Noise         float64    `json:"noise"` // variance
	Step          float64    `json:"step"`  // variance of increments in a year

	LogLikelihood float64   `json:"log_likelihood"`
	Mean          []float64 `json:"mean"`
	Variance      []float64 `json:"variance"`
}

// smoother gives the log-likelihood of a series, and mean and variance of its level at each time.
type smoother func(s *series) (logLikelihood float64, mean, variance []float64)

// smoothers lists whoever must agree with statsmodels.
func smoothers() map[string]smoother { return map[string]smoother{"the joint distribution": jointly} }

func TestSmoothedLevels(t *testing.T) {
	kept, err := os.ReadFile("testdata/smooth.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	checkSmoothers(t, kept)
}

// Other series than those that are kept, judged by statsmodels while the test waits.
func TestSmoothedLevelsLive(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to compare with statsmodels (needs /usr/bin/python3 with python3-statsmodels)")
	}
	out, err := exec.Command("/usr/bin/python3", "../../scripts/oracle_smooth.py", "--draw", "2").Output()
	if err != nil {
		t.Fatal(err)
	}
	checkSmoothers(t, out)
}

func checkSmoothers(t *testing.T, lines []byte) {
	t.Helper()
	scanner := bufio.NewScanner(bytes.NewReader(lines))
	scanner.Buffer(nil, 1<<20)
	n, read := 0, 0
	for ; scanner.Scan(); n++ {
		var s series
		if err := json.Unmarshal(scanner.Bytes(), &s); err != nil {
			t.Fatal(err)
		}
		for _, y := range s.Y {
			if y != nil {
				read++
			}
		}
		for name, smooth := range smoothers() {
			logLikelihood, mean, variance := smooth(&s)
			close := closeTo(logLikelihood, s.LogLikelihood) && len(mean) == len(s.Mean) && len(variance) == len(s.Mean)
			for i := 0; close && i < len(s.Mean); i++ {
				close = closeTo(mean[i], s.Mean[i]) && closeTo(variance[i], s.Variance[i])
			}
			if !close {
				t.Errorf("series %d: %s and statsmodels differ: %v %v %v", n, name, logLikelihood, mean, variance)
			}
		}
	}
	if n != 200 || read < 1000 {
		t.Errorf("%d series with %d readings", n, read)
	}
}

func closeTo(a, b float64) bool { return math.Abs(a-b) <= 1e-6*math.Max(1, math.Abs(b)) }

// jointly works with the normal distribution of all levels and readings at once.
func jointly(s *series) (logLikelihood float64, mean, variance []float64) {
	n := len(s.T)
	since := func(i int) float64 { return s.T[i] - s.T[0] }
	prior := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			prior.SetSym(i, j, s.LevelVariance+since(i)*since(j)*s.DriftVariance+s.Step*math.Min(since(i), since(j)))
		}
	}
	var read []int
	var off []float64
	for i, y := range s.Y {
		mean = append(mean, s.Level+s.Drift*since(i))
		variance = append(variance, prior.At(i, i))
		if y != nil {
			read, off = append(read, i), append(off, *y-mean[i])
		}
	}
	if len(read) == 0 {
		return 0, mean, variance
	}
	seen := mat.NewSymDense(len(read), nil)
	across := mat.NewDense(len(read), n, nil)
	for a, i := range read {
		for b, j := range read {
			seen.SetSym(a, b, prior.At(i, j))
		}
		seen.SetSym(a, a, prior.At(i, i)+s.Noise)
		for j := range n {
			across.Set(a, j, prior.At(i, j))
		}
	}
	var chol mat.Cholesky
	chol.Factorize(seen)
	var weighed mat.VecDense
	var gain mat.Dense
	if chol.SolveVecTo(&weighed, mat.NewVecDense(len(off), off)) != nil || chol.SolveTo(&gain, across) != nil {
		return math.NaN(), nil, nil
	}
	for j := range n {
		mean[j] += mat.Dot(across.ColView(j), &weighed)
		variance[j] -= mat.Dot(across.ColView(j), gain.ColView(j))
	}
	squares := mat.Dot(mat.NewVecDense(len(off), off), &weighed)
	return -0.5 * (float64(len(off))*math.Log(2*math.Pi) + chol.LogDet() + squares), mean, variance
}
