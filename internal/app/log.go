package app

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/store"
)

// LogLine is an entry as it is shown: with the amendment that holds for it.
type LogLine struct {
	Entry   sootline.Entry
	Amended *sootline.Entry // nil: it stands as it was written
	Ref     string          // the point's reference now, or empty
}

// LogFilter says which entries to show; zero fields leave nothing out.
type LogFilter struct {
	Point    string // a reference
	Kinds    []sootline.Kind
	From, To time.Time // when they happened; To is exclusive
	Text     string    // in the name of who wrote it, or in what it says
	Last     int       // only the latest so many
}

// Log gives the entries of a site that the filter lets through, in order.
func (a *App) Log(ctx context.Context, site sootline.ID, filter LogFilter) (*sootline.Register, []LogLine, error) {
	entries, err := a.Book.Entries(ctx, site)
	if err != nil {
		return nil, nil, err
	}
	book := newLogBook(entries)
	r := sootline.Fold(entries, always)
	found, err := book.filter(r, filter)
	if err != nil {
		return nil, nil, err
	}
	if filter.Last > 0 && len(found) > filter.Last {
		found = found[len(found)-filter.Last:]
	}
	lines := make([]LogLine, len(found))
	for i, e := range found {
		lines[i] = book.line(r, e)
	}
	return r, lines, nil
}

// logBook is the entries of a site in order, with the amendment that holds for
// each.
type logBook struct {
	entries []*sootline.Entry
	amended map[sootline.ID]*sootline.Entry
}

// newLogBook leaves the entries where they are: a register points to them.
func newLogBook(entries []sootline.Entry) logBook {
	inOrder := make([]*sootline.Entry, len(entries))
	for i := range entries {
		inOrder[i] = &entries[i]
	}
	slices.SortFunc(inOrder, sootline.Compare)
	return logBook{inOrder, sootline.Amendments(entries)}
}

func (b logBook) filter(r *sootline.Register, filter LogFilter) ([]*sootline.Entry, error) {
	about, err := filter.points(r)
	if err != nil {
		return nil, err
	}
	var found []*sootline.Entry
	for _, e := range b.entries {
		if filter.lets(e, about) {
			found = append(found, e)
		}
	}
	return found, nil
}

func (b logBook) line(r *sootline.Register, e *sootline.Entry) LogLine {
	line := LogLine{Entry: *e, Amended: b.amended[e.ID]}
	if p := r.Point(e.Point); p != nil {
		line.Ref = p.Ref().String()
	}
	return line
}

// Log gives the entries that the filter lets through, the latest first, without
// reading the book again.
func (s *Survey) Log(filter LogFilter) ([]*sootline.Entry, error) {
	found, err := s.log.filter(s.Register, filter)
	slices.Reverse(found)
	return found, err
}

// LogLine gives an entry of [Survey.Log] with what amends it.
func (s *Survey) LogLine(e *sootline.Entry) LogLine { return s.log.line(s.Register, e) }

// LogEntry finds an entry by its id.
func (s *Survey) LogEntry(id sootline.ID) (LogLine, error) {
	for _, e := range s.log.entries {
		if e.ID == id {
			return s.LogLine(e), nil
		}
	}
	return LogLine{}, sootline.Errorf(sootline.NotFound, "`sootline log` shows the ids", "there is no entry %s in this site's log", id)
}

// points gives the points that the filter's reference ever named.
func (f LogFilter) points(r *sootline.Register) (map[sootline.ID]bool, error) {
	if f.Point == "" {
		return nil, nil
	}
	p, err := PointNamed(r, f.Point)
	if err != nil {
		return nil, err
	}
	return map[sootline.ID]bool{p.ID: true}, nil
}

func (f LogFilter) lets(e *sootline.Entry, about map[sootline.ID]bool) bool {
	switch {
	case about != nil && !about[e.Point],
		len(f.Kinds) > 0 && !slices.Contains(f.Kinds, e.Body.Kind()),
		!f.From.IsZero() && e.At.Before(f.From),
		!f.To.IsZero() && !e.At.Before(f.To):
		return false
	}
	if f.Text == "" {
		return true
	}
	line, err := sootline.AppendLine(nil, e)
	return err == nil && strings.Contains(strings.ToLower(string(line)), strings.ToLower(f.Text))
}

// PointNamed finds the one point that a reference names now. Where several share
// a number, a point is named by its id.
func PointNamed(r *sootline.Register, name string) (*sootline.Point, error) {
	if id, err := sootline.ParseID(name); err == nil {
		if p := r.Point(id); p != nil {
			return p, nil
		}
		return nil, sootline.Errorf(sootline.NotFound, "`sootline check --json` and `sootline log` show ids", "there is no point of the id %s", id)
	}
	ref, err := sootline.ParseRef(name)
	if err != nil {
		return nil, err
	}
	points := r.Named(ref, always)
	switch len(points) {
	case 1:
		return points[0], nil
	case 0:
		return nil, sootline.Errorf(sootline.NotFound, "`sootline site show` lists the loops; `sootline take` takes in a schedule", "there is no point %s", ref)
	}
	var which []string
	for _, p := range points {
		which = append(which, fmt.Sprintf("%s at %s", p.ID, cmp.Or(p.Location, p.Area, "no known place")))
	}
	return nil, sootline.Errorf(sootline.Conflict, "name one of them by its id, for example --point "+points[0].ID.String(),
		"%d points carry the number %s: %s", len(points), ref, strings.Join(which, ", "))
}

// Note is an entry to be added by hand.
type Note struct {
	ID    sootline.ID // zero: a new one; else handing it in twice adds it once
	At    time.Time   // zero: now
	Point string      // a reference, or empty
	By    string      // empty: whoever is at work
	Body  sootline.Body
	Sure  bool // whoever writes is certain of what may be a slip
}

// AddEntry adds an entry made by hand.
func (a *App) AddEntry(ctx context.Context, site sootline.ID, n Note) (sootline.Entry, error) {
	r, point := (*sootline.Register)(nil), sootline.ID{}
	if n.Point != "" {
		var err error
		if r, err = a.Register(ctx, site, time.Time{}); err != nil {
			return sootline.Entry{}, err
		}
		p, err := PointNamed(r, n.Point)
		if err != nil {
			return sootline.Entry{}, err
		}
		point = p.ID
	}
	at := n.At
	if at.IsZero() {
		at = a.Now()
	}
	if at.After(a.Now().Add(24 * time.Hour)) {
		return sootline.Entry{}, sootline.Errorf(sootline.Invalid, "a log book holds what happened", "%s is in the future", at.Format(time.DateOnly))
	}
	e := a.entry(site, at, point, n.Body)
	if n.By != "" {
		e.By = n.By
	}
	if !n.ID.Zero() {
		e.ID = n.ID
	}
	if err := e.CheckNew(); err != nil {
		return sootline.Entry{}, err
	}
	if !n.Sure {
		if err := a.doubt(r, &e, func(at time.Time) (*sootline.Register, error) { return a.Register(ctx, site, at) }); err != nil {
			return sootline.Entry{}, err
		}
	}
	there, err := a.addOnce(ctx, site, e)
	return there[0], err
}

// addOnce adds entries, all or none. Where the first one is there already they
// were handed in before, and what is there is given back.
func (a *App) addOnce(ctx context.Context, site sootline.ID, entries ...sootline.Entry) ([]sootline.Entry, error) {
	return entries, a.Book.Write(ctx, func(tx *store.Tx) error { return a.appendOnce(tx, site, entries) })
}

// Noted reports whether the form was handed in before.
func (a *App) Noted(ctx context.Context, site sootline.ID) (bool, error) {
	entries, err := a.Book.Entries(ctx, site)
	return slices.ContainsFunc(entries, func(e sootline.Entry) bool { return e.ID == a.Form }), err
}

func (a *App) appendOnce(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	for line, err := range tx.Lines(site) {
		if err != nil {
			return err
		}
		if line.Entry.ID != entries[0].ID {
			continue
		}
		same, err := saysTheSame(line.Entry, entries[0])
		if err != nil {
			return err
		}
		if !same {
			return sootline.Errorf(sootline.Conflict, "begin again with a fresh form", "this form was handed in before, and said something else")
		}
		entries[0] = line.Entry
		return nil
	}
	return a.appendAll(tx, site, entries)
}

// saysTheSame compares point and body of two entries, whenever they happened: a
// form that is handed in again without a time means another now.
func saysTheSame(a, b sootline.Entry) (bool, error) {
	a.At, a.Site = b.At, b.Site
	said, err := sootline.AppendSaid(nil, &a)
	if err != nil {
		return false, err
	}
	again, err := sootline.AppendSaid(nil, &b)
	return bytes.Equal(said, again), err
}

// Entry finds an entry of a site's log, as it was written.
func (a *App) Entry(ctx context.Context, site, entry sootline.ID) (sootline.Entry, error) {
	for line, err := range a.Book.Lines(ctx, site) {
		if err != nil {
			return sootline.Entry{}, err
		}
		if line.Entry.ID == entry {
			return line.Entry, nil
		}
	}
	return sootline.Entry{}, sootline.Errorf(sootline.NotFound, "`sootline log` shows the ids", "there is no entry %s in this site's log", entry)
}

// Export writes a site's log as JSON Lines.
func (a *App) Export(ctx context.Context, site sootline.ID, w io.Writer) (int, error) {
	buffer := bufio.NewWriterSize(w, 1<<16)
	n := 0
	for line, err := range a.Book.Lines(ctx, site) {
		if err != nil {
			return n, err
		}
		n++
		buffer.Write(line.Text) //nolint:errcheck // a bufio.Writer keeps its first error for Flush
		if err := buffer.WriteByte('\n'); err != nil {
			return n, cannotExport(err)
		}
	}
	if err := buffer.Flush(); err != nil {
		return n, cannotExport(err)
	}
	return n, nil
}

func cannotExport(err error) error {
	return sootline.Errorf(sootline.Unavailable, "its disk must have room, and its folder be writable", "%w", err)
}

// Verification is what following the chains of a site's log found.
type Verification struct {
	Lines    int
	Stations int
	Faults   []*sootline.Break // the first fault first
}

// Verify follows the chains of a site's log. Reading it compares each page with
// what the book says of it, so that a chain's end is looked at too.
func (a *App) Verify(ctx context.Context, site sootline.ID) (Verification, error) {
	var v Verification
	ledger := sootline.Ledger{}
	for line, err := range a.Book.Lines(ctx, site) {
		if err != nil {
			return v, err
		}
		v.Lines++
		if fault := ledger.Follow(line.Text, &line.Entry); fault != nil {
			v.Faults = append(v.Faults, fault)
		}
	}
	v.Stations = len(ledger)
	return v, nil
}
