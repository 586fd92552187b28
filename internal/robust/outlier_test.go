package robust

import (
	"encoding/json"
	"math"
	"slices"
	"testing"
)

func TestScalesAgainstR(t *testing.T) {
	// R 4.2.2: median(), mad(constant = 1), robustbase 0.95-0, and the formulas typed into R; 15 digits.
	var file struct {
		Sets map[string]struct {
			X        []float64
			Mean     float64
			SD       float64
			Median   float64
			MAD      float64         `json:"mad_raw"`
			HL       float64         `json:"hodges_lehmann"`
			Modified json.RawMessage `json:"modified_z"`
			Fallback json.RawMessage `json:"modified_z_iglewicz_fallback"`
			Floor    []float64       `json:"robust_z_floor05"`
		}
	}
	readCases(t, "robust_scale.json", &file)
	for name, c := range file.Sets {
		mean, sd, _ := Moments(c.X)
		wantNear(t, name+" mean", mean, c.Mean, 1e-13)
		wantNear(t, name+" sd", sd, c.SD, 1e-13)
		centre, mad, _ := MAD(c.X)
		wantNear(t, name+" median", centre, c.Median, 1e-14)
		wantNear(t, name+" MAD", mad, c.MAD, 1e-13)
		hl, _ := HodgesLehmann(c.X)
		wantNear(t, name+" Hodges-Lehmann", hl, c.HL, 1e-14)
		robust, ok := RobustScale(c.X, 0.5)
		wantScores(t, name+" floor 0.5", robust, ok, c.X, c.Floor)
		modified, ok := ModifiedScale(c.X)
		want, source := c.Modified, FromMAD
		if mad == 0 {
			want, source = c.Fallback, FromMeanDev
		}
		var z []float64
		if err := json.Unmarshal(want, &z); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		wantScores(t, name+" modified", modified, ok, c.X, z)
		if modified.Source != source {
			t.Errorf("%s: source %d, want %d", name, modified.Source, source)
		}
	}
}

func wantScores(t *testing.T, name string, s Scale, ok bool, x, want []float64) {
	t.Helper()
	if !ok || len(x) != len(want) {
		t.Fatalf("%s: ok %v, %d values, %d expected", name, ok, len(x), len(want))
	}
	for i, v := range x {
		wantNear(t, name, s.Z(v), want[i], 1e-12)
	}
}

func TestModifiedUranium(t *testing.T) {
	// NIST uranium isotope set, rule of Iglewicz & Hoaglin (1993): only 245.57 is flagged, z 29.962714.
	x := []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}
	s, ok := ModifiedScale(x)
	if !ok {
		t.Fatal("no scale")
	}
	wantNear(t, "z", s.Z(245.57), 29.962714, 0.5e-6)
	flagged := slices.DeleteFunc(x, func(v float64) bool { return math.Abs(s.Z(v)) <= OutlierZ })
	if !slices.Equal(flagged, []float64{245.57}) {
		t.Errorf("flagged %v", flagged)
	}
}

func TestScaleWithoutSpread(t *testing.T) {
	same := []float64{25, 25, 25}
	if _, ok := ModifiedScale(same); ok {
		t.Error("a modified scale out of equal values")
	}
	s, ok := RobustScale(same, 1)
	if !ok || s.Source != FromFloor || s.Z(27) != 2 {
		t.Errorf("floor: %+v, %v", s, ok) // definition: (27-25)/1
	}
	for _, floor := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, ok := RobustScale(same, floor); ok {
			t.Errorf("floor %v taken", floor)
		}
	}
}
