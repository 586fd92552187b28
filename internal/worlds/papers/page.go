package papers

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
)

// Question is what a customer asks of a report, with what answers it. Texts are compared in small letters and with narrow
// spaces; the wording is that of an English report.
type Question struct {
	Asks string
	By   []Answer
}

// Answer is one thing that must stand there.
type Answer struct {
	What string
	In   func(text string) bool
}

// Miss is what is wrong with a report.
type Miss struct {
	Kind Kind
	Asks string // the question, or what must not be said
	Says string
}

// Kind sorts what is wrong with a report.
type Kind string

// The kinds of what is wrong.
const (
	PageOne  Kind = "page one does not say"
	Lacking  Kind = "the report does not say"
	NotShown Kind = "said without being shown"
)

// Page is the text of a page in two readings: with columns side by side, as `pdftotext -layout` has it, and cell by cell,
// as `pdftotext` alone has it, where what is broken over lines within a cell stands together.
type Page struct{ Lines, Flow string }

func (p Page) readings() []string { return []string{plain(p.Flow), plain(p.Lines)} }

// joined is a report as one page.
func joined(pages []Page) Page {
	var all Page
	for _, p := range pages {
		all.Lines += p.Lines + "\n"
		all.Flow += p.Flow + "\n"
	}
	return all
}

// Judge judges a report of the visit by the text of its pages. An answer that stands in either reading counts.
func (s *Story) Judge(pages []Page) []Miss {
	if len(pages) == 0 {
		pages = []Page{{}}
	}
	var all []Miss
	ask := func(kind Kind, questions []Question, page Page) {
		for _, q := range questions {
			for _, a := range q.By {
				if !slices.ContainsFunc(page.readings(), a.In) {
					all = append(all, Miss{kind, q.Asks, a.What})
				}
			}
		}
	}
	ask(PageOne, s.Questions(), pages[0])
	ask(Lacking, s.Whole(), joined(pages))
	return append(all, s.unshown(pages)...)
}

func plain(text string) string { return narrow(strings.ToLower(text)) }

// says wants any of the words, each at the beginning of a word.
func says(words ...string) Answer {
	return Answer{strings.Join(words, " | "), func(text string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return len(allAt(text, strings.ToLower(w))) > 0 })
	}}
}

// like wants what a regular expression describes.
func like(what, expression string) Answer {
	return Answer{what, regexp.MustCompile(expression).MatchString}
}

// near wants what two regular expressions describe within so many bytes of each other, in either order.
func near(what, a, b string, reach int) Answer {
	first, second := regexp.MustCompile(a), regexp.MustCompile(b)
	return Answer{what, func(text string) bool {
		others := second.FindAllStringIndex(text, -1)
		for _, x := range first.FindAllStringIndex(text, -1) {
			if slices.ContainsFunc(others, func(y []int) bool { return y[0]-x[1] <= reach && x[0]-y[1] <= reach }) {
				return true
			}
		}
		return false
	}}
}

var anyRef = regexp.MustCompile(`\b1\.1\.\d{3}\b`)

// behind wants an expression behind the name of a point, before the next point is named.
func behind(what, ref, expression string) Answer {
	wanted := regexp.MustCompile(expression)
	return Answer{what, func(text string) bool {
		return slices.ContainsFunc(allAt(text, ref), func(at int) bool {
			rest := text[at+len(ref):]
			if next := anyRef.FindStringIndex(rest); next != nil {
				rest = rest[:next[0]]
			}
			return wanted.MatchString(rest[:min(len(rest), behindReach)])
		})
	}}
}

// behindReach is how far behind the name of a point its value may stand, in bytes.
const behindReach = 200

// counted wants a count of things within reach of what is said of them: "12 points could not be reached", "not reached: 12".
// A count of something else, as of months, does not do.
func counted(n int, things, said string) Answer {
	what := fmt.Sprintf("%d of: %s; %s", n, things, said)
	of := near(what, number(n)+`(?: of (?:the )?\d+)? (?:`+things+`)`, said, 100)
	label := regexp.MustCompile(`(?:` + said + `)[^a-z0-9]{0,20}` + fmt.Sprintf(`%d\b(?:[^.]|\.[^0-9]|$)`, n))
	return Answer{what, func(text string) bool { return of.In(text) || label.MatchString(text) }}
}

// number is a count in digits or in words.
func number(n int) string {
	words := []string{"no|none|nothing", "one|a", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(words) {
		return fmt.Sprintf(`\b(?:%d|%s)\b`, n, words[n])
	}
	return fmt.Sprintf(`\b%d\b`, n)
}

// forms are the ways in which an English paper writes a day, in small letters.
func forms(d time.Time) []string {
	var all []string
	for _, layout := range []string{"2006-01-02", "2 January 2006", "2 Jan 2006", "January 2, 2006", "Jan 2, 2006", "02/01/2006", "02.01.2006", "01/02/2006"} {
		all = append(all, strings.ToLower(d.Format(layout)))
	}
	return all
}

// dated are the days that a text names, as far as [forms] reads them without doubt of day and month.
var dated = regexp.MustCompile(`\b(\d{4}-\d\d-\d\d|\d{1,2} [a-z]{3,9} \d{4}|[a-z]{3,9} \d{1,2}, \d{4})\b`)

func readDay(text string) (time.Time, bool) {
	for _, layout := range []string{"2006-01-02", "2 January 2006", "2 Jan 2006", "January 2, 2006", "Jan 2, 2006"} {
		if d, err := time.Parse(layout, text); err == nil {
			return d, true
		}
	}
	return time.Time{}, false
}

// nextReach is how far from the word "next" the day of the next visit may stand, in bytes.
const nextReach = 160

// next wants a day behind the word "next" that lies after the visit, and at most seven months after it: by which
// BS 5839-1:2025 section 6 still has the visit in time (read, IET Wiring Matters 108).
func (s *Story) next(text string) bool {
	for _, at := range allAt(text, "next") {
		for _, found := range dated.FindAllString(text[at:min(len(text), at+nextReach)], -1) {
			if d, ok := readDay(found); ok && d.After(s.Opened) && !d.After(s.Opened.AddDate(0, 7, 0)) {
				return true
			}
		}
	}
	return false
}
