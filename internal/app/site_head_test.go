package app

import (
	"slices"
	"testing"

	"sootline/internal/store"
)

// What needs somebody now is more at stake than what is due, and what is critical most.
func TestWhatIsAtStake(t *testing.T) {
	inOrder := []store.SiteCounts{
		{}, {Due: 3}, {Overdue: 1}, {CleanNow: 1}, {CleanNow: 1, Overdue: 2}, {Serious: 2}, {Critical: 1, Defects: 1},
	}
	var stakes []int
	for i := range inOrder {
		stake, needs := atStake(&inOrder[i])
		stakes = append(stakes, stake)
		if needs != (i > 1) {
			t.Errorf("%+v needs somebody: %v", inOrder[i], needs)
		}
	}
	if !slices.IsSorted(stakes) || stakes[0] != 0 || slices.Compact(stakes)[len(inOrder)-1] == 0 {
		t.Errorf("%v", stakes)
	}
}
