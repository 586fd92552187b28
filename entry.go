package sootline

import (
	"bytes"
	"cmp"
	"slices"
	"strings"
	"time"
)

// Entry is one line of a site's log book. Once written it is never changed and
// never removed; a mistake is put right by another entry that names it.
type Entry struct {
	ID      ID
	Site    ID
	At      time.Time // when it happened, UTC, whole milliseconds
	Day     bool      // only the day is known, on the site's clock; At is an hour of it
	Noted   time.Time // when it was written down, UTC, whole milliseconds
	By      string    // who
	Station string    // what wrote it: a laptop, a phone, an import
	Seq     int64     // its number among the station's entries in this site's log, from 1
	Point   ID        // the point it is about, or zero
	Body    Body      // what
	Hash    Hash      // closes the station's chain up to and including this entry

	// Replaces names the entries of the same facts in whose place it puts itself; empty:
	// there was none. Nil: it states no fact, or is of an old program, and does not say.
	Replaces []ID
}

// Kind names what an entry says.
type Kind string

// Body is what an entry says. Each kind is one type in one file, with its own
// fold.
type Body interface {
	// Kind names the body's kind.
	Kind() Kind
	// say tells in words what the body says.
	say() string
	// check reports what makes the body impossible, whatever the log holds.
	check() error
	// fold brings what the entry says into the register.
	fold(r *Register, e *Entry)
}

// LongAgo is the instant given to facts whose beginning nobody wrote down, such
// as a device that was in place before the first listing. It is the first
// instant that an [ID] can hold; no addressable loop is older.
var LongAgo = time.Unix(0, 0).UTC()

// Instant rounds a time to what an entry keeps: UTC, whole milliseconds.
func Instant(t time.Time) time.Time { return time.UnixMilli(t.UnixMilli()).UTC() }

// Compare orders entries by when they happened, then by ID, then by station
// and number; the last two tell apart only copies of one entry that several
// stations noted.
func Compare(a, b *Entry) int {
	if c := a.At.Compare(b.At); c != 0 {
		return c
	}
	if c := bytes.Compare(a.ID[:], b.ID[:]); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Station, b.Station); c != 0 {
		return c
	}
	return cmp.Compare(a.Seq, b.Seq)
}

// Merge gives the union of two logs in order. An entry that both hold, by ID
// and station, is there once: merging is commutative, associative and
// idempotent.
func Merge(a, b []Entry) []Entry {
	all := slices.Concat(a, b)
	slices.SortFunc(all, func(a, b Entry) int { return Compare(&a, &b) })
	return slices.CompactFunc(all, func(a, b Entry) bool { return Compare(&a, &b) == 0 })
}

// Check reports what makes an entry impossible, whatever the log holds.
func (e *Entry) Check() error {
	switch {
	case e.ID.Zero():
		return Errorf(Invalid, "", "an entry needs an id")
	case e.Site.Zero():
		return Errorf(Invalid, "", "an entry needs its site")
	case e.Body == nil:
		return Errorf(Invalid, "", "an entry needs something to say")
	case e.At.Before(LongAgo) || e.At.Year() > 9999:
		return Errorf(Invalid, "", "an entry cannot have happened in the year %d", e.At.Year())
	}
	if err := checkAbout(e.Body, e.Point); err != nil {
		return err
	}
	return e.Body.check()
}

// CheckNew reports what makes an entry impossible, or empty, that somebody is
// about to write. Logs may hold older entries that it would refuse.
func (e *Entry) CheckNew() error {
	if err := e.Check(); err != nil {
		return err
	}
	if c, ok := e.Body.(Corrected); ok {
		said := *e
		said.At, said.Point, said.Body = c.At, c.Point, c.Body
		return said.CheckNew()
	}
	if body, ok := e.Body.(newChecker); ok {
		if err := body.checkNew(); err != nil {
			return err
		}
	}
	if w, ok := e.Body.(Wish); ok {
		if err := w.checkWhose(e.Point); err != nil {
			return err
		}
	}
	row, _ := findKind(e.Body.Kind())
	switch {
	case row.about == ofSite && !e.Point.Zero():
		return Errorf(Invalid, "leave the point out", "an entry of kind %s is about the site alone, and names a point", row.kind)
	case row.saysEnough(e.Point):
		return nil
	}
	return e.checkWords()
}

// newChecker is a body that refuses, when it is written, what old logs may hold.
type newChecker interface{ checkNew() error }

// saysEnough reports whether an entry of the kind says something by its kind alone:
// that a device was cleaned, or that a point is back in use.
func (k kindRow) saysEnough(point ID) bool {
	switch k.kind {
	case NoteKind, ReadKind, AddressedKind, SetKind:
		return false
	case WithdrawnKind, ServiceKind: // what is taken back; a service without rules is one that has none
		return true
	}
	return !point.Zero()
}

// checkWords refuses a body of which every field is empty or blank.
func (e *Entry) checkWords() error {
	form, err := FormOf(e.Body)
	if err != nil {
		return err
	}
	for _, field := range FieldsOf(e.Body.Kind()) {
		text := form[field.Key]
		if strings.TrimSpace(text) != "" && (field.Input != OutcomeInput || text != PassedOutcome) { // of what, nobody says
			return nil
		}
	}
	return Errorf(Invalid, "say in words what happened, or name the point", "this entry of kind %s says nothing", e.Body.Kind())
}
