package visit_test

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"

	"sootline"
	"sootline/internal/visit"
)

// TestCalendar has the feed read by another parser (golang-ical), and checks
// what that one lets pass: octets a line, line ends, and that identifiers stay.
func TestCalendar(t *testing.T) {
	b := newBook(t, set(t, "bs5839-1-2017"))
	b.fit(morning(day(t, "2024-03-01")), "Larch", sootline.Place{Zone: "1, north; \\ größer"})
	b.fit(morning(day(t, "2024-03-01")), "Larch", sootline.Place{Zone: "2"})
	b.visit(morning(day(t, "2025-01-10")))
	write := func(on, written string) string {
		_, all := b.list(day(t, on))
		var out bytes.Buffer
		feed := visit.Feed{Site: b.site, Name: "Mühle, Süd; " + strings.Repeat("ä", 60), Days: visit.DueDays(all)}
		if err := visit.Calendar(&out, day(t, written).Time().In(time.FixedZone("", 7200)), []visit.Feed{feed}); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	text := write("2025-01-20", "2025-01-20")
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") || !utf8.ValidString(line) {
			t.Errorf("line of %d octets: %q", len(line), line)
		}
	}
	calendar, err := ics.ParseCalendar(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	starts := map[string]string{}
	for _, event := range calendar.Events() {
		at, err := event.GetAllDayStartAt()
		if err != nil {
			t.Fatal(err)
		}
		summary := event.GetProperty(ics.ComponentPropertySummary).Value
		starts[summary] = at.Format(time.DateOnly)
		if stamp, err := event.GetDtStampTime(); err != nil || !stamp.Equal(day(t, "2025-01-20").Time()) {
			t.Errorf("%s: stamp %v: %v", summary, stamp, err)
		}
	}
	name := "Mühle, Süd; " + strings.Repeat("ä", 60)
	for summary, want := range map[string]string{
		name + ": visit":                                      "2025-07-10",
		name + ": every point yearly, 2 in all":               "2025-03-01",
		name + ": one of each zone, 2 in all":                 "2025-07-10",
		name + ": every point yearly, the share of the visit": "2025-07-10",
	} {
		if starts[summary] != want {
			t.Errorf("%q begins on %q, want %s; all: %v", summary, starts[summary], want, starts)
		}
	}
	again := write("2025-02-20", "2025-02-20")
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "UID:") && !strings.Contains(again, line) {
			t.Errorf("%s is another in the next feed", strings.TrimSpace(line))
		}
	}
	if n := strings.Count(text, "UID:"); n != len(starts) || n == 0 {
		t.Errorf("%d events, %d different ones", n, len(starts))
	}
}
