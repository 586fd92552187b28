package app

import (
	"bytes"
	"context"
	"reflect"
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
// is there already is not added again.
func (a *App) HandIn(ctx context.Context, site sootline.ID, captures []Capture) (HandedIn, error) {
	var handed HandedIn
	phone := *a
	phone.Who.Phone, phone.Who.HandsIn = true, true
	return handed, a.writeTo(ctx, site, func(tx *store.Tx) error {
		log, err := heldOf(tx, site, captures)
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

// logOf is what a log holds that captures are held against.
type logOf struct {
	entries map[sootline.ID]*sootline.Entry // those of the captures' ids
	points  map[sootline.ID]bool            // with the zero one, for what is about the site
}

func heldOf(tx *store.Tx, site sootline.ID, captures []Capture) (logOf, error) {
	log := logOf{map[sootline.ID]*sootline.Entry{}, map[sootline.ID]bool{{}: true}}
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
	for line, err := range tx.LinesOfKinds(site, sootline.FittedKind) {
		if err != nil {
			return log, err
		}
		log.points[line.Entry.Point] = true
	}
	return log, nil
}

// fresh makes entries of the captures that a log does not hold yet.
func (a *App) fresh(site sootline.ID, log logOf, captures []Capture, may func(fresh []sootline.Entry, e *sootline.Entry) error) (fresh []sootline.Entry, handed HandedIn) {
	for _, c := range captures {
		e := a.captured(site, c)
		there := log.entries[c.ID]
		switch err := e.CheckNew(); {
		case err != nil:
			handed.refuse(c.ID, err.Error())
		case !log.points[c.Point]:
			handed.refuse(c.ID, "this site has no such point")
		case there == nil:
			if err := may(fresh, &e); err != nil {
				handed.refuse(c.ID, err.Error())
				continue
			}
			fresh = append(fresh, e)
			log.entries[c.ID] = &e
			handed.Kept = append(handed.Kept, c.ID)
		case there.Point != c.Point || !reflect.DeepEqual(there.Body, c.Body):
			handed.refuse(c.ID, "the log holds an entry of this id that says something else")
		default:
			handed.Kept = append(handed.Kept, c.ID)
		}
	}
	return fresh, handed
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

// MostPhoto is the most bytes that a photo may have; a phone shrinks it before.
const MostPhoto = 1 << 20

// KeepPhoto keeps a picture once, under the hash by which entries name it.
func (a *App) KeepPhoto(ctx context.Context, content []byte) (hash string, err error) {
	captures := a.Who
	captures.HandsIn = true // a photo is part of what is captured
	if err := captures.MayDo(sootline.Technician); err != nil {
		return "", err
	}
	switch {
	case len(content) > MostPhoto:
		return "", sootline.Errorf(sootline.Invalid, "make it smaller", "a photo has at most %d kB", MostPhoto>>10)
	case !bytes.HasPrefix(content, []byte("\xff\xd8\xff")): // how every JPEG begins (ITU-T T.81, B.1.1.3)
		return "", sootline.Errorf(sootline.Invalid, "the capture page makes one of any picture", "a photo is kept as JPEG")
	}
	err = a.Book.Write(ctx, func(tx *store.Tx) error {
		hash, err = tx.PutPhoto(content)
		return err
	})
	return hash, err
}

// Photo gives the picture of a hash. To whoever is bound to sites, it is there where an
// entry of one of them names it.
func (a *App) Photo(ctx context.Context, hash string) ([]byte, error) {
	seen, err := a.seesPhoto(ctx, hash)
	if err != nil {
		return nil, err
	}
	var content []byte
	if seen {
		content, err = a.Book.Photo(ctx, hash)
	}
	if err == nil && content == nil {
		err = sootline.Errorf(sootline.NotFound, "it may still be on the phone that took it", "the book does not hold this photo")
	}
	return content, err
}

func (a *App) seesPhoto(ctx context.Context, hash string) (bool, error) {
	if !a.Who.Scope.Bound() {
		return true, nil
	}
	sites, err := a.Sites(ctx)
	for _, site := range sites {
		log, err := a.LogOf(ctx, site.ID)
		if err != nil {
			return false, err
		}
		for _, e := range log.Entries() {
			body := e.Body
			if c, ok := body.(sootline.Corrected); ok {
				body = c.Body
			}
			if sootline.PhotoOf(body) == hash {
				return true, nil
			}
		}
	}
	return false, err
}
