package check_test

import (
	"strings"
	"testing"

	"sootline"
	"sootline/internal/check"
)

// The last insulation of each core counts, by the rule of the site: its own figure before that of the code that it follows,
// and where no rule is known nothing is said.
func TestInsulation(t *testing.T) {
	low, good, well, least := 1.5, 50.0, 3.0, 5.0
	b := sound()
	reasons := func() string {
		var all []string
		for _, f := range check.Register(sootline.Fold(b.entries, on), on) {
			if f.Code == check.InsulationLow {
				all = append(all, f.Reason)
			}
		}
		return strings.Join(all, "\n")
	}
	b.add(date("2026-01-15"), "", sootline.Measured{Panel: "1", Loop: "1", PlusEarth: &low, MinusEarth: &good})
	if got := reasons(); got != "" {
		t.Errorf("without a rule: %s", got)
	}
	b.add(date("2026-01-15"), "", sootline.Opened{SiteFacts: sootline.SiteFacts{Follows: "bs 5839-1 and others"}})
	if got := reasons(); strings.Count(got, "\n") != 0 || !strings.Contains(got, "the plus core of loop 1.1 had 1.5 Mohm to earth on 2026-01-15, less than the 2 of BS 5839-1") {
		t.Errorf("by the code: %s", got)
	}
	b.add(date("2026-01-16"), "", sootline.Measured{Panel: "1", Loop: "1", PlusEarth: &well})
	if got := reasons(); got != "" {
		t.Errorf("measured again: %s", got)
	}
	b.add(date("2026-01-17"), "", sootline.Supply{Panel: "1", Loop: "1", Volts: 24, LeastMOhms: least})
	if got := reasons(); !strings.Contains(got, "had 3 Mohm to earth on 2026-01-16, less than the 5 of the site") {
		t.Errorf("by the site's own: %s", got)
	}
}
