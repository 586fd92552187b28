package ducts

import (
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// writeFitted writes that a point is there. Of what was there before the log nobody knows since when.
func (s *site) writeFitted(p *point) {
	noted := s.weekOf(max(p.fitted, s.begins)).Add(time.Hour)
	at := noted
	if p.fitted < s.begins && s.begins > 2 {
		at = sootline.LongAgo
	}
	p.id = s.book.Point(noted)
	s.book.Write(levels.Line{At: at, Noted: noted, By: technician, Point: p.id, Body: sootline.Fitted{
		Place: sootline.Place{Panel: "1", Loop: p.loop, Order: p.number, Area: p.room.area}, Type: p.kind.sheet.Name,
	}})
	s.book.Write(levels.Line{At: noted, By: technician, Point: p.id, Body: sootline.Addressed{Wanted: p.number}})
}

// drawRescale draws a change of scale. One that is written down changes the band with it; of one that is
// not, the sheet keeps its band, and the values move a little against it.
func (s *site) drawRescale(k *kind) *rescale {
	first, last := s.visits[0].week, s.visits[len(s.visits)-1].week
	r := &rescale{on: first + (last-first)/4 + s.IntN(1+(last-first)/2), noted: s.chance(s.plan.reNoted)}
	if r.noted {
		r.times = pick(s.dice, []float64{0.4, 2, 4})
		return r
	}
	r.times = pick(s.dice, []float64{0.85, 0.9, 1.12, 1.2})
	middle := (k.low + k.high) / 2
	if r.times < 1 {
		middle = k.rest
	}
	r.plus = middle * (1 - r.times)
	if k.step == 1 {
		r.plus = quantised(r.plus, 1)
	}
	return r
}

// writeRescale writes the new sheet of a type on the day of its change.
func (s *site) writeRescale(k *kind) {
	r := k.rescale
	if r == nil || !r.noted {
		return
	}
	sheet := k.sheet
	sheet.Bands = []sootline.Band{{Low: new(k.low * r.times), High: new(k.high * r.times)}}
	for _, figure := range []**float64{&sheet.PooledSD, &sheet.FactoryRest} {
		if *figure != nil {
			*figure = new(**figure * r.times)
		}
	}
	at := s.weekOf(r.on)
	s.book.Write(levels.Line{At: at, By: technician, Body: sootline.Sheet{TypeSheet: sheet}})
	s.book.Write(levels.Line{At: at, By: technician, Body: sootline.Changed{Text: "new firmware: " + sheet.Name + " is shown on another scale"}})
}

// times is how much wider the scale of a type is after its change.
func (k *kind) times() float64 {
	if k.rescale == nil {
		return 1
	}
	return k.rescale.times
}

// scaled gives a value on the scale on which it is shown at a time.
func (s *site) scaled(k *kind, at time.Time, value float64) float64 {
	if r := k.rescale; r != nil && !at.Before(s.weekOf(r.on)) {
		return value*r.times + r.plus
	}
	return value
}

// unscaled gives a value that was shown at a time on the scale with which the log begins.
func (s *site) unscaled(k *kind, at time.Time, value float64) float64 {
	if r := k.rescale; r != nil && !at.Before(s.weekOf(r.on)) {
		return (value - r.plus) / r.times
	}
	return value
}
