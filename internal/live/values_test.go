package live

import (
	"testing"
	"time"

	"sootline/internal/worlds/nights"
)

// TestYearOfNights: of a year of nightly values of a thousand points few are kept, what changed at once is found within a week,
// and values that are no level are not kept.
func TestYearOfNights(t *testing.T) {
	year := nights.Draw(1000, 365, 5)
	keepers := make([]Keeper, year.Points)
	begin := time.Date(2025, 3, 1, 2, 0, 0, 0, time.UTC)
	var kept []nights.Value
	for _, v := range year.Values {
		if keepers[v.Point].Keeps(begin.AddDate(0, 0, v.Night), v.Value) {
			kept = append(kept, v)
		}
	}
	w := year.Weigh(kept)
	t.Logf("%+v", w)
	if w.Strange > 0 || w.Kept*20 > w.Values || w.Found*100 < w.Changes*95 || w.OddKept*1000 > w.Kept {
		t.Errorf("%+v", w)
	}
}
