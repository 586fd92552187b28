package listings

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"sootline"
)

// Outcome is what an intake did with a listing.
type Outcome struct {
	Exit        int
	Written     []sootline.Entry // what it added to the site's log
	Questions   []string         // what it asked and nobody answered
	Refused     []string         // what it refused, each with its reason
	Told        []string         // what it left out and said so
	RowsRefused int              // rows handed back
}

// Taker takes a listing in for a site, as a person does who accepts what is certain and answers no question.
type Taker func(site []sootline.Entry, name string, data []byte) (Outcome, error)

// Class is what became of a listing.
type Class string

// The classes, the gravest last.
const (
	Right   Class = "right"   // all that is true was written, and nothing asked
	Asked   Class = "asked"   // what was not written was asked
	Refused Class = "refused" // it was refused, or said to be left out
	Lost    Class = "lost"    // something true was neither written nor accounted for
	Misread Class = "misread" // something was written that the listing does not state
)

// Classes lists the classes.
func Classes() []Class { return []Class{Right, Asked, Refused, Lost, Misread} }

// Verdict is how a listing was taken, with what shows it.
type Verdict struct {
	Class     Class
	Cell      Cell
	Expected  string
	Found     string
	Layout    string
	Language  string
	Format    string
	Spoilings []string
	MustAsk   bool // something is open in it, so that right is out of reach
	Seed      uint64
}

// String says the verdict in a sentence.
func (v Verdict) String() string {
	if v.Expected == "" && v.Found == "" {
		return string(v.Class)
	}
	at := ""
	if v.Cell != "" {
		at = fmt.Sprintf(" at %s", v.Cell)
	}
	return fmt.Sprintf("%s%s: expected %s, found %s", v.Class, at, v.Expected, v.Found)
}

// flaw is a difference between the truth and what was written.
type flaw struct {
	cell            Cell
	ref             string
	expected, found string
}

// scorer compares one outcome with one truth.
type scorer struct {
	truth         *Truth
	out           *Outcome
	zone          *time.Location
	before, after *sootline.Register
	known         map[sootline.ID]bool // entries of the site
	fresh         []*sootline.Entry    // entries written, in order
	fitted        map[string]sootline.ID
	wrong         []flaw
	missing       []flaw
}

// farFuture is later than every entry.
var farFuture = time.Date(9000, 1, 1, 0, 0, 0, 0, time.UTC)

// Score says what became of a listing. It compares by meaning: points by reference, type and place, readings by
// reference, day and value, events by reference, day and kind.
func Score(l Listing, o Outcome) Verdict {
	s := newScorer(&l, &o)
	s.comparePoints()
	s.compareReadings()
	s.compareEvents()
	s.compareFacts()
	v := Verdict{
		Layout: l.Layout, Language: l.Language, Format: l.Format, Spoilings: l.Spoilings, Seed: l.Seed,
		MustAsk: len(l.Truth.Open) > 0,
	}
	var shown flaw
	v.Class, shown = s.class()
	v.Cell, v.Expected, v.Found = shown.cell, shown.expected, shown.found
	return v
}

func newScorer(l *Listing, o *Outcome) *scorer {
	s := &scorer{truth: &l.Truth, out: o, zone: time.UTC, known: map[sootline.ID]bool{}, fitted: map[string]sootline.ID{}}
	for i := range l.Site {
		s.known[l.Site[i].ID] = true
	}
	all := append([]sootline.Entry{}, l.Site...)
	for _, e := range o.Written {
		if !s.known[e.ID] {
			all = append(all, e)
		}
	}
	s.before = sootline.Fold(append([]sootline.Entry{}, l.Site...), farFuture)
	log := sootline.NewLog(all)
	s.after = log.Fold(farFuture)
	if zone, err := sootline.ZoneNamed(s.before.Site.Zone); err == nil {
		s.zone = zone
	}
	for _, e := range log.Entries() {
		if !s.known[e.ID] {
			s.fresh = append(s.fresh, e)
		}
	}
	return s
}

func (s *scorer) misread(at Stated, expected, found string) {
	s.wrong = append(s.wrong, flaw{at.Cell, at.Ref, expected, found})
}

func (s *scorer) lacks(at Stated, expected string) {
	s.missing = append(s.missing, flaw{at.Cell, at.Ref, expected, "nothing"})
}

// class sorts the outcome, and gives what shows it.
func (s *scorer) class() (Class, flaw) {
	asked := len(s.out.Questions) > 0
	accounts := asked || s.out.Exit == 3 || len(s.out.Refused)+len(s.out.Told)+s.out.RowsRefused > 0
	switch {
	case len(s.wrong) > 0:
		return Misread, s.wrong[0]
	case len(s.truth.Hidden) > 0 && !accounts:
		return Lost, flaw{cell: s.truth.Hidden[0], expected: "a word that hidden parts were left out", found: "nothing"}
	case len(s.truth.Open) > 0 && !accounts:
		o := s.truth.Open[0]
		return Lost, flaw{cell: o.Cell, expected: "a question: " + o.Says, found: "nothing"}
	case asked:
		return Asked, s.firstMissing(strconv.Quote(s.out.Questions[0]))
	case len(s.missing) == 0 && len(s.truth.Open) == 0:
		return Right, flaw{}
	case len(s.missing) == 0:
		return Refused, flaw{}
	case s.accounted():
		return Refused, s.firstMissing("a refusal")
	}
	return Lost, s.missing[0]
}

// firstMissing is the first fact that was not written, with what was found in its place.
func (s *scorer) firstMissing(found string) flaw {
	if len(s.missing) == 0 {
		return flaw{}
	}
	f := s.missing[0]
	f.found = found
	return f
}

// accounted reports whether refusals account for all that is missing: the whole listing or table refused, at least as
// many rows handed back as are missing, or each named in a sentence.
func (s *scorer) accounted() bool {
	if s.out.Exit == 3 || len(s.out.Refused) > 0 && s.out.RowsRefused == 0 {
		return true
	}
	rows := map[string]bool{}
	for _, f := range s.missing {
		if !s.told(f) {
			rows[rowOfCell(f.cell)+f.ref] = true
		}
	}
	return len(rows) <= s.out.RowsRefused
}

// told reports whether a sentence names the place of a flaw: its sheet, row or point.
func (s *scorer) told(f flaw) bool {
	sheet, _, _ := strings.Cut(string(f.cell), "!")
	row, column := rowOfCell(f.cell), columnOfCell(f.cell)
	for _, sentence := range append(append([]string{}, s.out.Told...), s.out.Refused...) {
		for _, word := range strings.FieldsFunc(sentence, func(c rune) bool { return strings.ContainsRune(" ,;:()\"'", c) }) {
			if word == row || word == column || f.ref != "" && word == f.ref {
				return true
			}
		}
		if sheet != "" && strings.Contains(sentence, sheet) {
			return true
		}
	}
	return false
}

// rowOfCell gives the number of a cell's row.
func rowOfCell(c Cell) string {
	_, at, _ := strings.Cut(string(c), "!")
	return strings.TrimLeft(at, "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
}

// columnOfCell gives the letters of a cell's column.
func columnOfCell(c Cell) string {
	_, at, _ := strings.Cut(string(c), "!")
	return strings.TrimRight(at, "0123456789")
}
