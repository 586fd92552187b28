package live

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// lessonByMinutes teaches by three lines of three minutes, of which the panel's clock is right.
func lessonByMinutes(t *testing.T) Lesson {
	t.Helper()
	l := Lesson{Site: time.UTC, Points: cellar()}
	for i, w := range []string{"FIRE", "FAULT", "DISABLED"} {
		at := morning.Add(time.Duration(i) * time.Minute)
		l.Heard = append(l.Heard, Chunk{at.Add(20 * time.Second), []byte(dayLine(at, w, 12+i))})
		markDayLine(t, &l, i+1, at, w, 12+i)
	}
	return l
}

func dayLine(at time.Time, word string, n int) string {
	return fmt.Sprintf("%s %s L1 D%03d Z%02d Chaufferie %d\n", at.Format("02/01/2006 15:04"), word, n, 1+n%2, 100+n)
}

func markDayLine(t *testing.T, l *Lesson, line int, at time.Time, word string, n int) {
	t.Helper()
	means := map[string]Event{"FIRE": Alarm, "FAULT": Fault, "DISABLED": Disabled}
	x, err := ExampleOf(l.Heard, line, line, []Said{
		{Role: Day, Value: at.Format("02/01/2006")},
		{Role: Clock, Value: at.Format("15:04")},
		{Role: What, Value: word, Means: means[word]},
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

// backlog is what a panel printed at these minutes after the morning, in one piece.
func backlog(came int, minutes ...int) Chunk {
	var b strings.Builder
	for _, m := range minutes {
		b.WriteString(dayLine(morning.Add(time.Duration(m)*time.Minute), "FIRE", 12+m/10%4))
	}
	return said(came, b.String())
}

// minutesOf gives how many minutes after the morning the lines that are read happened.
func minutesOf(all []Line) (at []int) {
	for _, l := range all {
		if l.Read != nil {
			at = append(at, int(l.At.Sub(morning).Minutes()))
		}
	}
	return at
}

// TestBacklogIsReadByItsTimes: lines that were printed while nobody listened, and come in one piece, happened when they say;
// pieces that follow go on, and lines after them are read as before.
func TestBacklogIsReadByItsTimes(t *testing.T) {
	l := lessonByMinutes(t)
	_, all := hear(t, l, backlog(10, 10), backlog(300, 60, 75, 75, 200, 290), backlog(300, 295, 300), backlog(310, 310))
	if got := fmt.Sprint(minutesOf(all)); got != "[10 60 75 75 200 290 295 300 310]" {
		t.Errorf("read at minutes %s:\n%s", got, shown(all))
	}
}

// TestBacklogWithDamage: a time that is damaged, and one before what was heard or behind the arrival, is not read; the others are.
func TestBacklogWithDamage(t *testing.T) {
	l := lessonByMinutes(t)
	_, all := hear(t, l, backlog(50, 50), backlog(300, 60, 75, 20, 200, 900, 290, 299), backlog(310, 310))
	if got := fmt.Sprint(minutesOf(all)); got != "[50 60 75 200 290 299 310]" {
		t.Errorf("read at minutes %s:\n%s", got, shown(all))
	}
}

// TestOldLinesAreNotNew: what was heard comes once more in one piece, as from a file that is read from its beginning: it is not
// read again, what is new behind it is, and the clock of the panel is not taken to be set.
func TestOldLinesAreNotNew(t *testing.T) {
	l := lessonByMinutes(t)
	_, all := hear(t, l, backlog(10, 10), backlog(20, 20), backlog(30, 30), backlog(90, 10, 10, 10), backlog(100, 10, 20, 30, 60, 70, 95), backlog(110, 110))
	if got := fmt.Sprint(minutesOf(all)); got != "[10 20 30 60 70 95 110]" {
		t.Errorf("read at minutes %s:\n%s", got, shown(all))
	}
}

// TestCopiedFile: a file of some days that comes in one piece is learned and read by its times.
func TestCopiedFile(t *testing.T) {
	l := Lesson{Site: time.UTC, Points: cellar(), Words: map[string]Event{}}
	var b strings.Builder
	words := []string{"FIRE", "FAULT", "DISABLED"}
	at := func(i int) time.Time { return morning.Add(time.Duration(-30+i) * 25 * time.Hour) }
	for i := range 24 {
		b.WriteString(dayLine(at(i), words[i%3], 12+i%4))
	}
	l.Heard = []Chunk{said(0, b.String())}
	for i := range 3 {
		markDayLine(t, &l, i+1, at(i), words[i%3], 12+i%4)
	}
	_, all := hear(t, l, l.Heard...)
	if len(all) != 24 {
		t.Fatalf("%d lines", len(all))
	}
	for i, line := range all {
		if line.Read == nil || line.At.Sub(at(i)).Abs() > time.Minute {
			t.Fatalf("line %d of %s is read as of %s: %s", i+1, at(i), line.At, line.Why)
		}
	}
}

// TestClockSetIsNoBacklog: lines that come one by one and are off by the same are of a clock that was set.
func TestClockSetIsNoBacklog(t *testing.T) {
	l := lessonByMinutes(t)
	late := func(m int) Chunk { return said(m, dayLine(morning.Add(time.Duration(m-60)*time.Minute), "FIRE", 12)) }
	_, all := hear(t, l, backlog(100, 100), late(110), late(111), late(112), late(113))
	if got := fmt.Sprint(minutesOf(all)); got != "[100 112 113]" {
		t.Errorf("read at minutes %s:\n%s", got, shown(all))
	}
}

// TestDaysReadTwoWaysAreAsked: where lines that came in one piece alone tell which part of a day is the month, and do not, the
// lesson is refused with what to do.
func TestDaysReadTwoWaysAreAsked(t *testing.T) {
	l := Lesson{Site: time.UTC, Points: cellar()}
	var b strings.Builder
	words := []string{"FIRE", "FAULT", "DISABLED"}
	at := func(i int) time.Time { return time.Date(2026, 5, 4+i, 9, 30, 0, 0, time.UTC) }
	for i := range 6 {
		b.WriteString(dayLine(at(i), words[i%3], 12+i%4))
	}
	l.Heard = []Chunk{said(0, b.String())}
	for i := range 3 {
		markDayLine(t, &l, i+1, at(i), words[i%3], 12+i%4)
	}
	if _, err := Learn(l); err == nil || !strings.Contains(err.Error(), "2026-05-04 and 2026-04-05") && !strings.Contains(err.Error(), "2026-04-05 and 2026-05-04") {
		t.Errorf("it is learned: %v", err)
	}
}
