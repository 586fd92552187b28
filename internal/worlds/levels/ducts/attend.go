package ducts

import (
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

const technician = "A. Weaver"

// aDay is how many points are seen in a day.
const aDay = 400

// attend makes a visit: every point that is there is read, and what looks dirty is seen to.
func (s *site) attend(v *visit) {
	opens := s.weekOf(v.week).Add(8 * time.Hour)
	s.book.Write(levels.Line{At: opens, By: technician, Body: sootline.Visit{State: sootline.VisitOpened}})
	if v.noted {
		s.book.Write(levels.Line{At: opens.Add(time.Minute), By: technician, Body: sootline.Note{Text: "read with another instrument than last time"}})
	}
	for i, p := range s.points {
		at := opens.Add(time.Duration(i/aDay)*24*time.Hour + time.Duration(30+i%aDay)*time.Minute)
		if p.fitted >= v.week || s.chance(s.plan.unread) {
			continue
		}
		s.seeTo(v, i, at)
	}
	closes := opens.Add(time.Duration((len(s.points)-1)/aDay)*24*time.Hour + 9*time.Hour)
	s.book.Write(levels.Line{At: closes, By: technician, Body: sootline.Visit{State: sootline.VisitClosed, Left: sootline.LeftNormal}})
}

// seeTo reads a point and does what its value asks for. At the last visit nothing is done yet: that is what
// the site is judged for.
func (s *site) seeTo(v *visit, i int, at time.Time) {
	p := s.points[i]
	if v.instrument {
		p.happened(levels.InstrumentOffset, s.weekOf(v.week).Add(8*time.Hour), v.noted) // one day for all, though it took several
	}
	value := s.read(v, i, at)
	if v.last {
		return
	}
	share := (value - p.kind.rest) / p.kind.room()
	if !p.kind.up {
		share = -share
	}
	done := at.Add(20 * time.Minute)
	switch {
	case p.kind.ages > 0 && share > 0.85 && s.chance(0.8), (p.stuck || p.noisy) && s.chance(0.15), s.chance(s.plan.swaps * float64(s.months) / 12):
		s.swap(p, done)
	case p.kind.ages > 0:
		return
	case share > 1 && s.chance(0.9), share > 0.65 && s.chance(0.7), s.chance(s.plan.routine):
		s.cleanAt(p, done)
	default:
		return
	}
	if s.chance(0.5) {
		s.read(v, i, done.Add(10*time.Minute))
	}
}

// swap puts another unit in place.
func (s *site) swap(p *point, at time.Time) {
	p.rest = s.normal(p.kind.rest, p.kind.restSD)
	exposure := p.chamber.exposure
	p.chamber = newChamber(s.dice, s.plan)
	p.chamber.exposure = exposure // it hangs where the other hung
	p.stuck, p.noisy, p.ran = false, false, false
	noted := s.chance(s.plan.swapNoted)
	p.happened(levels.Swapped, at, noted)
	s.mark(p, at)
	if noted {
		s.book.Write(levels.Line{At: at, By: technician, Point: p.id, Body: sootline.Replaced{}})
	}
}

// cleanAt cleans a point, well or badly, and writes it down or not.
func (s *site) cleanAt(p *point, at time.Time) {
	kind := levels.Cleaned
	if s.chance(s.plan.half) {
		kind = levels.HalfCleaned
		p.chamber.cleanHalf(s.dice)
	} else {
		p.chamber.clean(s.dice)
	}
	p.ran = p.ran && p.chamber.loose+p.chamber.caked > p.kind.reserve
	s.mark(p, at)
	written := s.Float64()
	wrong := written < s.plan.wrongDay
	unwritten := !wrong && written < s.plan.wrongDay+s.plan.unwritten
	p.happened(kind, at, !wrong && !unwritten && kind == levels.Cleaned) // nobody writes that half of it stayed
	switch {
	case wrong:
		day := s.otherDay(p, at)
		noted := at // or later, where the day that is given is later too
		if day.After(at) {
			noted = day
		}
		s.book.Write(levels.Line{At: day, Day: true, Noted: noted, By: technician, Point: p.id, Body: sootline.Cleaned{}})
	case !unwritten:
		s.book.Write(levels.Line{At: at, By: technician, Point: p.id, Body: sootline.Cleaned{}})
	}
}

// otherDay gives noon of a day some weeks off, on which the log can say that something was cleaned.
func (s *site) otherDay(p *point, at time.Time) time.Time {
	for {
		off := 10 + s.IntN(110)
		if s.chance(0.5) {
			off = -off
		}
		day := at.Truncate(24*time.Hour).AddDate(0, 0, off).Add(12 * time.Hour)
		if day.After(s.weekOf(max(p.fitted, s.begins)).Add(week)) && day.Before(s.now) {
			return day
		}
		if day.Before(s.now) { // too early: the later side has room
			continue
		}
		at = at.AddDate(0, 0, -1)
	}
}
