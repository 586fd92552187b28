package main

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// printHand prints what is in hand: the card, the steps, the device meant, and how far
// the run has come; nil: it belongs to none.
func (s *session) printHand(b *app.BenchRun, h app.BenchHand) {
	fmt.Fprint(s.out, app.CardText(&h.Card))
	now := "nobody knows what it carries"
	switch {
	case h.Stands > 0 && h.Fresh:
		now = "from its box it carries " + strconv.Itoa(h.Stands)
	case h.Stands > 0:
		now = "carries " + strconv.Itoa(h.Stands) + " now"
	}
	s.benchLine("", now+"; "+cmp.Or(strings.Join(h.Steps, "; "), notMoved(h)))
	if d := h.Device; d != nil && (d.Serial != "" || d.Type != "") {
		s.benchLine("device", strings.TrimSpace(d.Serial+" "+d.Type))
	}
	for _, m := range h.Modes {
		if m.Reason != "" {
			s.benchLine(m.Name, m.Choice+": "+m.Reason)
		}
	}
	if h.Place != nil && h.Place.Replaces {
		s.benchLine("", "another unit was there before: this one is written down as its replacement")
	}
	if h.Place != nil && h.Place.Skipped != nil {
		s.benchLine("", "skipped before"+reason(h.Place.Skipped.Reason))
	}
	if b != nil {
		s.benchLine("", progressWords(b))
	}
}

// notMoved says why there is no step.
func notMoved(h app.BenchHand) string {
	if h.Stands != 0 && h.Stands == h.Number {
		return "nothing to move"
	}
	return "nobody said how this type is set"
}

func reason(text string) string {
	if text == "" {
		return ""
	}
	return ": " + text
}

func (s *session) benchLine(label, text string) {
	if label != "" {
		label += " "
	}
	fmt.Fprintf(s.out, "   %s\n", wrapTo(label+text, 3, benchWidth))
}

// howFar says how many places of a run are done, and how many are no places any more.
func howFar(b *app.BenchRun) string {
	pr := b.Progress()
	text := countOf(pr.Done, pr.Places, "place done", "places done")
	if gone := b.GonePlaces(); gone > 0 {
		text += ", " + count(gone, "place was taken back or removed", "places were taken back or removed")
	}
	return text
}

// progressWords says how far a run has come, how fast, and how long it will take.
func progressWords(b *app.BenchRun) string {
	pr := b.Progress()
	words := []string{howFar(b)}
	if pr.Skipped > 0 {
		words = append(words, fmt.Sprintf("%d skipped", pr.Skipped))
	}
	if pr.Rejected > 0 {
		words = append(words, count(pr.Rejected, "device rejected", "devices rejected"))
	}
	if pr.Pace > 0 {
		words = append(words, brief(pr.Pace)+" a device")
	}
	if pr.TimeLeft > 0 {
		words = append(words, "about "+brief(pr.TimeLeft)+" left")
	}
	return strings.Join(words, ", ")
}

// brief writes a duration as people say it.
func brief(d time.Duration) string {
	switch {
	case d < 2*time.Minute:
		return fmt.Sprintf("%d s", int(d.Round(time.Second).Seconds()))
	case d < 2*time.Hour:
		return fmt.Sprintf("%d min", int(d.Round(time.Minute).Minutes()))
	}
	return fmt.Sprintf("%d h %02d min", int(d.Hours()), int(d.Minutes())%60)
}

// printBench prints a run place by place.
func (s *session) printBench(b *app.BenchRun) error {
	fmt.Fprintf(s.out, "%s: %s.\n", b.Title(), wrapTo(progressWords(b), 2, benchWidth))
	if len(b.Places) == 0 {
		return nil
	}
	var rows [][]string
	for _, place := range b.Places {
		v, serial := b.ValueAt(place), ""
		if len(place.Done) > 0 {
			serial = place.Done[len(place.Done)-1].Serial
		}
		value := ""
		if place.Reading() != nil {
			value = strconv.FormatFloat(v.Value, 'f', -1, 64) + " " + v.State
		}
		rows = append(rows, []string{place.Name(), place.State(), clipTo(serial, 12), clipTo(value, 16), clipTo(place.Where(), 22)})
	}
	return printTable(s.out, []string{"place", "state", "serial", "value", "where"}, rows)
}

// clipTo shortens a cell, so that the table stays narrow.
func clipTo(text string, most int) string {
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most-3]) + "..."
	}
	return text
}

// printBenchLeft prints what is left of a run.
func (s *session) printBenchLeft(b *app.BenchRun) {
	left := b.Left()
	if len(left) == 0 {
		fmt.Fprintln(s.out, wrapTo(strings.TrimSpace("Nothing is left. "+sootline.AsSentence(b.Gone())), 0, benchWidth))
		return
	}
	s.heading(fmt.Sprintf("left (%d)", len(left)))
	for _, l := range left {
		fmt.Fprintf(s.out, "  %s\n", wrapTo(l.Text, 4, benchWidth))
	}
}

// printWritten prints the same of what was written: its look is over.
func (s *session) printWritten(l *app.BenchLooked) {
	over := *l
	over.Value.Wait = 0
	s.printLooked(&over)
}

// printLooked prints how a value stands and what is to be said.
func (s *session) printLooked(l *app.BenchLooked) {
	if text := valueWords(l.Value); text != "" {
		s.benchLine("", text)
	}
	for _, r := range l.Remarks {
		mark := "    "
		switch r.Grave {
		case app.BenchRefused:
			mark = "NO  "
		case app.BenchAsked:
			mark = "?   "
		}
		fmt.Fprintf(s.out, "   %s%s\n", mark, wrapTo(r.Text, 7, benchWidth))
	}
}

// valueWords says where a value lies; nothing where none was given.
func valueWords(v app.BenchValue) string {
	if v.State == app.NoBenchValue {
		return ""
	}
	words := []string{"value " + strconv.FormatFloat(v.Value, 'f', -1, 64), v.State}
	if v.Low != nil && v.High != nil {
		words = append(words, fmt.Sprintf("band %g to %g", *v.Low, *v.High))
	}
	if v.Spread != nil {
		words = append(words, "spread "+strconv.FormatFloat(*v.Spread, 'f', 2, 64))
	}
	if v.Wait > 0 {
		words = append(words, "look for "+brief(time.Duration(v.Wait*float64(time.Second)))+" more")
	}
	return strings.Join(words, ", ")
}
