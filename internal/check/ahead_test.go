package check

import (
	"strings"
	"testing"
	"time"

	"sootline"
)

// What was written while a clock was ahead is told of, and what cannot be done
// again comes first; what has happened is not.
func TestAhead(t *testing.T) {
	now := time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC)
	site, point := sootline.NewID(now, [10]byte{1}), sootline.NewID(now, [10]byte{2})
	at := func(n byte, when time.Time, station string, body sootline.Body) sootline.Entry {
		return sootline.Entry{ID: sootline.NewID(when, [10]byte{n}), Site: site, At: when, Noted: when, Station: station, Point: point, Body: body}
	}
	ahead := now.AddDate(5, 0, 0)
	entries := []sootline.Entry{
		at(3, now.AddDate(-1, 0, 0), "a", sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1"}}),
		at(9, now.AddDate(-1, 0, 0), "a", sootline.Addressed{Wanted: 4, Found: 4}),
		at(4, now, "a", sootline.Disabled{Text: "this morning"}),
		at(5, ahead, "b", sootline.Disabled{Text: "for painting"}),
		at(6, ahead.Add(time.Hour), "b", sootline.Disabled{Text: "taken back"}),
		at(8, ahead, "c", sootline.Note{Text: "another clock"}),
	}
	for n := range byte(mostSaid + 2) {
		entries = append(entries, at(20+n, ahead.Add(-time.Hour), "b", sootline.Tested{}))
	}
	entries = append(entries, at(7, now, "a", sootline.Withdrawn{Entry: entries[4].ID}))
	log := sootline.NewLog(entries)
	found := Ahead(log.Fold(now), log, now)
	if len(found) != 2 || len(found[0].Entries) != mostSaid+3 {
		t.Fatalf("%d findings: %+v", len(found), found)
	}
	reason := found[0].Reason
	if !strings.Contains(reason, "has not come yet, so that it counts for nothing: 2031-01-15, 1.1.004 ") ||
		!strings.Contains(reason, "for painting") || strings.Contains(reason, "taken back") || !strings.Contains(reason, "; and 3 more") {
		t.Error(reason)
	}
	if !strings.Contains(found[1].Reason, "another clock") {
		t.Error(found[1].Reason)
	}
}
