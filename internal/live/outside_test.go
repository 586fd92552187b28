package live

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// morning is when the lines of the tests below begin to arrive.
var morning = time.Date(2026, 12, 1, 0, 40, 0, 0, time.UTC)

// cellar is an invented register of ten points in two zones.
func cellar() (points []Point) {
	for n := 11; n <= 20; n++ {
		points = append(points, Point{Loop: "1", Number: n, Zone: 1 + n%2, Text: fmt.Sprintf("Chaufferie %d", 100+n)})
	}
	return points
}

// said is a piece of text that arrives some minutes after the morning began.
func said(minute int, text string) Chunk {
	return Chunk{morning.Add(time.Duration(minute) * time.Minute), []byte(text)}
}

// german prints a record of two lines, as an invented German printer does.
func german(minute int, event string, n int) Chunk {
	at := morning.Add(time.Duration(minute) * time.Minute)
	head := at.Format("02.01. 15:04") + "  " + event + "\n"
	if n > 0 {
		head += fmt.Sprintf("   Gruppe   %d  Melder 1.%03d   Chaufferie %d\n", 1+n%2, n, 100+n)
	}
	return said(minute, head)
}

// germanMarks are the parts of a record of two lines.
func germanMarks(minute int, event string, means Event, n int) []Said {
	at := morning.Add(time.Duration(minute) * time.Minute)
	return []Said{
		{Role: Day, Value: at.Format("02.01.")},
		{Role: Clock, Value: at.Format("15:04")},
		{Role: What, Value: event, Means: means},
		{Role: Zone, Value: fmt.Sprint(1 + n%2)},
		{Role: Loop, Value: "1"},
		{Role: Number, Value: fmt.Sprintf("%03d", n)},
		{Role: Text, Value: fmt.Sprintf("Chaufferie %d", 100+n)},
	}
}

// germanLesson marks the first three records; between the others stand resets, noise, and remarks of the panel's own.
func germanLesson(t *testing.T, more ...Chunk) Lesson {
	t.Helper()
	l := Lesson{Site: time.UTC, Points: cellar(), Words: map[string]Event{"RÜCKGESTELLT": Reset}}
	events := []struct {
		word  string
		means Event
	}{{"BRANDALARM", Alarm}, {"STÖRUNG", Fault}, {"ABGESCHALTET", Disabled}}
	for i, e := range events {
		l.Heard = append(l.Heard, german(i, e.word, 11+i))
	}
	l.Heard = append(l.Heard, more...)
	for i, e := range events {
		x, err := ExampleOf(l.Heard, 1+2*i, 2+2*i, germanMarks(i, e.word, e.means, 11+i))
		if err != nil {
			t.Fatal(err)
		}
		l.Examples = append(l.Examples, x)
	}
	return l
}

// hear reads pieces by what a lesson teaches, and counts the events read.
func hear(t *testing.T, l Lesson, later ...Chunk) (events map[Event]int, all []Line) {
	t.Helper()
	learned, err := Learn(l)
	if err != nil {
		t.Fatal(err)
	}
	r := NewReader(learned.Style, l.Points, l.Site)
	for _, c := range later {
		all = append(all, r.Hear(c.At, c.Bytes)...)
	}
	all = append(all, r.End()...)
	events = map[Event]int{}
	for _, line := range all {
		if line.Read != nil {
			events[line.Read.Event]++
		}
	}
	return events, all
}

// shown writes lines for a failure.
func shown(all []Line) string {
	var b strings.Builder
	for _, l := range all {
		fmt.Fprintf(&b, "%q: %v %s\n", l.Shown, l.Read, l.Why)
	}
	return b.String()
}

// TestHeadIsNoSecondLine: a reset before an alarm does not take the alarm's first line as its own second one.
func TestHeadIsNoSecondLine(t *testing.T) {
	var more []Chunk
	for i := range 6 {
		more = append(more, german(10+2*i, "RÜCKGESTELLT", 0), german(10+2*i, "BRANDALARM", 12+i))
	}
	l := germanLesson(t, more...)
	var later []Chunk
	for i := range 4 {
		m := 40 + 3*i
		later = append(later, german(m, "RÜCKGESTELLT", 0), german(m, "BRANDALARM", 14+i),
			german(m+1, "RÜCKGESTELLT", 0), said(m+1, "*** BATTERY 27.1V ***\n"), german(m+1, "STÖRUNG", 15),
			german(m+2, "RÜCKGESTELLT", 0), said(m+2, "x1.12. ?? BRANDALARM\n   Gruppe   2  Melder 1.015   Chaufferie 115\n"))
	}
	events, all := hear(t, l, later...)
	if events[Alarm] != 4 || events[Fault] != 4 || events[Reset] != 12 {
		t.Errorf("of 4 alarms, 4 faults and 12 resets were read: %v\n%s", events, shown(all))
	}
}

// TestHeadStaysAHead: where the second lines of alarms are not understood, their heads are no texts of the resets before them.
func TestHeadStaysAHead(t *testing.T) {
	var more []Chunk
	for i := range 6 {
		head, _, _ := strings.Cut(string(german(10+2*i, "BRANDALARM", 12).Bytes), "\n")
		more = append(more, german(10+2*i, "RÜCKGESTELLT", 0), said(10+2*i, head+"\n"+strings.Repeat("#", i+1)+"uppe"+strings.Repeat("~", i)+"\n"))
	}
	l := germanLesson(t, more...)
	events, all := hear(t, l, more...)
	for _, line := range all {
		if line.Read != nil && strings.Count(line.Shown, "01.12.") > 1 {
			t.Errorf("two heads are one record: %q", line.Shown)
		}
	}
	if events[Reset] != 6 {
		t.Errorf("of 6 resets were read: %v\n%s", events, shown(all))
	}
}

// TestOneResetIsEnough: a reset whose word is explained is read, though the lesson holds a single one.
func TestOneResetIsEnough(t *testing.T) {
	l := germanLesson(t, german(9, "RÜCKGESTELLT", 0), german(10, "BRANDALARM", 13))
	events, all := hear(t, l, german(40, "RÜCKGESTELLT", 0), german(41, "BRANDALARM", 14))
	if events[Reset] != 1 || events[Alarm] != 1 {
		t.Errorf("of a reset and an alarm were read: %v\n%s", events, shown(all))
	}
}

// TestHalfLinesTellNothing: what is left of a line of a point is no alarm of no point, though it was heard before and often.
func TestHalfLinesTellNothing(t *testing.T) {
	half := func(minute int, rest string) Chunk {
		head, _, _ := strings.Cut(string(german(minute, "BRANDALARM", 12).Bytes), "\n")
		return said(minute, head+rest)
	}
	var more []Chunk
	for i := range 6 {
		more = append(more, half(10+2*i, "\n"), half(11+2*i, "\n   Gruppe   1  Me?der 1.014   Chaufferie 114\n"))
	}
	l := germanLesson(t, more...)
	events, all := hear(t, l, half(40, "\n"), half(42, "\n   Gruppe   1  Me?der 1.014   Chaufferie 114\n"), half(44, ""))
	if len(events) > 0 {
		t.Errorf("half lines are read: %v\n%s", events, shown(all))
	}
}

// syslogLine is a message of syslog: the panel's line behind a header.
func syslogLine(minute int, header, word string, n int) Chunk {
	at := morning.Add(time.Duration(minute) * time.Minute)
	return said(minute, fmt.Sprintf(header, at.Format("2006-01-02T15:04:05Z"))+fmt.Sprintf("%s %s L1 D%03d Z%02d Chaufferie %d\n", at.Format("02/01/2006 15:04"), word, n, 1+n%2, 100+n))
}

// lessonInOneMinute teaches by three lines of one minute.
func lessonInOneMinute(t *testing.T, header string) Lesson {
	t.Helper()
	l := Lesson{Site: time.UTC, Points: cellar()}
	words := map[string]Event{"FIRE": Alarm, "FAULT": Fault, "DISABLED": Disabled}
	var order []string
	for _, w := range []string{"FIRE", "FAULT", "DISABLED"} {
		order = append(order, w)
		l.Heard = append(l.Heard, syslogLine(0, header, w, 11+len(order)))
	}
	for i, w := range order {
		n := 12 + i
		x, err := ExampleOf(l.Heard, i+1, i+1, []Said{
			{Role: Day, Value: "01/12/2026"},
			{Role: Clock, Value: "00:40"},
			{Role: What, Value: w, Means: words[w]},
			{Role: Loop, Value: "1"},
			{Role: Number, Value: fmt.Sprintf("%03d", n)},
			{Role: Zone, Value: fmt.Sprintf("%02d", 1+n%2)},
			{Role: Text, Value: fmt.Sprintf("Chaufferie %d", 100+n)},
		})
		if err != nil {
			t.Fatal(err)
		}
		l.Examples = append(l.Examples, x)
	}
	return l
}

// TestHeadersAreNotLearned: lines taught within a minute are read at other minutes and days, whatever header they have, and the
// header is not shown.
func TestHeadersAreNotLearned(t *testing.T) {
	for _, header := range []string{
		"<134>1 %s panel-1 prn 17 ID1 - ", "<131>1 %s panel-1 prn 17 - [a@1 b=\"x\\] y\"][c] \xef\xbb\xbf", "log %s: ",
	} {
		l := lessonInOneMinute(t, header)
		var later []Chunk
		for i := range 4 {
			later = append(later, syslogLine(7+i*1500, strings.Replace(header, "<134>", "<9>", 1), "FIRE", 13+i))
		}
		events, all := hear(t, l, later...)
		if events[Alarm] != 4 {
			t.Errorf("behind %q of 4 alarms were read: %v\n%s", header, events, shown(all))
		}
		for _, line := range all {
			if header[0] == '<' && strings.Contains(line.Shown, "panel-1") {
				t.Errorf("the header is shown: %q", line.Shown)
			}
		}
	}
}

// TestNoiseIsNoWord: a word that noise changed by one character is not asked, and its line stays not understood; one that is
// written with letters of known words alone is asked, for it may be another word.
func TestNoiseIsNoWord(t *testing.T) {
	l := germanLesson(t, german(10, "BRAN?ALARM", 12), german(11, "STÖR~UNG", 13), german(12, "VORALARM", 14), german(13, "B~AND#L\x8fRM", 15), german(14, "St$rt-Ne", 16))
	learned, err := Learn(l)
	if err != nil {
		t.Fatal(err)
	}
	if len(learned.Asks) != 1 || learned.Asks[0].Word != "VORALARM" {
		t.Errorf("asked is %v", learned.Asks)
	}
	events, all := hear(t, l, german(40, "BRAN?ALARM", 12), german(41, "BRANDALARM", 12))
	if events[Alarm] != 1 || len(all) < 2 || all[0].Read != nil {
		t.Errorf("a changed word is read:\n%s", shown(all))
	}
}
