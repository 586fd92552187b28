package levels

import (
	"encoding/binary"
	"fmt"
	"slices"
	"time"

	"sootline"
)

// Book keeps the log of an invented site. Entries may be written in any order: each station's are numbered
// and sealed by when they were noted.
type Book struct {
	site    sootline.ID
	seed    uint64
	written uint64
	entries []sootline.Entry
}

// NewBook begins the log of a site, whose facts are its first entry.
func NewBook(seed uint64, at time.Time, facts sootline.Opened) *Book {
	b := &Book{seed: seed}
	b.site = b.id(at)
	b.Write(Line{At: at, Body: facts})
	return b
}

// Line is an entry as a world writes it.
type Line struct {
	At      time.Time
	Day     bool      // only the day is known
	Noted   time.Time // zero: at once
	By      string
	Station string // empty: one laptop
	Point   sootline.ID
	Body    sootline.Body
}

// Write adds an entry, and gives its id.
func (b *Book) Write(l Line) sootline.ID {
	if l.Noted.IsZero() {
		l.Noted = l.At
	}
	if l.Station == "" {
		l.Station = "laptop"
	}
	id := b.id(l.Noted)
	b.entries = append(b.entries, sootline.Entry{
		ID: id, Site: b.site, At: sootline.Instant(l.At), Day: l.Day, Noted: sootline.Instant(l.Noted),
		By: l.By, Station: l.Station, Point: l.Point, Body: l.Body,
	})
	return id
}

// Point makes the id of a point.
func (b *Book) Point(at time.Time) sootline.ID { return b.id(at) }

// id numbers what is written, so that ids of one instant are in the order of writing.
func (b *Book) id(at time.Time) sootline.ID {
	b.written++
	var tail [10]byte
	binary.BigEndian.PutUint32(tail[2:6], uint32(b.written))
	binary.BigEndian.PutUint32(tail[6:], uint32(b.seed^b.seed>>32))
	return sootline.NewID(at, tail)
}

// Entries gives the log in order, sealed. An entry that no log may hold is an error.
func (b *Book) Entries() ([]sootline.Entry, error) {
	all := slices.Clone(b.entries)
	slices.SortStableFunc(all, func(x, y sootline.Entry) int { return x.Noted.Compare(y.Noted) })
	chains := map[string]*sootline.Chain{}
	for i := range all {
		e := &all[i]
		if chains[e.Station] == nil {
			chains[e.Station] = &sootline.Chain{}
		}
		if err := e.CheckNew(); err != nil {
			return nil, fmt.Errorf("entry of kind %s at %s: %w", e.Body.Kind(), e.At, err)
		}
		if _, err := chains[e.Station].Seal(nil, e); err != nil {
			return nil, err
		}
	}
	slices.SortFunc(all, func(x, y sootline.Entry) int { return sootline.Compare(&x, &y) })
	return all, nil
}
