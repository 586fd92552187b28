package robust

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The finite sum against gonum's incomplete beta function, 1e-12.
func TestStudentBelow(t *testing.T) {
	for df := 1.0; df <= fewSteps; df++ {
		for z := -float64(farOut); z <= farOut; z += 0.37 {
			got, want := studentBelow(z, df), distuv.StudentsT{Sigma: 1, Nu: df}.CDF(z)
			if math.Abs(got-want) > 1e-12 {
				t.Errorf("%v degrees of freedom, %v: %v, want %v", df, z, got, want)
			}
		}
	}
}
