package judge_test

import (
	"testing"

	"sootline/internal/judge"
)

// Equal readings after a rise surprise; as many about a level that rested all along do not, also where others of the
// type are written to a tenth.
func TestStuckAfterARise(t *testing.T) {
	for _, c := range []struct {
		name   string
		values []float64
		want   judge.Action
	}{
		{"seven after a rise", []float64{26, 25, 27, 28, 30, 31, 31, 31, 31, 31, 31, 31}, judge.LookAgain},
		{"at rest all along", []float64{25, 26, 25, 25, 24, 25, 25, 25, 25, 25, 25, 25}, judge.Leave},
		{"beyond the limit", []float64{41, 42, 41, 41, 41, 41, 41, 41, 41, 41, 41, 41}, judge.CleanNow},
	} {
		town := newTown()
		for n := 1; n <= 20; n++ {
			values := []float64{25, 25, 25, 25, 24, 25, 25, 25, 25, 26, 25, 25}
			for i := range values {
				values[i] += float64(n%4) * 0.3 * float64(i)
			}
			town.halfYearly(n, values...)
		}
		town.halfYearly(21, c.values...)
		if got := town.judged(21); got.Action != c.want {
			t.Errorf("%s: %s: %q", c.name, got.Action, got.Reasons)
		}
	}
}
