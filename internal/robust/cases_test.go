package robust

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// readCases decodes testdata/name; testdata/README.md names the source of every file.
func readCases(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// wantNear fails unless got is within tol of want, in proportion to want when that is above 1.
func wantNear(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*max(1, math.Abs(want))) {
		t.Errorf("%s = %.17g, want %.17g within %g", what, got, want, tol)
	}
}

// wantRel fails unless got is within tol of want in proportion to want.
func wantRel(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s = %.17g, want %.17g within %g of it", what, got, want, tol)
	}
}

// sequence returns 1, 2, ... n.
func sequence(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = float64(i + 1)
	}
	return x
}
