package sootline_test

import (
	"testing"
	"time"

	"sootline"
)

// The seasons of the weather, by hand: in the north spring is March to May, in the south September to November. Where
// clocks are never changed the year has three parts.
func TestDayAhead(t *testing.T) {
	on := time.Date(2026, 6, 10, 12, 0, 0, 0, time.UTC)
	for _, c := range []struct{ zone, at, noun, when string }{
		{"UTC", "2026-06-30", "2026-06-30", "2026-06-30"},
		{"UTC", "2026-08-09", "2026-08-09", "2026-08-09"},
		{"UTC", "2026-08-12", "2026-08", "2026-08"},
		{"UTC", "2027-02-09", "2027-02", "2027-02"},
		{"UTC", "2027-02-11", "early 2027", "in early 2027"},
		{"UTC", "2027-08-31", "mid-2027", "in mid-2027"},
		{"UTC", "2027-04-30", "early 2027", "in early 2027"},
		{"UTC", "2027-09-01", "late 2027", "in late 2027"},
		{"UTC", "2039-11-06", "about 2039", "about 2039"},
		{"Europe/Paris", "2027-03-01", "spring 2027", "in spring 2027"},
		{"Europe/Paris", "2027-08-31", "summer 2027", "in summer 2027"},
		{"Europe/Paris", "2027-12-05", "winter 2027/28", "in winter 2027/28"},
		{"Europe/Paris", "2027-02-20", "winter 2026/27", "in winter 2026/27"},
		{"Europe/Dublin", "2027-06-01", "summer 2027", "in summer 2027"},
		{"Australia/Sydney", "2027-03-01", "autumn 2027", "in autumn 2027"},
		{"Australia/Sydney", "2027-10-20", "spring 2027", "in spring 2027"},
		{"Australia/Sydney", "2028-01-20", "summer 2027/28", "in summer 2027/28"},
		{"Australia/Sydney", "2029-01-20", "about 2029", "about 2029"},
	} {
		zone, err := sootline.ZoneNamed(c.zone)
		if err != nil {
			t.Fatal(err)
		}
		at, err := time.ParseInLocation(time.DateOnly, c.at, zone)
		if err != nil {
			t.Fatal(err)
		}
		if got := sootline.DayAhead(at, on, zone); got != c.noun {
			t.Errorf("%s in %s: %q, want %q", c.at, c.zone, got, c.noun)
		}
		if got := sootline.WhenAhead(at, on, zone); got != c.when {
			t.Errorf("%s in %s: %q, want %q", c.at, c.zone, got, c.when)
		}
	}
}
