package app

import (
	"fmt"
	"slices"
	"time"

	"sootline"
	"sootline/internal/count"
	"sootline/internal/live"
)

// inVisit reports whether a visit lasted when a line came.
func (l *Listening) inVisit(line *live.Line) bool {
	return slices.ContainsFunc(l.visits, func(v attended) bool {
		return !line.At.Before(v.from) && (v.to.IsZero() || !line.At.After(v.to))
	})
}

// attended is when somebody was there; a zero end: somebody still is.
type attended struct{ from, to time.Time }

// attendedIn lists when somebody was there. It holds nothing of the register, which would stay in memory for it.
func attendedIn(r *sootline.Register) (all []attended) {
	for _, v := range count.Visits(r) {
		if v.Opened != nil {
			all = append(all, attended{v.From(), v.To()})
		}
	}
	return all
}

// acts reports whether an event is an activation.
func acts(e live.Event) bool { return e == live.Alarm || e == live.Test }

// unlikeOf says what a line of an activation has otherwise than the register; empty: nothing.
func (l *Listening) unlikeOf(h *live.Happening) string {
	if h.Point < 0 {
		return ""
	}
	p := l.points[h.Point]
	zone, text := "", ""
	if h.Zone != 0 && h.Zone != p.Zone {
		zone = fmt.Sprintf("the panel says zone %d, the register has zone %d", h.Zone, p.Zone)
	}
	if l.reader.Unlike(*h) {
		text = fmt.Sprintf("the panel has the text %q, the register has %q", h.Text, p.Text)
	}
	return sootline.Joined(zone, text)
}

// nearBodies says at once, in an open visit, what an activation has otherwise than the register, whose line was not read for that.
// Another zone is no tick. Another text is one where number and zone agree, and the text is not rather another point's; the
// reader itself waits for the second line that says it.
func (l *Listening) nearBodies(line *live.Line) []sootline.Body {
	h := line.Near
	if h == nil || !acts(h.Event) || !l.inVisit(line) {
		return nil
	}
	unlike := l.unlikeOf(h)
	if unlike == "" {
		return nil
	}
	heard := "heard from " + l.source.Name + ": " + string(h.Event)
	if line.Why == live.OtherText && h.Zone != 0 && !l.rathersAnother(h) {
		return []sootline.Body{sootline.Tested{Text: sootline.Joined(heard, unlike)}, sootline.Note{Text: heard, Unlike: unlike}}
	}
	return []sootline.Body{sootline.Note{Text: sootline.Joined(heard, "not ticked off"), Unlike: unlike}}
}

// rathersAnother reports whether the text of a line is nearer to another point's than to its own: then its number may be wrong.
func (l *Listening) rathersAnother(h *live.Happening) bool {
	said := []rune(h.Text)
	own := slips(said, []rune(l.points[h.Point].Text))
	return slices.ContainsFunc(l.points, func(p live.Point) bool {
		off := slips(said, []rune(p.Text))
		return off < own && 2*off < len(said)
	})
}
