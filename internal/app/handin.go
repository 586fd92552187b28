package app

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"time"

	"sootline"
	"sootline/internal/store"
)

// Capture is an entry as a phone made it, with an id of its own making.
type Capture struct {
	ID    sootline.ID
	At    time.Time
	Point sootline.ID
	Body  sootline.Body
}

// HandedIn says what became of captures: each is either kept, now or before, or
// refused for a reason.
type HandedIn struct {
	Kept    []sootline.ID
	Refused []Refused
}

// Refused is a capture that the log does not take.
type Refused struct {
	ID  sootline.ID
	Why string
}

// aheadOfTime is how far a phone's time may be ahead of this machine's before the
// time of handing in takes its place.
const aheadOfTime = time.Minute

// HandIn adds what a phone captured, in any order and as often as it likes: what
// is there already is not added again, and refused where it has another time now.
func (a *App) HandIn(ctx context.Context, site sootline.ID, captures []Capture) (HandedIn, error) {
	var handed HandedIn
	phone := *a
	phone.Who.Phone, phone.Who.HandsIn = true, true
	return handed, a.writeTo(ctx, site, func(tx *store.Tx) error {
		if err := a.onPhone(tx.People, tx.Phones); err != nil {
			return err
		}
		log, err := a.heldOf(tx, site, captures)
		if err != nil {
			return err
		}
		var fresh []sootline.Entry
		fresh, handed = phone.fresh(site, log, captures, func(fresh []sootline.Entry, e *sootline.Entry) error {
			return phone.mayAppend(tx, site, fresh, e)
		})
		if len(fresh) == 0 {
			return nil
		}
		return phone.append(tx, site, fresh)
	})
}

// onPhone refuses captures from what is no phone of the book. While the book knows
// nobody, whoever works at the machine captures on it too.
func (a *App) onPhone(people func() ([]store.Person, error), phones func() ([]store.Phone, error)) error {
	known, err := people()
	if err != nil || len(known) == 0 {
		return err
	}
	all, err := phones()
	if err != nil || slices.ContainsFunc(all, func(p store.Phone) bool { return p.Station == a.Who.Station && p.Purpose == string(ForPhone) }) {
		return err
	}
	return sootline.Errorf(sootline.Forbidden, "make this device a phone of the book, under Phones; what was captured stays on it meanwhile",
		"only a phone of the book captures")
}

// MayCapture reports why what is captured here would not be taken, before anybody
// walks about with it.
func (a *App) MayCapture(ctx context.Context) error {
	return a.onPhone(
		func() ([]store.Person, error) { return a.Book.People(ctx) },
		func() ([]store.Phone, error) { return a.Book.Phones(ctx) },
	)
}

// logOf is what a log holds that captures are held against.
type logOf struct {
	entries map[sootline.ID]*sootline.Entry // those of the captures' ids
	points  map[sootline.ID]bool            // with the zero one, for what is about the site
	began   time.Time                       // a day before the site was opened
}

func (a *App) heldOf(tx *store.Tx, site sootline.ID, captures []Capture) (logOf, error) {
	log := logOf{map[sootline.ID]*sootline.Entry{}, map[sootline.ID]bool{{}: true}, a.Now()}
	ids := make([]sootline.ID, len(captures))
	for i, c := range captures {
		ids[i] = c.ID
	}
	found, err := tx.Find(site, ids...)
	if err != nil {
		return log, err
	}
	for i := range found {
		log.entries[found[i].ID] = &found[i]
	}
	for line, err := range tx.LinesOfKinds(site, sootline.FittedKind, sootline.OpenedKind) {
		if err != nil {
			return log, err
		}
		if line.Entry.Body.Kind() == sootline.FittedKind {
			log.points[line.Entry.Point] = true
		} else if line.Entry.Noted.Before(log.began) {
			log.began = line.Entry.Noted
		}
	}
	log.began = log.began.AddDate(0, 0, -1)
	return log, nil
}

// fresh makes entries of the captures that a log does not hold yet.
func (a *App) fresh(site sootline.ID, log logOf, captures []Capture, may func(fresh []sootline.Entry, e *sootline.Entry) error) (fresh []sootline.Entry, handed HandedIn) {
	for _, c := range pointsFirst(captures) {
		e := a.captured(site, c)
		there := log.entries[c.ID]
		makes := c.Body != nil && c.Body.Kind() == sootline.FittedKind
		switch err := e.CheckNew(); {
		case err != nil:
			handed.refuse(c.ID, err.Error())
		case e.At.Before(log.began):
			handed.refuse(c.ID, fmt.Sprintf("it is dated %s, and this site has been in the book since %s: the phone's clock was wrong; write it on the site's pages, with its day",
				e.At.Format(time.DateOnly), log.began.AddDate(0, 0, 1).Format(time.DateOnly)))
		case makes && there == nil && log.points[c.Point]:
			handed.refuse(c.ID, "this point is there already; what is to be said of it otherwise is said on the site's pages")
		case !makes && !log.points[c.Point]:
			handed.refuse(c.ID, "this site has no such point")
		case there == nil:
			if err := may(fresh, &e); err != nil {
				handed.refuse(c.ID, err.Error())
				continue
			}
			fresh = append(fresh, e)
			log.entries[c.ID], log.points[c.Point] = &e, true
			handed.Kept = append(handed.Kept, c.ID)
		case there.Point != c.Point || !reflect.DeepEqual(there.Body, c.Body):
			handed.refuse(c.ID, "the log holds an entry of this id that says something else")
		case !e.At.Equal(there.At) && !wasCapped(c, there):
			handed.refuse(c.ID, fmt.Sprintf("the log holds it with another time, %s, not %s; what is wrong there is put right on the site's pages",
				there.At.UTC().Format(millis), c.At.UTC().Format(millis)))
		default:
			handed.Kept = append(handed.Kept, c.ID)
		}
	}
	return fresh, handed
}

// pointsFirst puts captures that make a point before those that speak of it.
func pointsFirst(captures []Capture) []Capture {
	makes := func(c Capture) bool { return c.Body != nil && c.Body.Kind() == sootline.FittedKind }
	sorted := slices.Clone(captures)
	slices.SortStableFunc(sorted, func(a, b Capture) int {
		switch {
		case makes(a) == makes(b):
			return 0
		case makes(a):
			return -1
		}
		return 1
	})
	return sorted
}

// millis writes an instant as the log keeps it.
const millis = "2006-01-02T15:04:05.000Z"

// wasCapped reports whether the time of handing in took the place of the capture's own:
// that one lies ahead of it by more than a phone's time may. The log does not say so
// itself. An id that our page made holds the time of capture (RFC 9562, 5.7); where it
// is the log's, nothing was capped.
func wasCapped(c Capture, there *sootline.Entry) bool {
	return sootline.Instant(c.At).After(there.At.Add(aheadOfTime)) && !madeAt(c.ID).Equal(there.At)
}

// madeAt is the time in an id: its first 48 bits, in milliseconds since 1970.
func madeAt(id sootline.ID) time.Time {
	var ms int64
	for _, b := range id[:6] {
		ms = ms<<8 | int64(b)
	}
	return time.UnixMilli(ms)
}

func (h *HandedIn) refuse(id sootline.ID, why string) {
	h.Refused = append(h.Refused, Refused{id, why})
}

// captured makes the entry of a capture. It was noted when it was captured, not
// when it arrived: which of two amendments is the later must not depend on which
// phone was first to find a network.
func (a *App) captured(site sootline.ID, c Capture) sootline.Entry {
	at := sootline.Instant(c.At)
	if now := sootline.Instant(a.Now()); at.After(now.Add(aheadOfTime)) {
		at = now
	}
	return sootline.Entry{ID: c.ID, Site: site, At: at, Noted: at, By: a.Who.Name, Station: a.station(), Point: c.Point, Body: c.Body}
}

// capturable reports whether a phone makes entries of this kind.
func capturable(body sootline.Body) bool {
	kind, _ := sootline.KindNamed(body.Kind())
	return kind.Phone
}
