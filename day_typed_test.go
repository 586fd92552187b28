package sootline_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"sootline"
)

func TestParseDate(t *testing.T) {
	for text, want := range map[string]string{
		"2026-01-15": "2026-01-15", " 2026-1-5 ": "2026-01-05", "2026/01/15": "2026-01-15", "2026.01.15": "2026-01-15",
		"15.01.2026": "2026-01-15", "15.1.2026": "2026-01-15", "15/01/2026": "2026-01-15", "15-01-2026": "2026-01-15",
		"01/15/2026": "2026-01-15", "05.05.2026": "2026-05-05", "29.02.2028": "2028-02-29",
		"15 Jan 2026": "2026-01-15", "15 January 2026": "2026-01-15", "Jan 15, 2026": "2026-01-15",
		// two readings: asked
		"03/04/2026": "say which: 2026-04-03 or 2026-03-04", "1.2.2026": "say which: 2026-02-01 or 2026-01-02", "12-11-2026": "say which: 2026-11-12 or 2026-12-11",
		// none
		"31.02.2026": "write", "29.02.2026": "write", "2026-13-01": "write", "2026-15-01": "write", "15.01.26": "write", "26-01-15": "write", "2026-01": "write",
		"15.01/2026": "write", "": "write", "tomorrow": "write", "0-1-2026": "write", "+1.1.2026": "write", "2026-2026-01": "write", "1.1.1.2026": "write",
		"20260115": "write", "015.01.2026": "write",
	} {
		year, month, day, err := sootline.ParseDate(text)
		got := fmt.Sprintf("%04d-%02d-%02d", year, month, day)
		if err != nil {
			got = sootline.ErrorHint(err)
		}
		if got != want && (want != "write" || !strings.HasPrefix(got, "write")) {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	}
}

// Every day of some years is read back in each order in which it is clear, and never as another day.
func TestParseDateNeverMistakes(t *testing.T) {
	asked := 0
	for at := time.Date(2023, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() < 2029; at = at.AddDate(0, 0, 1) {
		for _, layout := range []string{"2006-01-02", "2006.1.2", "2006/01/02", "02.01.2006", "2/1/2006", "02-01-2006", "01/02/2006", "2 Jan 2006"} {
			year, month, day, err := sootline.ParseDate(at.Format(layout))
			if err != nil {
				asked++
				if at.Day() > 12 || at.Day() == int(at.Month()) || !strings.Contains(sootline.ErrorHint(err), at.Format(time.DateOnly)) {
					t.Fatalf("%s: %v", at.Format(layout), err)
				}
				continue
			}
			if got := time.Date(year, month, day, 0, 0, 0, 0, time.UTC); !got.Equal(at) {
				t.Fatalf("%s is read as %s", at.Format(layout), got)
			}
		}
	}
	if want := 6 * 12 * 11 * 4; asked != want { // four layouts with the year last and numbers alone, on days that two months share
		t.Errorf("%d were asked, want %d", asked, want)
	}
}
