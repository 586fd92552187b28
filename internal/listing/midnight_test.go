package listing

import (
	"slices"
	"testing"
)

// Midnight behind every day of a column is none that anybody read at; beside other times it is a time.
func TestMidnights(t *testing.T) {
	for list, want := range map[string][]string{
		"point,date,value\n1.1,2026-11-13 00:00:00,26\n1.2,2026-11-14 00:00:00,27\n": {"1.1 2026-11-13 [26]", "1.2 2026-11-14 [27]"},
		"Punkt;Datum;Wert\n1.1;13.11.2026 00:00;26\n1.2;14.11.2026 00:00;27\n":       {"1.1 2026-11-13 [26]", "1.2 2026-11-14 [27]"},
		"point,date,value\n1.1,2026-11-13T00:00:00,26\n1.2,2026-11-14,27\n":          {"1.1 2026-11-13 [26]", "1.2 2026-11-14 [27]"},
		"point,date,value\n1.1,2026-11-13 00:00:00,26\n1.2,2026-11-14 09:30:00,27\n": {"1.1 2026-11-13 00:00:00 [26]", "1.2 2026-11-14 09:30:00 [27]"},
	} {
		if got := readingsOf(t, "x.csv", list, Profile{}); !slices.Equal(got, want) {
			t.Errorf("%q: %q", list, got)
		}
	}
}

// The bare words for day and night over numbers are two values of one visit.
func TestDayAndNight(t *testing.T) {
	for _, heads := range []string{"day,night", "Tag,Nacht", "jour,nuit", "día,noche", "giorno,notte", "dag,nacht"} {
		list := "point,date," + heads + "\n1.001,2026-11-10,28,25\n1.002,2026-11-10,27,26\n"
		want := []string{"1.1 2026-11-10 [25] by night", "1.1 2026-11-10 [28] by day", "1.2 2026-11-10 [26] by night", "1.2 2026-11-10 [27] by day"}
		if got := readingsOf(t, "x.csv", list, Profile{}); !slices.Equal(got, want) {
			t.Errorf("under %s: %q", heads, got)
		}
	}
}
