package live

import (
	"fmt"
	"testing"
	"time"

	"golang.org/x/text/encoding/charmap"
)

// kitchens are points whose texts code pages write differently, or not.
func kitchens() []Point {
	names := []string{"Küche Süd", "Büro 2. OG", "Gästehaus", "Salle à manger", "Store", "Garage"}
	var all []Point
	for i, n := range names {
		all = append(all, Point{Loop: "1", Number: 11 + i, Zone: 1, Text: n})
	}
	return all
}

// writtenBy writes a line by a code page; nil: by UTF-8.
func writtenBy(t *testing.T, page *charmap.Charmap, minute, i int, word string) Chunk {
	t.Helper()
	at := morning.Add(time.Duration(minute) * time.Minute)
	text := fmt.Sprintf("%s %s L1 D%03d Z01 %s\n", at.Format("02/01/2006 15:04"), word, 11+i, kitchens()[i].Text)
	if page != nil {
		var err error
		if text, err = page.NewEncoder().String(text); err != nil {
			t.Fatal(err)
		}
	}
	return said(minute, text)
}

// lessonBy teaches by three lines of these points.
func lessonBy(t *testing.T, page *charmap.Charmap, points [3]int, more ...Chunk) Lesson {
	t.Helper()
	l := Lesson{Site: time.UTC, Points: kitchens(), Words: map[string]Event{}}
	words := []string{"FIRE", "FAULT", "DISABLED"}
	means := []Event{Alarm, Fault, Disabled}
	for i, k := range points {
		l.Heard = append(l.Heard, writtenBy(t, page, i, k, words[i]))
	}
	l.Heard = append(l.Heard, more...)
	for i, k := range points {
		x, err := ExampleOf(l.Heard, i+1, i+1, []Said{
			{Role: Day, Value: "01/12/2026"},
			{Role: Clock, Value: morning.Add(time.Duration(i) * time.Minute).Format("15:04")},
			{Role: What, Value: words[i], Means: means[i]},
			{Role: Loop, Value: "1"},
			{Role: Number, Value: fmt.Sprintf("%03d", 11+k)},
			{Role: Zone, Value: "01"},
			{Role: Text, Value: kitchens()[k].Text},
		})
		if err != nil {
			t.Fatal(err)
		}
		l.Examples = append(l.Examples, x)
	}
	return l
}

// TestRegisterTellsThePage: the register's own texts say by which code page lines are written: in what is shown of them, in a lesson
// with noise, and of a panel whose lesson had no such text.
func TestRegisterTellsThePage(t *testing.T) {
	noise := said(5, "x\xff\xfe 1?3\n")
	for name, page := range map[string]*charmap.Charmap{"utf-8": nil, "850": charmap.CodePage850, "437": charmap.CodePage437, "1252": charmap.Windows1252} {
		for lesson, points := range map[string][3]int{"with texts": {0, 1, 2}, "without": {4, 5, 4}} {
			l := lessonBy(t, page, points, noise)
			if lesson == "with texts" {
				if text := HeardLines(l.Heard, textsOf(l.Points))[0].Text; text != "01/12/2026 00:40 FIRE L1 D011 Z01 Küche Süd" {
					t.Errorf("%s: shown is %q", name, text)
				}
			}
			var later []Chunk
			for i := range 4 {
				later = append(later, writtenBy(t, page, 40+i, i, "FIRE"))
			}
			events, all := hear(t, l, later...)
			if events[Alarm] != 4 {
				t.Errorf("%s, %s: of 4 alarms were read: %v\n%s", name, lesson, events, shown(all))
			}
		}
	}
}
