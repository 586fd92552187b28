package visit

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"sootline"
)

// Feed is what is due on one site.
type Feed struct {
	Site    sootline.ID
	Name    string
	Days    []DueDay
	Caution string // what is to be known of all of it, as that it is of an earlier day; or empty
	Trouble string // why it is not known what is due; empty: it is
}

// DueDay is what a rule asks for by a day.
type DueDay struct {
	Rule  string `json:"rule"`
	Until Day    `json:"until"` // the last day
	What  string `json:"what"`  // in a line
	Why   string `json:"why"`   // in several
}

// Calendar writes the last days of all that is due as an iCalendar object (RFC
// 5545): one all-day event for each site, rule and day. The identifier of an
// event follows from these three, so that it is the same in each feed. A site of which
// nobody can say what is due has an event on the day of writing that says so: its last
// days are gone from the calendar, and must not be missed.
func Calendar(w io.Writer, written time.Time, feeds []Feed) error {
	out := bufio.NewWriter(w)
	line := func(text string) { writeFolded(out, text) }
	line("BEGIN:VCALENDAR")
	line("VERSION:2.0")
	line("PRODID:-//sootline//due//EN")
	line("CALSCALE:GREGORIAN")
	for _, feed := range feeds {
		if feed.Trouble != "" {
			writeEvent(line, "trouble|"+feed.Site.String(), written, DayOf(written, time.UTC), feed.Name+": what is due is not known", feed.Trouble)
		}
		for _, day := range feed.Days {
			why := strings.TrimPrefix(feed.Caution+"\n"+day.Why, "\n")
			writeEvent(line, fmt.Sprintf("%s|%s|%s", feed.Site, day.Rule, day.Until), written, day.Until, feed.Name+": "+day.What, why)
		}
	}
	line("END:VCALENDAR")
	return out.Flush()
}

// dayRule gathers what a rule asks for by a day.
type dayRule struct {
	rule  sootline.ServiceRule
	until Day
	all   []*Obligation
}

// DueDays groups what is due by day and rule, the earliest first; what has no last day is
// left out.
func DueDays(obligations []Obligation) []DueDay {
	type key struct {
		rule  string
		until Day
	}
	byKey := map[key]*dayRule{}
	var all []*dayRule
	for i := range obligations {
		o := &obligations[i]
		if !o.Until.Known() || o.Need == 0 && o.Work != Attend {
			continue
		}
		k := key{o.Rule.Name, o.Until}
		if byKey[k] == nil {
			byKey[k] = &dayRule{rule: o.Rule, until: o.Until}
			all = append(all, byKey[k])
		}
		byKey[k].all = append(byKey[k].all, o)
	}
	slices.SortStableFunc(all, func(a, b *dayRule) int { return int(a.until - b.until) })
	var days []DueDay
	for _, e := range all {
		days = append(days, DueDay{e.rule.Name, e.until, e.summary(), e.description()})
	}
	return days
}

// writeEvent writes an event of a whole day; its identifier follows from what it is.
func writeEvent(line func(string), what string, written time.Time, on Day, summary, description string) {
	const day = "20060102"
	sum := sha256.Sum256([]byte(what))
	line("BEGIN:VEVENT")
	line("UID:" + hex.EncodeToString(sum[:16]) + "@sootline")
	line("DTSTAMP:" + written.UTC().Format("20060102T150405Z"))
	line("DTSTART;VALUE=DATE:" + on.Time().Format(day))
	line("DTEND;VALUE=DATE:" + (on + 1).Time().Format(day))
	line("SUMMARY:" + escape(summary))
	line("DESCRIPTION:" + escape(description))
	line("TRANSP:TRANSPARENT")
	line("END:VEVENT")
}

func (e *dayRule) summary() string {
	text := e.rule.Name
	switch n := len(e.all); {
	case n > 1:
		text += fmt.Sprintf(", %d in all", n)
	case e.all[0].Of != "":
		text += ", " + e.all[0].Of
	case len(e.all[0].Points) == 1:
		text += ", " + e.all[0].Points[0].Ref().String()
	}
	return text
}

func (e *dayRule) description() string {
	const most = 12
	text := e.rule.Text + " (" + Source(&e.rule) + ")"
	for i, o := range e.all {
		if i == most {
			return text + fmt.Sprintf("\nand %d more", len(e.all)-most)
		}
		what := o.Of
		if what == "" && len(o.Points) == 1 {
			what = o.Points[0].Ref().String()
		}
		text += "\n" + strings.TrimPrefix(what+": "+o.Why, ": ")
	}
	return text
}

// escape writes a text value as RFC 5545 3.3.11 asks; control characters other
// than the line feed have no place in one.
func escape(text string) string {
	text = strings.Map(func(c rune) rune {
		if c != '\n' && (c < ' ' || c == 0x7f) {
			return ' '
		}
		return c
	}, strings.ToValidUTF8(text, "?"))
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`).Replace(text)
}

// writeFolded writes a content line in pieces of at most 75 octets, none of
// which ends within a character (RFC 5545 3.1).
func writeFolded(out *bufio.Writer, text string) {
	const most = 75
	room := most
	for len(text) > room {
		cut := room
		for !utf8.RuneStart(text[cut]) {
			cut--
		}
		out.WriteString(text[:cut] + "\r\n ") //nolint:errcheck // a bufio.Writer keeps its first error for Flush
		text, room = text[cut:], most-1
	}
	out.WriteString(text + "\r\n") //nolint:errcheck // as above
}
