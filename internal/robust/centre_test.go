package robust

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"testing"
)

func TestQuantileAgainstR(t *testing.T) {
	// R 4.2.2 quantile(), types 6 to 8, 15 digits printed. Tolerance 1e-13 of the value.
	var file struct {
		Cases map[string]struct {
			X     []float64
			Probs []float64
			Types map[string][]float64
			SD    json.RawMessage
		}
	}
	readCases(t, "quantiles.json", &file)
	for name, c := range file.Cases {
		before := slices.Clone(c.X)
		for _, kind := range []QuantileKind{Type6, Type7, Type8} {
			for i, p := range c.Probs {
				got, ok := Quantile(kind, p, c.X)
				if !ok {
					t.Fatalf("%s: no quantile", name)
				}
				want := c.Types[fmt.Sprintf("type%d", kind)][i]
				wantNear(t, fmt.Sprintf("%s type %d at %v", name, kind, p), got, want, 1e-13)
			}
		}
		if !slices.Equal(before, c.X) {
			t.Errorf("%s: Quantile changed its input", name)
		}
		var sd []float64
		if json.Unmarshal(c.SD, &sd) == nil && len(sd) == 1 {
			_, got, _ := Moments(c.X)
			wantNear(t, name+" sd", got, sd[0], 1e-13) // R sd()
		}
	}
}

func TestQuantileWafers(t *testing.T) {
	// NIST/SEMATECH e-Handbook 7.2.6.2, twelve wafers, 90th percentile; printed to 4 decimals.
	wafers := []float64{
		95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610,
		95.1591, 95.1195, 95.1065, 95.0925, 95.1990, 95.1682,
	}
	for kind, want := range map[QuantileKind]float64{Type6: 95.1981, Type7: 95.1957, Type8: 95.1972} {
		got, _ := Quantile(kind, 0.9, wafers)
		if math.Abs(got-want) > 0.5e-4+1e-12 {
			t.Errorf("type %d: %v, want %v", kind, got, want)
		}
	}
}

// univariate is one NIST StRD data set: either a list, or a first value and a pair repeated 500 times.
type univariate struct {
	Name      string
	Data      json.RawMessage
	Certified struct {
		Mean float64
		SD   float64
		Lag1 float64 `json:"lag1_autocorrelation"`
	}
	Recomputed struct {
		VonNeumann json.Number `json:"von_neumann_ratio"`
	} `json:"recomputed_exact"`
}

func (u univariate) values(t *testing.T) []float64 {
	t.Helper()
	var x []float64
	if json.Unmarshal(u.Data, &x) == nil {
		return x
	}
	var rule struct {
		First float64
		Pair  [2]float64
	}
	if err := json.Unmarshal(u.Data, &rule); err != nil {
		t.Fatalf("%s: %v", u.Name, err)
	}
	x = []float64{rule.First}
	for range 500 {
		x = append(x, rule.Pair[0], rule.Pair[1])
	}
	return x
}

func TestMomentsNIST(t *testing.T) {
	// NIST StRD univariate sets, certified values (15 digits). Relative tolerance 1e-8 for NumAcc3 and 4,
	// whose decimals no float64 holds (the best possible sd of NumAcc4 is 0.10000000055879), 1e-10 for
	// NumAcc2, 1e-12 for the others.
	tolerance := map[string]float64{"NIST StRD NumAcc2": 1e-10, "NIST StRD NumAcc3": 1e-8, "NIST StRD NumAcc4": 1e-8}
	var file struct{ Cases []univariate }
	readCases(t, "nist_univariate.json", &file)
	if len(file.Cases) < 6 {
		t.Fatalf("%d sets", len(file.Cases))
	}
	for _, c := range file.Cases {
		tol := max(tolerance[c.Name], 1e-12)
		x := c.values(t)
		mean, sd, ok := Moments(x)
		r, ok2 := Lag1(x)
		ratio, ok3 := VonNeumann(x)
		if !ok || !ok2 || !ok3 {
			t.Fatalf("%s: not ok", c.Name)
		}
		wantRel(t, c.Name+" mean", mean, c.Certified.Mean, 1e-15)
		wantRel(t, c.Name+" sd", sd, c.Certified.SD, tol)
		wantRel(t, c.Name+" lag-1", r, c.Certified.Lag1, tol)
		want, err := c.Recomputed.VonNeumann.Float64() // exact rational arithmetic, 13 digits kept
		if err != nil {
			t.Fatal(err)
		}
		wantRel(t, c.Name+" von Neumann", ratio, want, max(tol, 1e-11))
	}
}

func TestMedianKeepsInput(t *testing.T) {
	for _, n := range []int{1, 2, 5, 200} {
		x := make([]float64, n)
		for i := range x {
			x[i] = float64((i * 7919) % 31)
		}
		before := slices.Clone(x)
		got, ok := Median(x)
		if !slices.Equal(before, x) {
			t.Errorf("n=%d: input changed", n)
		}
		slices.Sort(x)
		want := (x[(n-1)/2] + x[n/2]) / 2 // definition
		if !ok || got != want {
			t.Errorf("n=%d: %v, want %v", n, got, want)
		}
	}
	x := []float64{3, 1, 2, 9, 7}
	Median(x)
	MAD(x)
	HodgesLehmann(x)
	if !slices.Equal(x, []float64{3, 1, 2, 9, 7}) {
		t.Errorf("input changed to %v", x)
	}
}
