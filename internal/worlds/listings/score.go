package listings

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline"
)

// Outcome is what an intake did with a listing.
type Outcome struct {
	Exit        int              // 0 done, 1 a question left open, 3 everything refused
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
	switch {
	case len(s.wrong) > 0:
		return Misread, s.wrong[0]
	case !s.hiddenTold():
		return Lost, flaw{cell: s.truth.Hidden[0], expected: "a word that hidden parts were left out", found: "nothing"}
	case !s.openAccounted():
		o := s.truth.Open[0]
		return Lost, flaw{cell: o.Cell, expected: "a question: " + o.Says, found: "nothing"}
	case asked:
		return Asked, s.firstMissing(strconv.Quote(s.out.Questions[0]))
	case s.out.Exit == 3: // everything was refused, also what would have added nothing
		return Refused, s.firstMissing("a refusal of everything")
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

// hiddenTold reports whether hidden parts, where there are some, were spoken of as hidden, or by their place.
func (s *scorer) hiddenTold() bool {
	if len(s.truth.Hidden) == 0 || s.out.Exit == 3 {
		return true
	}
	for _, sentence := range slices.Concat(s.out.Told, s.out.Refused, s.out.Questions) {
		if strings.Contains(strings.ToLower(sentence), "hidden") {
			return true
		}
	}
	return slices.ContainsFunc(s.truth.Hidden, func(c Cell) bool { return s.told(flaw{cell: c}) })
}

// openAccounted reports whether what is open was asked, refused or handed back; a sentence about something else does
// not account for it.
func (s *scorer) openAccounted() bool {
	if len(s.out.Questions)+len(s.out.Refused) > 0 || s.out.Exit == 3 {
		return true
	}
	rows := map[string]bool{}
	for _, o := range s.truth.Open {
		if !s.told(flaw{cell: o.Cell}) {
			rows[rowOfCell(o.Cell)] = true
		}
	}
	return len(rows) <= s.out.RowsRefused
}

// accounted reports whether refusals account for all that is missing: the whole listing or table refused, at least as
// many rows handed back as are missing, or each named in a sentence.
func (s *scorer) accounted() bool {
	if len(s.out.Refused) > 0 && s.out.RowsRefused == 0 {
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

// told reports whether a sentence names the place of a flaw: its cell, its row, its column or its point.
func (s *scorer) told(f flaw) bool {
	_, at, _ := strings.Cut(string(f.cell), "!")
	row, column := rowOfCell(f.cell), columnOfCell(f.cell)
	for _, sentence := range slices.Concat(s.out.Told, s.out.Refused) {
		said := strings.FieldsFunc(sentence, func(c rune) bool { return strings.ContainsRune(" ,;:()\"'!", c) })
		says := func(word string) bool { return word != "" && slices.Contains(said, word) }
		ofRow := says("row") || says("rows") || says("line") || says("lines")
		if says(at) || says(f.ref) || ofRow && says(row) || (says("column") || says("columns")) && says(column) {
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
