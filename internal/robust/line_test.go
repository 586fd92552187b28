package robust

import "testing"

// linearCase is one set of nist_linear.json.
type linearCase struct {
	Name    string
	Origin  bool `json:"through_origin"`
	X, Y    []float64
	Certain *struct {
		Intercept   float64
		Slope       float64
		InterceptSE float64 `json:"se_intercept"`
		SlopeSE     float64 `json:"se_slope"`
		SD          float64 `json:"resid_sd"`
		R2          float64
		SSE         float64
		DF          int
	} `json:"certified"`
}

func readLinear(t *testing.T) []linearCase {
	t.Helper()
	var file struct{ Cases []linearCase }
	readCases(t, "nist_linear.json", &file)
	return file.Cases
}

func TestLeastSquaresNorris(t *testing.T) {
	// NIST StRD Norris, certified values, relative tolerance 1e-12.
	c := readLinear(t)[0]
	if c.Name != "NIST StRD Norris" {
		t.Fatalf("first set is %s", c.Name)
	}
	got, err := LeastSquares(c.X, c.Y)
	if err != nil {
		t.Fatal(err)
	}
	const tol = 1e-12
	wantRel(t, "intercept", got.Intercept, c.Certain.Intercept, tol)
	wantRel(t, "slope", got.Slope, c.Certain.Slope, tol)
	wantRel(t, "intercept se", got.InterceptSE, c.Certain.InterceptSE, tol)
	wantRel(t, "slope se", got.SlopeSE, c.Certain.SlopeSE, tol)
	wantRel(t, "sd", got.SD, c.Certain.SD, tol)
	wantRel(t, "SSE", got.SSE, c.Certain.SSE, tol)
	wantRel(t, "R2", got.R2, c.Certain.R2, tol)
	if got.DF != c.Certain.DF || got.N != 36 {
		t.Errorf("n %d, df %d", got.N, got.DF)
	}
}

func TestLeastSquaresLargeTimes(t *testing.T) {
	// The same series over days and over seconds since 1970; exact rational arithmetic in Python, 16 digits:
	// slope 0.007396094270565909 a day, SSE 1.551779206362743. Relative tolerance 1e-12.
	cases := readLinear(t)
	days, seconds := cases[len(cases)-2], cases[len(cases)-1]
	a, err := LeastSquares(days.X, days.Y)
	if err != nil {
		t.Fatal(err)
	}
	b, err := LeastSquares(seconds.X, seconds.Y)
	if err != nil {
		t.Fatal(err)
	}
	wantRel(t, "slope by days", a.Slope, 0.00739609427056590860917, 1e-12)
	wantRel(t, "intercept by days", a.Intercept, 24.5110233687703714607931, 1e-12)
	wantRel(t, "slope by seconds", b.Slope, 0.00739609427056590860917/86400, 1e-12)
	wantRel(t, "intercept by seconds", b.Intercept, -121.01397964004958959931, 1e-12)
	wantRel(t, "intercept se by seconds", b.InterceptSE, 17.1103689056332190038580, 1e-12)
	for _, l := range []Line{a, b} {
		wantRel(t, "SSE", l.SSE, 1.55177920636274301996036, 1e-12)
		wantRel(t, "R2", l.R2, 0.92566327155148536431327, 1e-12)
	}
}
