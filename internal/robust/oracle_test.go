package robust

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"
)

// oracleSeries is one series as scripts/oracle_stats.py --live takes it.
type oracleSeries struct {
	T []float64 `json:"t"`
	Y []float64 `json:"y"`
}

// oracleAnswer is what the script says of one series; nil where SciPy cannot tell.
type oracleAnswer struct {
	Slope    float64
	Separate float64
	Joint    float64
	S        int64    `json:"S"`
	VarS     *float64 `json:"varS"`
	PNormal  *float64 `json:"p_normal"`
	PExact   *float64 `json:"p_exact"`
}

// drawOracle draws a series of whole numbers with ties at irregular times, some of them equal.
func drawOracle(r *rand.Rand) oracleSeries {
	n := 3 + r.IntN(28)
	spread := []int{2, 6, 40, 100_000}[r.IntN(4)] // from mostly tied to hardly ever
	var c oracleSeries
	day := 0
	for range n {
		if r.IntN(12) > 0 || day == 0 {
			day += 1 + r.IntN(180)
		}
		c.T = append(c.T, float64(day))
		c.Y = append(c.Y, float64(20+day/200+r.IntN(spread)))
	}
	r.Shuffle(n, func(i, j int) {
		c.T[i], c.T[j] = c.T[j], c.T[i]
		c.Y[i], c.Y[j] = c.Y[j], c.Y[i]
	})
	return c
}

func askSciPy(t *testing.T, series []oracleSeries) []oracleAnswer {
	t.Helper()
	in, err := json.Marshal(series)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", "../../scripts/oracle_stats.py", "--live")
	cmd.Stdin = bytes.NewReader(in)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("oracle: %v", err)
	}
	var answers []oracleAnswer
	if err := json.Unmarshal(out, &answers); err != nil {
		t.Fatal(err)
	}
	if len(answers) != len(series) {
		t.Fatalf("%d answers to %d series", len(answers), len(series))
	}
	return answers
}

func TestAgainstSciPy(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to compare with SciPy (needs /usr/bin/python3 with python3-scipy)")
	}
	r := rand.New(rand.NewPCG(2026, 200))
	series := make([]oracleSeries, 200)
	for i := range series {
		series[i] = drawOracle(r)
	}
	// Tolerances: 1e-12 for the line; 1e-9 for a variance read back from a p-value, 1e-7 for the p-value
	// made of it, 1e-10 for SciPy's exact p.
	var normal, exact int
	for i, want := range askSciPy(t, series) {
		line, err := TheilSen(series[i].T, series[i].Y, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		k, err := MannKendall(series[i].T, series[i].Y)
		if err != nil {
			t.Fatal(err)
		}
		wantNear(t, "slope", line.Slope, want.Slope, 1e-12)
		wantNear(t, "joint", line.Joint, want.Joint, 1e-12)
		wantNear(t, "separate", line.Separate, want.Separate, 1e-12)
		if k.S != want.S {
			t.Errorf("S %d, want %d", k.S, want.S)
		}
		if want.VarS != nil {
			normal++
			wantRel(t, "var S", k.VarS, *want.VarS, 1e-9)
			wantRel(t, "normal p", k.NormalP, *want.PNormal, 1e-7)
		}
		if want.PExact != nil && k.How == PExact {
			exact++
			wantRel(t, "exact p", k.P, *want.PExact, 1e-10)
		}
		if t.Failed() {
			t.Fatalf("series %d: %v", i, series[i])
		}
	}
	t.Logf("200 series agree; %d with a variance and normal p, %d with an exact p", normal, exact)
	if normal < 100 || exact < 10 {
		t.Errorf("only %d normal and %d exact p-values compared", normal, exact)
	}
}
