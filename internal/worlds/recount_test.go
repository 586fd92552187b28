package worlds

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
)

// entry is one entry of a hand-made log: when, what, where, and the body; when ends in "d" where only the day is known.
type entry struct{ id, at, kind, point, body string }

// made gives the lines of a hand-made log: a smoke detector p1, a heat detector p2, a call point p3, an isolator p4 and p5,
// whose type nobody described, fitted on 1 February 2022.
func made(rest ...entry) []Line {
	base := []entry{
		{"", "", "opened", "", `{"name":"Mill","zone":"UTC"}`},
		{"", "", "sheet", "", `{"name":"Larch","device":"smoke"}`},
		{"", "", "sheet", "", `{"name":"Elder","device":"heat"}`},
		{"", "", "sheet", "", `{"name":"Pull","device":"call point"}`},
		{"", "", "sheet", "", `{"name":"Iso","device":"isolator"}`},
	}
	for i, typ := range []string{"Larch", "Elder", "pull", "Iso", "Nobody's"} {
		base = append(base, entry{
			"", "2022-02-01 00:00", "fitted", fmt.Sprint("p", i+1),
			fmt.Sprintf(`{"type":%q,"zone":"1","area":"Hall"}`, typ),
		})
	}
	return spelled(slices.Concat(base, rest))
}

// spelled makes lines of entries.
func spelled(all []entry) []Line {
	var lines []Line
	for i, e := range all {
		at := "1970-01-01T00:00:00.000Z"
		when, day := strings.CutSuffix(e.at, "d")
		if when != "" {
			at = strings.Replace(when, " ", "T", 1) + ":00.000Z"
		}
		if e.id == "" {
			e.id = fmt.Sprintf("e%03d", i)
		}
		lines = append(lines, Line{
			ID: e.id, Site: "s", At: at, Day: day, Noted: at, By: "A. Tech", Station: "s-1", Seq: i + 1,
			Point: e.point, Kind: e.kind, Body: []byte(e.body),
		})
	}
	return lines
}

// want holds figures worked out by hand; the zero of a figure is a figure too.
type want struct {
	points, detectors, under, tested, failed int
	next                                     string
	open, mended, closed                     int
	signals, tests, asked, falses, incidents int
}

const round = `{"state":"opened","round":["p1","p2"]}`

// never is the next due where a point was never tested: fitted on 1 February 2022, twelve months.
const never = "2023-02-01"

// with gives the figures of a site on which nothing was done, changed: p1, p2 and p5 detect; p3 is under test too, the
// isolator is not.
func with(set func(*want)) want {
	w := want{points: 5, detectors: 3, under: 4}
	set(&w)
	return w
}

// recounts are cases that were worked out by hand; the comments are the working.
var recounts = map[string]struct {
	log  []entry
	want want
}{
	"nothing was done": {nil, with(func(w *want) { w.next = never })},
	// p1's term ends on 1 June 2026; the others were never tested.
	"a pass": {[]entry{{"", "2025-06-01 09:00", "tested", "p1", `{}`}}, with(func(w *want) {
		w.tested, w.next = 1, never
	})},
	// Tested on 20 January 2025: the last day, 20 January 2026, is in time.
	"the last day is in time": {
		[]entry{{"", "2025-01-20 09:00", "tested", "p1", `{}`}},
		with(func(w *want) { w.tested, w.next = 1, never }),
	},
	"a day late": {
		[]entry{{"", "2025-01-19 09:00", "tested", "p1", `{}`}},
		with(func(w *want) { w.next = never }),
	},
	"two tests of a point are one point; a test of an isolator is in no share": {[]entry{
		{"", "2025-06-01 09:00", "tested", "p1", `{}`},
		{"", "2025-07-01 09:00", "tested", "p1", `{}`},
		{"", "2025-07-01 09:05", "tested", "p4", `{}`},
	}, with(func(w *want) { w.tested, w.next = 1, never })},
	// A failed test is none, and takes the pass before it away; its defect is open.
	"passed, then failed": {[]entry{
		{"", "2025-06-01 09:00", "tested", "p1", `{}`},
		{"", "2025-07-01 09:00", "tested", "p1", `{"failed":true}`},
	}, with(func(w *want) { w.failed, w.open, w.next = 1, 1, never })},
	"failed, again, then passed": {[]entry{
		{"", "2025-06-01 09:00", "tested", "p1", `{"failed":true}`},
		{"", "2025-06-02 09:00", "tested", "p1", `{"failed":true}`},
		{"", "2025-06-03 09:00", "tested", "p1", `{}`},
	}, with(func(w *want) { w.tested, w.closed, w.next = 1, 1, never })},
	// Both have only their day: nobody knows that the pass came after.
	"failed and passed on one day without times": {[]entry{
		{"z", "2025-06-01 12:00d", "tested", "p1", `{}`},
		{"a", "2025-06-01 12:00d", "tested", "p1", `{"failed":true}`},
	}, with(func(w *want) { w.failed, w.open, w.next = 1, 1, never })},
	"a pass withdrawn, a failure corrected into a pass": {[]entry{
		{"w", "2025-06-01 09:00", "tested", "p1", `{}`},
		{"", "2025-06-02 09:00", "withdrawn", "", `{"entry":"w"}`},
		{"c", "2025-06-01 09:00", "tested", "p2", `{"failed":true}`},
		{"", "2025-06-02 09:00", "corrected", "", `{"entry":"c","at":"2025-06-01T09:00:00.000Z","point":"p2","kind":"tested","body":{}}`},
	}, with(func(w *want) { w.tested, w.next = 1, never })},
	"a withdrawal that was withdrawn": {[]entry{
		{"w", "2025-06-01 09:00", "tested", "p1", `{}`},
		{"x", "2025-06-02 09:00", "withdrawn", "", `{"entry":"w"}`},
		{"", "2025-06-03 09:00", "withdrawn", "", `{"entry":"x"}`},
	}, with(func(w *want) { w.tested, w.next = 1, never })},
	// p2 is gone: 4 points, 2 detectors, 3 under test, its failed test closed. p6 is new: due by its fitting.
	"removed, and fitted in the term": {
		[]entry{
			{"", "2025-06-01 09:00", "tested", "p2", `{"failed":true}`},
			{"", "2025-06-02 09:00", "removed", "p2", `{}`},
			{"", "2025-12-01 09:00", "fitted", "p6", `{"type":"Larch"}`},
		},
		want{points: 5, detectors: 3, under: 4, closed: 1, next: never},
	},
	// Replaced: mended, waits for its retest, and the retest by name is a test of the point.
	"replaced, then retested": {[]entry{
		{"f", "2025-06-01 09:00", "tested", "p1", `{"failed":true}`},
		{"", "2025-06-02 09:00", "replaced", "p1", `{}`},
		{"", "2025-06-03 09:00", "retested", "p1", `{"defect":"f"}`},
	}, with(func(w *want) { w.tested, w.closed, w.next = 1, 1, never })},
	// Two faults of one cause are one defect; a passed test does not close one that is merely open.
	"a fault seen twice is mended, and another stays": {[]entry{
		{"f", "2025-06-01 09:00", "fault", "p1", `{"cause":"base cracked"}`},
		{"", "2025-06-02 09:00", "fault", "p1", `{"cause":"base cracked"}`},
		{"", "2025-06-02 09:00", "fault", "", `{"cause":"base cracked"}`},
		{"", "2025-06-03 09:00", "mended", "p1", `{"defect":"f"}`},
		{"", "2025-06-04 09:00", "defect", "p1", `{"nature":"obstruction","grade":"minor"}`},
		{"", "2025-06-05 09:00", "tested", "p1", `{}`},
	}, with(func(w *want) { w.tested, w.closed, w.open, w.next = 1, 1, 2, never })},
	// The round has p1 and p2. p1 acted: a test. p3 is not on the round: asked. p2 acted of cooking: false. After the
	// visit an alarm without words is false; the one an hour after it in the same area is the same incident.
	// The visit ended on 10 December 2025: the next by 10 June 2026.
	"a walk test": {[]entry{
		{"", "2025-12-10 08:30", "visit", "", round},
		{"", "2025-12-10 08:50", "alarm", "p1", `{}`},
		{"", "2025-12-10 08:55", "alarm", "p3", `{}`},
		{"", "2025-12-10 08:58", "alarm", "p2", `{"cause":"cooking"}`},
		{"", "2025-12-10 10:00", "visit", "", `{"state":"closed","left":"normal"}`},
		{"", "2025-12-12 08:50", "alarm", "p1", `{}`},
		{"", "2025-12-12 09:50", "alarm", "p2", `{"cause":"dust"}`},
	}, with(func(w *want) {
		w.tested, w.signals, w.tests, w.asked, w.falses, w.incidents, w.next = 1, 5, 1, 1, 3, 2, never
	})},
	// Mended, and shown again: the fault and the failed test are open, by their first sight.
	"mended and shown again": {[]entry{
		{"f", "2025-06-01 09:00", "fault", "p1", `{"cause":"base cracked"}`},
		{"", "2025-06-02 09:00", "mended", "p1", `{"defect":"f"}`},
		{"", "2025-06-03 09:00", "fault", "p1", `{"cause":"base cracked"}`},
		{"t", "2025-06-01 09:00", "tested", "p2", `{"failed":true}`},
		{"", "2025-06-02 09:00", "mended", "p2", `{"defect":"t"}`},
		{"", "2025-06-03 09:00", "tested", "p2", `{"failed":true}`},
	}, with(func(w *want) { w.failed, w.open, w.next = 1, 2, never })},
	// The passed test is the retest of the damage that was mended, at p1; the walk test at p2 is not.
	"a test closes what was mended, a walk test does not": {[]entry{
		{"d", "2025-06-01 09:00", "defect", "p1", `{"nature":"damage","grade":"minor"}`},
		{"", "2025-06-02 09:00", "mended", "p1", `{"defect":"d"}`},
		{"", "2025-06-03 09:00", "tested", "p1", `{}`},
		{"e", "2025-06-01 09:00", "defect", "p2", `{"nature":"damage","grade":"minor"}`},
		{"", "2025-06-02 09:00", "replaced", "p2", `{}`},
		{"", "2025-12-10 08:30", "visit", "", round},
		{"", "2025-12-10 08:50", "alarm", "p2", `{}`},
		{"", "2025-12-10 10:00", "visit", "", `{"state":"closed","left":"normal"}`},
	}, with(func(w *want) { w.tested, w.closed, w.mended, w.signals, w.tests, w.next = 2, 1, 1, 1, 1, never })},
	// Closed, then its retest failed: open. That of p2 is closed for good, with its point; p2 counts no more.
	"a retest that failed": {[]entry{
		{"d", "2025-06-01 09:00", "defect", "p1", `{"nature":"obstruction","grade":"minor"}`},
		{"", "2025-06-02 09:00", "retested", "p1", `{"defect":"d"}`},
		{"", "2025-06-03 09:00", "retested", "p1", `{"defect":"d","failed":true}`},
		{"e", "2025-06-01 09:00", "defect", "p2", `{"nature":"damage","grade":"minor"}`},
		{"", "2025-06-02 09:00", "removed", "p2", `{}`},
		{"", "2025-06-03 09:00", "retested", "p2", `{"defect":"e","failed":true}`},
		{"", "2025-06-04 09:00", "mended", "p1", `{"defect":"nothing"}`},
	}, want{points: 4, detectors: 2, under: 3, open: 1, closed: 1, next: never}},
	// The correction leaves the time as it was: the pass at noon is still one of which only the day is known.
	"a correction leaves the day alone": {[]entry{
		{"p", "2025-06-01 12:00d", "tested", "p1", `{}`},
		{"", "2025-06-02 09:00", "corrected", "", `{"entry":"p","at":"2025-06-01T12:00:00.000Z","point":"p1","kind":"tested","body":{"text":"well"}}`},
		{"", "2025-06-01 09:00", "tested", "p1", `{"failed":true}`},
	}, with(func(w *want) { w.failed, w.open, w.next = 1, 1, never })},
	// Noon of the day stands before the fault's minute, and yet the mending names the fault: it came after.
	"mended on the day, by the day alone": {[]entry{
		{"f", "2025-06-01 15:00", "fault", "p1", `{"cause":"base cracked"}`},
		{"", "2025-06-01 12:00d", "mended", "p1", `{"defect":"f"}`},
	}, with(func(w *want) { w.mended, w.next = 1, never })},
	// Noon of the day stands before the retest in order, and yet nobody knows that the failed one came first.
	"a retest that failed on the day, one in order at an hour": {[]entry{
		{"d", "2025-06-01 09:00", "defect", "p1", `{"nature":"damage","grade":"minor"}`},
		{"", "2025-06-05 12:00d", "retested", "p1", `{"defect":"d","failed":true}`},
		{"", "2025-06-05 15:00", "retested", "p1", `{"defect":"d"}`},
	}, with(func(w *want) { w.open, w.next = 1, never })},
	// The next day is known to be later.
	"a retest that failed on the day, one in order the day after": {[]entry{
		{"d", "2025-06-01 09:00", "defect", "p1", `{"nature":"damage","grade":"minor"}`},
		{"", "2025-06-05 12:00d", "retested", "p1", `{"defect":"d","failed":true}`},
		{"", "2025-06-06 09:00", "retested", "p1", `{"defect":"d"}`},
	}, with(func(w *want) { w.closed, w.next = 1, never })},
	// By their ids the one in order would stand last.
	"retests of one instant": {[]entry{
		{"d", "2025-06-01 09:00", "defect", "p1", `{"nature":"damage","grade":"minor"}`},
		{"y", "2025-06-05 09:00", "retested", "p1", `{"defect":"d","failed":true}`},
		{"z", "2025-06-05 09:00", "retested", "p1", `{"defect":"d"}`},
	}, with(func(w *want) { w.open, w.next = 1, never })},
	// The day stands for the one in order now; as a test of the point it is the failed one that is the last.
	"a retest that failed at an hour, one in order on the day": {[]entry{
		{"t", "2025-06-01 09:00", "tested", "p1", `{"failed":true}`},
		{"", "2025-06-05 09:00", "retested", "p1", `{"defect":"t","failed":true}`},
		{"", "2025-06-05 12:00d", "retested", "p1", `{"defect":"t"}`},
	}, with(func(w *want) { w.failed, w.open, w.next = 1, 1, never })},
	// The mending at ten is known to follow the failure at nine; the retest in order may have come before both.
	"a retest that failed, then mended, one in order on the day": {[]entry{
		{"d", "2025-06-01 09:00", "defect", "p1", `{"nature":"damage","grade":"minor"}`},
		{"", "2025-06-05 09:00", "retested", "p1", `{"defect":"d","failed":true}`},
		{"", "2025-06-05 10:00", "mended", "p1", `{"defect":"d"}`},
		{"", "2025-06-05 12:00d", "retested", "p1", `{"defect":"d"}`},
	}, with(func(w *want) { w.mended, w.next = 1, never })},
	// All on the day, found at three: both retests follow what they name, the failed one last.
	"found, failed and in order on one day": {[]entry{
		{"d", "2025-06-05 15:00", "defect", "p1", `{"nature":"damage","grade":"minor"}`},
		{"y", "2025-06-05 12:00d", "retested", "p1", `{"defect":"d","failed":true}`},
		{"z", "2025-06-05 12:00d", "retested", "p1", `{"defect":"d"}`},
	}, with(func(w *want) { w.open, w.next = 1, never })},
	// Nobody knows whether the alarm of the day came while the visit lasted: neither a test nor false.
	"an alarm with its day alone, on the day of a visit": {[]entry{
		{"", "2025-12-10 08:30", "visit", "", round},
		{"", "2025-12-10 10:00", "visit", "", `{"state":"closed","left":"normal"}`},
		{"", "2025-12-10 12:00d", "alarm", "p1", `{}`},
	}, with(func(w *want) { w.signals, w.asked, w.next = 1, 1, never })},
	// Not closed yet: the alarm on the second morning comes within 24 hours of the test on the first afternoon.
	"a visit of two days": {[]entry{
		{"", "2026-01-19 08:30", "visit", "", round},
		{"", "2026-01-19 16:00", "tested", "p1", `{}`},
		{"", "2026-01-20 09:00", "alarm", "p2", `{}`},
	}, with(func(w *want) { w.tested, w.signals, w.tests, w.next = 2, 1, 1, never })},
	// Never closed: it lasts a day. The alarm two days on is not one of its tests.
	"a visit forgotten": {[]entry{
		{"", "2025-12-10 08:30", "visit", "", round},
		{"", "2025-12-12 08:50", "alarm", "p1", `{}`},
	}, with(func(w *want) { w.signals, w.falses, w.incidents, w.next = 1, 1, 1, never })},
	// Somebody was there on 10 December 2025, so the next visit is due by 10 June 2026. When it began nobody knows: the
	// alarms of that day, with a time or without, are no tests and nothing to ask about; one area within 24 hours.
	"an end alone": {[]entry{
		{"", "", "service", "", `{"rules":[{"name":"visit","form":"visit","months":6}]}`},
		{"", "2025-12-10 08:50", "alarm", "p1", `{}`},
		{"", "2025-12-10 10:00", "visit", "", `{"state":"closed","left":"normal"}`},
		{"", "2025-12-10 12:00d", "alarm", "p2", `{}`},
	}, with(func(w *want) { w.signals, w.falses, w.incidents, w.next = 2, 2, 1, "2026-06-10" })},
}

// TestRecount holds the recount against cases that were worked out by hand.
func TestRecount(t *testing.T) {
	for name, c := range recounts {
		t.Run(name, func(t *testing.T) {
			fig, err := Recount(made(c.log...), time.Date(2026, 1, 20, 23, 59, 59, 0, time.UTC), 12)
			if err != nil {
				t.Fatal(err)
			}
			got := want{
				fig.Points, fig.Detectors, fig.UnderTest, fig.Tested, fig.Failed, fig.NextDue, fig.Open, fig.Mended,
				fig.Closed, fig.Signals, fig.TestSignals, fig.Asked, fig.FalseAlarms, fig.Incidents,
			}
			if !reflect.DeepEqual(got, c.want) {
				t.Errorf("got  %+v\nwant %+v", got, c.want)
			}
		})
	}
}

// TestAttendance: passed, failed, only read and not yet are told apart, and an entry after the end is none of it.
func TestAttendance(t *testing.T) {
	fig, err := Recount(made(
		entry{"", "2025-12-10 08:30", "visit", "", `{"state":"opened","round":["p1","p2","p3","p5"]}`},
		entry{"", "2025-12-10 08:40", "tested", "p1", `{"failed":true}`},
		entry{"", "2025-12-10 08:45", "tested", "p1", `{}`},
		entry{"", "2025-12-10 08:50", "tested", "p2", `{"failed":true}`},
		entry{"", "2025-12-10 08:55", "read", "p3", `{"samples":[25]}`},
		entry{"", "2025-12-10 09:00", "tested", "p4", `{}`},
		entry{"", "2025-12-10 10:00", "visit", "", `{"state":"closed"}`},
		entry{"", "2025-12-10 10:01", "tested", "p5", `{}`},
	), time.Date(2026, 1, 20, 23, 59, 59, 0, time.UTC), 12)
	if err != nil || len(fig.Visits) != 1 {
		t.Fatal(fig.Visits, err)
	}
	got := fmt.Sprint(fig.Visits[0].Passed, fig.Visits[0].NotPassed, fig.Visits[0].ReadOnly, fig.Visits[0].NotYet)
	if want := "[p1 p4] [p2] [p3] [p5]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// TestNextDue looks at the days alone, with every point tested lately.
func TestNextDue(t *testing.T) {
	var log []entry
	for i := range 5 {
		log = append(log, entry{"", fmt.Sprintf("2025-08-%02d 09:00", 20+i), "tested", fmt.Sprint("p", i+1), `{}`})
	}
	weekly := entry{"", "", "service", "", `{"rules":[{"name":"yearly","form":"every","months":12},` +
		`{"name":"weekly","form":"rotation","days":7}]}`}
	for name, c := range map[string]struct {
		more       []entry
		next, user string
	}{
		// No day with two points: no visit is known. p1: 20 August 2026; the isolator p4 has no term.
		"the earliest term": {nil, "2026-08-20", ""},
		// p3, the call point, was tested on 22 August 2025: a week. That is the user's own.
		"the user's week is apart": {[]entry{weekly}, "2026-08-20", "2025-08-29"},
		"a failed test at once":    {[]entry{{"", "2026-01-05 09:00", "tested", "p2", `{"failed":true}`}}, "2026-01-05", ""},
		// Visited until 31 August 2025: six months is the last day of February.
		"six months of a visit": {[]entry{
			{"", "2025-08-31 08:00", "visit", "", `{"state":"opened"}`},
			{"", "2025-08-31 09:00", "visit", "", `{"state":"closed"}`},
		}, "2026-02-28", ""},
		// The end of 15 September 2025 is of no visit that was begun, and yet somebody was there.
		"six months of an end alone, after a visit": {[]entry{
			{"", "2025-08-31 08:00", "visit", "", `{"state":"opened"}`},
			{"", "2025-08-31 09:00", "visit", "", `{"state":"closed"}`},
			{"", "2025-09-15 12:00d", "visit", "", `{"state":"closed"}`},
		}, "2026-03-15", ""},
		"six months of a day with two points": {[]entry{
			{"", "2025-09-01 09:00", "tested", "p1", `{}`}, {"", "2025-09-01 09:05", "read", "p4", `{"samples":[25]}`},
		}, "2026-03-01", ""},
		// p4 is no point any more. p1 was tested on 1 September: p2 is the earliest, by 21 August 2026.
		"a day with two points, one removed since": {[]entry{
			{"", "2025-09-01 09:00", "tested", "p1", `{}`},
			{"", "2025-09-01 09:05", "read", "p4", `{"samples":[25]}`},
			{"", "2025-10-01 09:05", "removed", "p4", `{}`},
		}, "2026-08-21", ""},
		// An end of which not even the day is known is an attendance of no day.
		"an end alone of an unknown day": {[]entry{{"", "", "visit", "", `{"state":"closed"}`}}, "2026-08-20", ""},
		// The beginning was withdrawn: the end stands alone.
		"an end whose beginning was withdrawn": {[]entry{
			{"o", "2025-08-31 08:00", "visit", "", `{"state":"opened"}`},
			{"", "2025-08-31 09:00", "visit", "", `{"state":"closed"}`},
			{"", "2025-09-01 09:00", "withdrawn", "", `{"entry":"o"}`},
		}, "2026-02-28", ""},
	} {
		t.Run(name, func(t *testing.T) {
			fig, err := Recount(made(slices.Concat(log, c.more)...), time.Date(2026, 1, 20, 23, 59, 59, 0, time.UTC), 12)
			if err != nil {
				t.Fatal(err)
			}
			if fig.NextDue != c.next || fig.UserNext != c.user {
				t.Errorf("next due %q (%s), the user's %q; want %q and %q", fig.NextDue, fig.NextDueOf, fig.UserNext, c.next, c.user)
			}
		})
	}
}

// TestDaysOfTheSite: 20 January 2026 ends at 13:00 UTC in Sydney (UTC+11 in summer): what was tested at 13:30 UTC on 19 January
// 2025 was tested on the 20th there, and is in time to the end of the 20th; what was tested at 12:30 was tested on the 19th.
func TestDaysOfTheSite(t *testing.T) {
	end := time.Date(2026, 1, 20, 12, 59, 59, 0, time.UTC)
	for at, tested := range map[string]int{"2025-01-19 13:30": 1, "2025-01-19 12:30": 0} {
		log := made(entry{"", "", "opened", "", `{"zone":"Australia/Sydney"}`}, entry{"", at, "tested", "p1", `{}`})
		fig, err := Recount(log, end, 12)
		if err != nil || fig.Tested != tested {
			t.Errorf("%s: %d tested, %v", at, fig.Tested, err)
		}
		if fig, err = RecountDay(log, end.Add(-12*time.Hour), 12); err != nil || fig.Tested != tested {
			t.Errorf("%s, at the end of the day: %d tested, %v", at, fig.Tested, err)
		}
	}
}

// TestShare: 100 % means all, 0 % none.
func TestShare(t *testing.T) {
	for want, fig := range map[string]Figures{
		"no points":             {},
		"1 of 8 (12.5 %)":       {Tested: 1, UnderTest: 8},
		"1 of 3 (33.3 %)":       {Tested: 1, UnderTest: 3},
		"1999 of 2000 (99.9 %)": {Tested: 1999, UnderTest: 2000},
		"1 of 9999 (0.1 %)":     {Tested: 1, UnderTest: 9999},
		"7 of 7 (100.0 %)":      {Tested: 7, UnderTest: 7},
	} {
		if got := fig.Share(); got != want {
			t.Errorf("%+v: %s, want %s", fig, got, want)
		}
	}
}
