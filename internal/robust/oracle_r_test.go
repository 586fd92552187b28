package robust_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"sootline/internal/robust"
)

// R as a second live oracle, where it is installed: least squares (lm), Kendall's S from its tau and
// its p without ties, exact and by the normal approximation (cor.test), and MAD.
func TestAgainstR(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") == "" {
		t.Skip("SOOTLINE_ORACLE is not set")
	}
	if _, err := exec.LookPath("Rscript"); err != nil {
		t.Skip("R is not installed")
	}
	rng := rand.New(rand.NewPCG(20261125, 8))
	const series = 40
	var script bytes.Buffer
	times, values := make([][]float64, series), make([][]float64, series)
	for i := range series {
		n := 6 + rng.IntN(14)
		for k := range n {
			times[i] = append(times[i], float64(k)+0.4*rng.Float64())
			values[i] = append(values[i], 20+0.3*float64(k)+rng.NormFloat64())
		}
		fmt.Fprintf(&script, "t <- c(%s); y <- c(%s)\n", list(times[i]), list(values[i]))
		script.WriteString(`f <- lm(y ~ t); s <- summary(f)$coefficients
k <- cor.test(t, y, method = "kendall", exact = TRUE); n <- length(t)
a <- cor.test(t, y, method = "kendall", exact = FALSE, continuity = TRUE)
cat(sprintf("%.15g", c(s[2, 1], s[2, 2], s[1, 1], sum(resid(f)^2),
  k$estimate * n * (n - 1) / 2, a$p.value, k$p.value, mad(y, constant = 1))), "\n")
`)
	}
	cmd := exec.Command("Rscript", "-")
	cmd.Stdin = &script
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != series {
		t.Fatalf("R gave %d lines", len(lines))
	}
	for i, line := range lines {
		compareWithR(t, times[i], values[i], strings.Fields(line))
	}
}

func compareWithR(t *testing.T, at, y []float64, said []string) {
	t.Helper()
	line, err := robust.LeastSquares(at, y)
	if err != nil {
		t.Fatal(err)
	}
	var scratch robust.Scratch
	order, err := scratch.MannKendall(at, y)
	if err != nil {
		t.Fatal(err)
	}
	_, mad, _ := robust.MAD(y)
	ours := []float64{
		line.Slope, line.SlopeSE, line.Intercept, line.SSE,
		float64(order.S), order.NormalP, order.P, mad,
	}
	const exact = 6 // the exact p, which is not worked out for long series
	for k, got := range ours {
		if k == exact && order.How != robust.PExact {
			continue
		}
		want, err := strconv.ParseFloat(said[k], 64)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-want) > 1e-8*max(1, math.Abs(want)) {
			t.Errorf("figure %d: %v, R says %v", k, got, want)
		}
	}
}

func list(x []float64) string {
	texts := make([]string, len(x))
	for i, v := range x {
		texts[i] = strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strings.Join(texts, ",")
}
