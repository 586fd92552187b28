package materials

import (
	"slices"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// look is what a point shows to somebody who looks.
type look struct {
	point   *course
	at      time.Time
	samples []float64
}

// attend reads the points, one by one, and does what comes of it.
func (s *site) attend(v *visit) {
	var looks []look
	for i, p := range s.courses {
		if p.settle(v.at(i)); !s.hit(s.plan.skip) {
			looks = append(looks, look{p, v.at(i), s.look(v, p, v.at(i))})
		}
	}
	routine := make([]bool, len(s.rooms))
	for i := range routine {
		routine[i] = s.hit(s.plan.routine)
	}
	for i := range looks {
		s.writeRead(v, looks, i)
		l := &looks[i]
		shown := l.point.device.shown(l.at).share(l.point.device.worse, l.samples[0])
		switch {
		case !l.point.failed() && s.hit(s.plan.renewed):
			s.renew(l.point, l.at.Add(20*time.Second))
		case l.point.device.cell: // nothing to clean
		case routine[s.roomOf(l.point)] || shown > s.plan.above && s.hit(s.plan.obeyed):
			s.clean(v, l.point, l.at.Add(20*time.Second))
		}
	}
	if s.hit(s.plan.swap) {
		s.swap(v, looks)
	}
}

func (s *site) roomOf(p *course) int { return slices.Index(s.rooms, p.room) }

// look takes one to three samples of a point.
func (s *site) look(v *visit, p *course, at time.Time) []float64 {
	scale, worse := p.device.shown(at), p.device.worse
	if p.frozen != nil && !at.Before(p.frozen.from) {
		return []float64{scale.round(scale.value(worse, p.device.told.share(worse, p.frozen.value)))}
	}
	steady := scale.value(worse, p.share(at)+p.room.season(at)+v.offset)
	wet := v.wet[s.roomOf(p)]
	noise := scale.noise * s.plan.rough * (1 + 0.5*wet)
	if !p.unrest.IsZero() && !at.Before(p.unrest) && wet > 0.35 {
		noise *= 2 + 10*wet
	}
	samples := make([]float64, 1+2*s.IntN(2))
	for i := range samples {
		samples[i] = scale.round(steady + s.rough(noise))
	}
	return samples
}

// writeRead writes a reading as somebody's pen does.
func (s *site) writeRead(v *visit, looks []look, i int) {
	l := &looks[i]
	samples, kind := s.written(looks, i)
	if l.point.misread = kind != ""; l.point.misread {
		l.point.happened(kind, l.at, false)
	} else if v.offset != 0 && (l.point.frozen == nil || l.at.Before(l.point.frozen.from)) {
		l.point.happened(levels.InstrumentOffset, v.day, false)
	}
	s.read(l.point, l.at, samples)
}

func (s *site) read(p *course, at time.Time, samples []float64) {
	p.reads = append(p.reads, at)
	s.book.Write(levels.Line{At: at, By: "Technician", Point: p.id, Body: sootline.Read{Samples: samples}})
}

// written gives what is written of a look, and what went wrong.
func (s *site) written(looks []look, i int) (samples []float64, kind string) {
	l := &looks[i]
	switch {
	case s.hit(s.plan.slip):
		if wrong := slip(s.chance, l.samples[0], l.point.device.shown(l.at)); wrong != l.samples[0] {
			return []float64{wrong}, levels.Slip
		}
	case s.hit(s.plan.neighbour) && i+1 < len(looks):
		if next := &looks[i+1]; next.samples[0] != l.samples[0] {
			return next.samples, levels.Neighbour
		}
	}
	return l.samples, ""
}

// clean cleans a point, well or badly, and writes it down, or not, or on another day.
func (s *site) clean(v *visit, p *course, at time.Time) {
	kind, keep := levels.Cleaned, s.between(0, 0.06)
	if s.hit(s.plan.half) {
		kind, keep = levels.HalfCleaned, s.between(0.35, 0.75)
	}
	p.clean(at, keep)
	line := levels.Line{At: at, By: "Technician", Point: p.id, Body: sootline.Cleaned{}}
	switch {
	case s.hit(s.plan.forgotten):
		p.happened(kind, at, false)
	case s.hit(s.plan.late):
		p.happened(kind, at, false)
		day := at.AddDate(0, 0, s.count(9, 80)).Truncate(24 * time.Hour)
		line.At, line.Day, line.Noted = day.Add(12*time.Hour), true, day.Add(17*time.Hour)
		if line.Noted.Before(s.now) {
			s.book.Write(line)
		}
	default:
		p.happened(kind, at, kind == levels.Cleaned)
		s.book.Write(line)
		s.readAgain(v, p, at.Add(30*time.Second))
	}
}

// readAgain reads after a cleaning, as half of the technicians do.
func (s *site) readAgain(v *visit, p *course, at time.Time) {
	if s.hit(0.5) {
		p.misread = false
		s.read(p, at, s.look(v, p, at))
		if v.offset != 0 && p.frozen == nil {
			p.happened(levels.InstrumentOffset, v.day, false)
		}
	}
}

// renew fits a new head, and writes it down.
func (s *site) renew(p *course, at time.Time) {
	h := s.head(p.device)
	p.fit(at, h, 0, 0)
	p.happened(levels.Swapped, at, true)
	s.book.Write(levels.Line{At: at, By: "Technician", Point: p.id, Body: sootline.Replaced{Unit: sootline.Unit{Serial: h.serial, Batch: h.batch}}})
}

// swap puts two heads of a type that had both been taken down on each other's bases. Nobody notices.
func (s *site) swap(v *visit, looks []look) {
	at := v.at(len(s.courses)).Add(time.Hour)
	for range 30 { // two that can be exchanged are found at once, or hardly exist
		a, b := looks[s.IntN(len(looks))].point, looks[s.IntN(len(looks))].point
		if a == b || a.device != b.device || a.failed() || b.failed() {
			continue
		}
		headA, ageA, dirtA := a.last().head, a.age(at), a.dirt(at)
		a.fit(at, b.last().head, b.age(at), b.dirt(at))
		b.fit(at, headA, ageA, dirtA)
		a.happened(levels.Swapped, at, false)
		b.happened(levels.Swapped, at, false)
		return
	}
}

func (p *course) failed() bool { return !p.freezes.IsZero() || !p.unrest.IsZero() }
