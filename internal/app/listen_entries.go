package app

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/live"
	"sootline/internal/store"
)

// faultAgain is after how long a fault that comes again is told again, with how often it came.
const faultAgain = 24 * time.Hour

// entriesOf gives what a line adds to the log. Their ids follow from the source, the place of the line in what was heard and when
// it came, however and with whatever time it is read: read twice, it is written once.
func (l *Listening) entriesOf(line *live.Line) (entries []sootline.Entry) {
	at := sootline.Instant(line.At)
	h, bodies := line.Near, []sootline.Body(nil)
	if line.Read != nil {
		h, bodies = line.Read, l.bodiesOf(line)
	} else {
		bodies = l.nearBodies(line)
	}
	var point sootline.ID
	if h != nil && h.Point >= 0 {
		point = l.ids[h.Point]
	}
	for i, body := range bodies {
		e := l.app.entry(l.site.ID, at, point, body)
		e.ID = sootline.DerivedID(sootline.Instant(line.Came), []byte(l.site.ID.String()+"\x00"+l.source.Name+"\x00"+strconv.FormatInt(line.From, 10)+"\x00"+strconv.Itoa(i)))
		entries = append(entries, e)
	}
	return entries
}

// bodiesOf says what a line tells. In an open visit an activation is a test. A reset and a silence add nothing: they are kept as
// they were heard, and counted.
func (l *Listening) bodiesOf(line *live.Line) []sootline.Body {
	h := line.Read
	text := l.wordsOf(line)
	switch h.Event {
	case live.Alarm:
		return l.withUnlike(line, l.alarmOf(line, text))
	case live.Test:
		if h.Point >= 0 {
			return l.withUnlike(line, sootline.Tested{Text: text})
		}
		return []sootline.Body{sootline.Note{Text: text}}
	case live.Fault:
		return l.faultOf(line, text)
	case live.Disabled:
		return []sootline.Body{sootline.Disabled{Text: text}}
	case live.Enabled:
		return []sootline.Body{sootline.Restored{Text: text}}
	case live.PreAlarm, live.Cleared:
		return []sootline.Body{sootline.Note{Text: text}}
	}
	return nil
}

func (l *Listening) alarmOf(line *live.Line, text string) sootline.Body {
	inVisit := l.inVisit(line)
	switch {
	case inVisit && line.Read.Point >= 0:
		return sootline.Tested{Text: text}
	case inVisit:
		return sootline.Alarm{Category: sootline.TestAlarm, Text: text}
	}
	return sootline.Alarm{Text: text}
}

// withUnlike adds, in a visit, what an activation has otherwise than the register: it is said at once to whoever is there.
func (l *Listening) withUnlike(line *live.Line, body sootline.Body) []sootline.Body {
	unlike := l.unlikeOf(line.Read)
	if unlike == "" || !l.inVisit(line) {
		return []sootline.Body{body}
	}
	return []sootline.Body{body, sootline.Note{Text: "heard from " + l.source.Name + ": " + string(line.Read.Event), Unlike: unlike}}
}

// wordsOf says where a line comes from, and what it says that the entry does not.
func (l *Listening) wordsOf(line *live.Line) string {
	h := line.Read
	zone := ""
	if h.Zone != 0 && h.Point < 0 {
		zone = fmt.Sprintf("zone %d", h.Zone)
	}
	text := h.Text
	if h.Point >= 0 {
		text = l.unlikeOf(h)
	}
	return sootline.Joined("heard from "+l.source.Name+": "+string(h.Event), zone, text)
}

// faultOf tells a fault once a day; one that comes again in between is counted, and told with its count.
func (l *Listening) faultOf(line *live.Line, text string) []sootline.Body {
	h := line.Read
	key := h.Loop + "/" + strconv.Itoa(h.Number) + "/" + strconv.Itoa(h.Zone) + "/" + h.Text
	had, ok := l.faults[key]
	if ok && line.At.Sub(had.told) < faultAgain {
		had.since++
		l.faults[key] = had
		return nil
	}
	l.faults[key] = recurring{told: line.At}
	bodies := []sootline.Body{sootline.Fault{Text: text}}
	if had.since > 0 {
		count := fmt.Sprintf("this fault came %d times more between %s and now", had.since, had.told.In(l.zone).Format("2006-01-02 15:04"))
		bodies = append(bodies, sootline.Note{Text: sootline.Joined("heard from "+l.source.Name, count)})
	}
	return bodies
}

// addOnce adds entries that are not there yet, and says which it added.
func (a *App) addOnce(ctx context.Context, site sootline.ID, entries []sootline.Entry) (map[sootline.ID]bool, error) {
	added := map[sootline.ID]bool{}
	if len(entries) == 0 {
		return added, nil
	}
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		clear(added)
		ids := make([]sootline.ID, len(entries))
		for i := range entries {
			ids[i] = entries[i].ID
		}
		there, err := tx.Has(site, ids...)
		if err != nil {
			return err
		}
		var fresh []sootline.Entry
		for _, e := range entries {
			if !there[e.ID] && !added[e.ID] {
				fresh = append(fresh, e)
				added[e.ID] = true
			}
		}
		if len(fresh) == 0 {
			return nil
		}
		return a.appendAll(tx, site, fresh)
	})
	return added, err
}
