package materials

import (
	"fmt"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// perLoop is how many points this world puts on a loop.
const perLoop = 120

// hidden is the share of the way that a compensated type hides.
const hidden = 0.75

// drawCourses fits the points, room by room, as somebody would run a cable.
func (s *site) drawCourses(n int) {
	usual := make([]*made, len(s.rooms))
	for i := range usual {
		usual[i] = s.devices[s.IntN(len(s.devices))]
	}
	for i := range n {
		at := i * len(s.rooms) / n
		p := &course{
			device: usual[at], room: s.rooms[at], fitted: s.fitted.Add(time.Duration(i) * time.Second),
			ref: sootline.Ref{Panel: "1", Loop: fmt.Sprint(1 + i/perLoop), Number: 1 + i%perLoop}, near: s.factor(0.5),
		}
		if s.hit(0.2) {
			p.device = s.devices[s.IntN(len(s.devices))]
		}
		if p.device.compensated {
			p.reserve = hidden
		}
		p.id = s.book.Point(p.fitted)
		p.spells = []spell{{from: p.fitted, head: s.head(p.device), dirt: newGrowth(s.chance, &s.plan, p.room)}}
		s.courses = append(s.courses, p)
		s.writeFitted(p)
	}
}

func (s *site) head(m *made) *head {
	s.serial++
	b, serial := &s.batches[s.IntN(len(s.batches))], fmt.Sprintf("S%06d", s.serial)
	if m.cell {
		return b.newCell(s.chance, serial)
	}
	return b.head(s.chance, serial, s.plan.ageing)
}

func (s *site) writeFitted(p *course) {
	h := p.spells[0].head
	s.book.Write(levels.Line{At: p.fitted, By: "Office", Point: p.id, Body: sootline.Fitted{
		Place: sootline.Place{Panel: p.ref.Panel, Loop: p.ref.Loop, Order: p.ref.Number, Area: p.room.name},
		Type:  p.device.name, Unit: sootline.Unit{Serial: h.serial, Batch: h.batch},
	}})
	s.book.Write(levels.Line{At: p.fitted, By: "Office", Point: p.id, Body: sootline.Addressed{Wanted: p.ref.Number, Found: p.ref.Number}})
}

// drawFailures says which heads fail, how and when, and what works and firmware befell each point.
func (s *site) drawFailures() {
	last := s.visits[len(s.visits)-1].day
	for _, p := range s.courses {
		if m := p.device; !m.changed.IsZero() {
			p.happened(levels.Rescaled, m.changed, s.plan.changed == changedAndTold)
		}
		for i := range p.room.works {
			if !p.device.cell {
				p.happened(levels.Works, p.room.works[i].from, false)
			}
		}
		switch {
		case s.hit(s.plan.frozen):
			s.freeze(p, s.whenFailed(p, last))
		case s.hit(s.plan.damp):
			p.unrest = s.whenFailed(p, last)
			p.happened(levels.Noisy, p.unrest, false)
		}
	}
}

// whenFailed is the day of fitting for four heads in ten, else any time up to the last visit.
func (s *site) whenFailed(p *course, last time.Time) time.Time {
	if s.hit(0.4) {
		return p.fitted
	}
	return p.fitted.Add(time.Duration(s.Float64() * float64(last.Sub(p.fitted)))).Truncate(time.Hour)
}

// freeze lets an output stick: at an end of the scale one time in six, somewhere about its rest where it never
// worked, else where it stands then, which is settled at the visit after.
func (s *site) freeze(p *course, from time.Time) {
	p.happened(levels.Stuck, from, false)
	scale := p.device.told
	p.freezes = from
	switch {
	case s.hit(1.0 / 6):
		p.frozen = &frozen{from, []float64{scale.floor, scale.full}[s.IntN(2)]}
	case from.Equal(p.fitted):
		p.frozen = &frozen{from, scale.round(scale.value(p.device.worse, s.between(-0.2, 0.8)))}
	}
}

// settle freezes an output where it stands once its time has come.
func (p *course) settle(at time.Time) {
	if p.frozen == nil && !p.freezes.IsZero() && !at.Before(p.freezes) {
		p.frozen = &frozen{p.freezes, p.device.told.round(p.level(p.freezes))}
	}
}
