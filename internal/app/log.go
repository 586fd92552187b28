package app

import (
	"bytes"
	"context"
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
	Take     string    // the name or the id of a take: what it wrote, and its line
	Folded   bool      // without what takes wrote, of each of which one line tells
}

// ReadLog gives the entries of a site that the filter lets through, in order.
func (a *App) ReadLog(ctx context.Context, site sootline.ID, filter LogFilter) (*sootline.Register, []LogLine, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, nil, err
	}
	r := log.Fold(Always)
	found, err := filter.of(log, r)
	if err != nil {
		return nil, nil, err
	}
	if filter.Last > 0 && len(found) > filter.Last {
		found = found[len(found)-filter.Last:]
	}
	lines := make([]LogLine, len(found))
	for i, e := range found {
		lines[i] = logLineOf(log, r, e)
	}
	return r, lines, nil
}

// of gives the entries of a log that the filter lets through, in order.
func (f LogFilter) of(log *sootline.Log, r *sootline.Register) ([]*sootline.Entry, error) {
	if err := f.known(); err != nil {
		return nil, err
	}
	about, err := f.points(r)
	if err != nil {
		return nil, err
	}
	leftOut, err := f.folds(log)
	if err != nil {
		return nil, err
	}
	var found []*sootline.Entry
	for _, e := range log.Entries() {
		if f.lets(e, about) && !leftOut(e) {
			found = append(found, e)
		}
	}
	return found, nil
}

func logLineOf(log *sootline.Log, r *sootline.Register, e *sootline.Entry) LogLine {
	line := LogLine{Entry: *e, Amended: log.Amendment(e.ID)}
	if p := r.Point(e.Point); p != nil {
		line.Ref = p.Ref().String()
	}
	return line
}

// Log gives the entries that the filter lets through, the latest first, without
// reading the book again.
func (s *Survey) Log(filter LogFilter) ([]*sootline.Entry, error) {
	found, err := filter.of(s.log, s.Register)
	slices.Reverse(found)
	return found, err
}

// LogLength is how many entries the log has.
func (s *Survey) LogLength() int { return len(s.log.Entries()) }

// LogLine gives an entry of [Survey.Log] with what amends it.
func (s *Survey) LogLine(e *sootline.Entry) LogLine { return logLineOf(s.log, s.Register, e) }

// LogEntry finds an entry by its id.
func (s *Survey) LogEntry(id sootline.ID) (LogLine, error) {
	for _, e := range s.log.Entries() {
		if e.ID == id {
			return s.LogLine(e), nil
		}
	}
	return LogLine{}, noEntry(id)
}

// known refuses a kind that there is not: that no entry is of it says nothing of the log.
func (f LogFilter) known() error {
	for _, kind := range f.Kinds {
		if _, ok := sootline.KindNamed(kind); ok {
			continue
		}
		var names []string
		for _, k := range sootline.Kinds() {
			names = append(names, string(k.Kind))
		}
		bad := sootline.Errorf(sootline.Invalid, "", "kind %q is not known", kind)
		if near := Nearest(string(kind), names); len(near) > 0 {
			bad.Ways = sootline.Out("did you mean " + strings.Join(near, ", "))
		}
		slices.Sort(names)
		return bad.Or("the kinds are " + strings.Join(names, ", "))
	}
	return nil
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

// Note is an entry to be added by hand.
type Note struct {
	ID    sootline.ID // zero: a new one; else handing it in twice adds it once
	At    time.Time   // zero: now
	Day   bool        // only the day is known
	Point string      // a reference, or empty
	By    string      // empty: whoever is at work
	Body  sootline.Body
	Sure  bool // whoever writes is certain of what may be a slip
}

func (n *Note) kind() sootline.Kind {
	if n.Body == nil {
		return "" // refused where entries are checked
	}
	return n.Body.Kind()
}

// AddEntry adds an entry made by hand.
func (a *App) AddEntry(ctx context.Context, site sootline.ID, n Note) (sootline.Entry, error) {
	at := a.dated(n.At, n.Day)
	if err := a.happened(at); err != nil {
		return sootline.Entry{}, err
	}
	if n.Sure {
		n.Body = certain(n.Body)
	}
	e := a.entry(site, at, sootline.ID{}, n.Body)
	e.Day = n.Day
	if n.By != "" {
		e.By = n.By
	}
	if !n.ID.Zero() {
		e.ID = n.ID
	}
	if err := byHand(n.Body); err != nil {
		return sootline.Entry{}, err
	}
	entries := []sootline.Entry{e}
	err := a.writeTo(ctx, site, func(tx *store.Tx) (err error) {
		if entries[0].Point, err = a.pointIn(tx, site, n); err != nil {
			return err
		}
		if err := a.inSight(tx, site, &entries[0]); err != nil {
			return err
		}
		if err := entries[0].CheckNew(); err != nil {
			return err
		}
		if there, err := isNoted(tx, site, n.ID); err != nil || !there {
			if err == nil {
				err = a.refuseIn(tx, site, &entries[0])
			}
			if err == nil && !n.Sure {
				err = a.doubtIn(tx, site, &entries[0])
			}
			if err != nil {
				return err
			}
		}
		return a.appendOnce(tx, site, entries)
	})
	return entries[0], err
}

// happened refuses what has not happened: by more than a day, so that no time zone
// explains it.
func (a *App) happened(at time.Time) error {
	if at.After(a.Now().Add(24 * time.Hour)) {
		return sootline.Errorf(sootline.Invalid, "a log book holds what happened", "%s is in the future", at.Format(time.DateOnly))
	}
	return nil
}

// inSight says of an amendment in sight of which others it is written.
func (a *App) inSight(tx *store.Tx, site sootline.ID, e *sootline.Entry) error {
	target := sootline.Amends(e.Body)
	if target.Zero() {
		return nil
	}
	_, seen, err := a.lineIn(tx, site, target)
	e.Body = sootline.InSightOf(e.Body, seen)
	return err
}

// byHand refuses an entry that a use case alone writes: it asks what no form of the
// entry's fields would.
func byHand(body sootline.Body) error {
	if body == nil {
		return nil // refused where entries are checked
	}
	kind, _ := sootline.KindNamed(body.Kind())
	if kind.ByUse == "" {
		return nil
	}
	if kind.ByUse == sootline.StateLoads {
		return sootline.Errorf(sootline.Invalid, "write it down whole", "a load list is not added as an entry: the one that is kept is changed").Do(kind.ByUse)
	}
	if kind.ByUse != sootline.OpenVisit {
		return sootline.Errorf(sootline.Invalid, "do it at the bench", "an entry of kind %s is not added by itself: it is written with all that belongs to it", kind.Kind).Do(kind.ByUse)
	}
	return sootline.Errorf(sootline.Invalid, "begin one, with what is confirmed before it", "a %s is not added as an entry: it begins and ends with all that belongs to it", kind.Kind).
		Do(kind.ByUse).Or("or end the one that is open").Do(sootline.CloseVisit)
}

// pointIn finds the point that an entry names, as a transaction sees it; no name, no point.
func (a *App) pointIn(tx *store.Tx, site sootline.ID, n Note) (sootline.ID, error) {
	if n.Point == "" {
		return sootline.ID{}, nil
	}
	places, err := a.placesIn(tx, site)
	if err != nil {
		return sootline.ID{}, err
	}
	p, err := pointFor(places.FoldPlaces(Always), n.Point, n.kind())
	if err != nil {
		return sootline.ID{}, err
	}
	return p.ID, nil
}

// dated gives the instant of an entry made by hand: now, where none is given. A day
// without a time stands for its noon, or, before noon on the day itself, for now, so
// that what was done this morning does not wait for noon.
func (a *App) dated(at time.Time, day bool) time.Time {
	now := a.Now()
	if at.IsZero() || day && at.After(now) && at.Sub(now) < 11*time.Hour {
		return now
	}
	return at
}

// Noted reports whether the form was handed in before.
func (a *App) Noted(ctx context.Context, site sootline.ID) (bool, error) {
	if err := a.Who.MaySee(site); err != nil {
		return false, err
	}
	held, err := a.Book.Has(ctx, site, a.Form)
	return held[a.Form], err
}

func (a *App) appendOnce(tx *store.Tx, site sootline.ID, entries []sootline.Entry) error {
	there, err := tx.Find(site, entries[0].ID)
	if err != nil {
		return err
	}
	if len(there) == 0 {
		return a.appendAll(tx, site, entries)
	}
	same, err := saysTheSame(there[0], entries[0])
	if err != nil {
		return err
	}
	if !same {
		return sootline.Errorf(sootline.Conflict, "begin again with a fresh form", "this form was handed in before, and said something else")
	}
	entries[0] = there[0]
	return nil
}

// saysTheSame compares point and body of two entries, whenever they happened and
// whatever their writers saw: a form that is handed in again without a time means
// another now.
func saysTheSame(a, b sootline.Entry) (bool, error) {
	a.At, a.Site = b.At, b.Site
	a.Body, b.Body = sootline.InSightOf(a.Body, nil), sootline.InSightOf(b.Body, nil)
	said, err := sootline.AppendSaid(nil, &a)
	if err != nil {
		return false, err
	}
	again, err := sootline.AppendSaid(nil, &b)
	return bytes.Equal(said, again), err
}

// Entry finds an entry of a site's log, as it was written.
func (a *App) Entry(ctx context.Context, site, entry sootline.ID) (sootline.Entry, error) {
	if err := a.Who.MaySee(site); err != nil {
		return sootline.Entry{}, err
	}
	found, err := a.Book.Find(ctx, site, entry)
	if err != nil {
		return sootline.Entry{}, err
	}
	if len(found) == 0 {
		return sootline.Entry{}, noEntry(entry)
	}
	return found[0], nil
}
