package app

import (
	"cmp"

	"sootline"
	"sootline/internal/listing"
)

// verdict is what became of an entry that a row asked for.
type verdict int

const (
	added    verdict = iota
	same             // the book says so already
	repeated         // another row of this intake says so too
)

// impossible is what a row says that no log book could hold.
type impossible struct{ error }

// entry makes an entry of what a row says. Its ID follows from that, so that the
// same listing taken twice gives the same entries.
func (t *taker) entry(at sootline.Moment, point sootline.ID, by string, body sootline.Body) (sootline.Entry, error) {
	e := sootline.Entry{
		Site: t.site, At: sootline.Instant(at.At), Day: at.Day, Noted: t.now, By: cmp.Or(by, t.app.Who.Name),
		Station: t.app.station(), Point: point, Body: body,
	}
	var err error
	if t.scratch, err = sootline.AppendSaid(t.scratch[:0], &e); err != nil {
		return e, &impossible{err}
	}
	e.ID = sootline.DerivedID(e.At, t.scratch)
	if err := e.Check(); err != nil {
		return e, &impossible{err}
	}
	return e, nil
}

// say adds entries that stand or fall together, but for those that are known
// already.
func (t *taker) say(o *TableOutcome, entries ...sootline.Entry) (verdict, error) {
	outcome := repeated
	for _, e := range entries {
		v := t.seen.look(o, &e)
		if v == same {
			again, err := t.revive(o, &e)
			if err != nil {
				return outcome, err
			}
			outcome = min(outcome, again)
			continue
		}
		outcome = min(outcome, v)
		if v != added {
			continue
		}
		if err := t.emit(e); err != nil {
			return outcome, err
		}
		o.Added[e.Body.Kind()]++
		t.added++
		if k := o.Table.Kind; k == listing.KindTypes || k == listing.KindSchedule {
			t.said = append(t.said, e) // what follows looks these up
		}
	}
	return outcome, nil
}
