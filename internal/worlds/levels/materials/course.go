package materials

import (
	"math"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// course is what truly goes on at one point from its fitting on.
type course struct {
	id     sootline.ID
	ref    sootline.Ref
	device *made
	room   *room
	fitted time.Time
	spells []spell
	near   float64 // how much of the dust of works reaches it
	// reserve is the drift that a compensated type hides, as a share of the way.
	reserve float64
	freezes time.Time // when its output sticks; zero: never
	frozen  *frozen   // nil before it is known at what
	unrest  time.Time // since when damp makes it unsteady; zero: never
	events  []levels.Happened
	reads   []time.Time // as written
	misread bool        // the last reading was never shown here
}

// frozen is an output that shows one value.
type frozen struct {
	from  time.Time
	value float64 // on the scale of the sheet that holds at the end
}

// spell is the time from one cleaning, replacement or swap to the next.
type spell struct {
	from    time.Time
	head    *head
	before  float64 // years at 25 °C that had aged the head when it began
	carried float64 // dirt that was there already
	dirt    growth
}

func (p *course) spell(t time.Time) *spell {
	for i := len(p.spells) - 1; i > 0; i-- {
		if !t.Before(p.spells[i].from) {
			return &p.spells[i]
		}
	}
	return &p.spells[0]
}

func (p *course) last() *spell { return &p.spells[len(p.spells)-1] }

// dirt is the share of the way that dirt has gone. Works that were going on when a spell began trouble it no
// more: the room was sheeted, or cleaned with the head.
func (p *course) dirt(t time.Time) float64 {
	if p.device.cell {
		return 0
	}
	s := p.spell(t)
	dirt := s.carried + s.dirt.after(years(s.from, t))
	for i := range p.room.works {
		if w := &p.room.works[i]; !w.from.Before(s.from) {
			dirt += w.share * p.near * w.raised(t)
		}
	}
	return dirt
}

// age is the age of the head's electronics in years at 25 °C.
func (p *course) age(t time.Time) float64 {
	s := p.spell(t)
	return s.before + hurry(p.room.celsius)*max(0, years(s.from, t))
}

// share is where the level stands between rest, 0, and the worse edge, 1, if it is not frozen.
func (p *course) share(t time.Time) float64 { return p.shareWith(t, p.dirt(t)) }

func (p *course) shareWith(t time.Time, dirt float64) float64 {
	h := p.spell(t).head
	return h.offset + p.unhidden(h.aged(p.age(t))+dirt)
}

// unhidden is what compensation leaves of a drift: nothing until its reserve is used up.
func (p *course) unhidden(drift float64) float64 {
	return math.Copysign(max(0, math.Abs(drift)-p.reserve), drift)
}

// level is the level in the unit and on the scale of the sheet that holds at the end.
func (p *course) level(t time.Time) float64 {
	if p.frozen != nil && !t.Before(p.frozen.from) {
		return p.frozen.value
	}
	return p.device.told.value(p.device.worse, p.share(t))
}

func (p *course) outside(t time.Time) bool { return p.device.told.outside(p.level(t)) }

// clean begins a spell with part of the dirt kept.
func (p *course) clean(t time.Time, keep float64) {
	old := p.last()
	p.spells = append(p.spells, spell{t, old.head, p.age(t), keep * p.dirt(t), old.dirt})
}

// fit begins a spell with another head, new or used.
func (p *course) fit(t time.Time, h *head, age, dirt float64) {
	p.spells = append(p.spells, spell{t, h, age, dirt, p.last().dirt})
}

func (p *course) happened(kind string, at time.Time, noted bool) {
	p.events = append(p.events, levels.Happened{Kind: kind, Day: at, Noted: noted})
}

// useUp tells when compensation was used up, in each spell up to a time.
func (p *course) useUp(now time.Time) {
	if p.reserve == 0 {
		return
	}
	for i := range p.spells {
		until := now
		if i+1 < len(p.spells) {
			until = p.spells[i+1].from.Add(-time.Minute)
		}
		used := func(t time.Time) bool { return p.spells[i].head.aged(p.age(t))+p.dirt(t) > p.reserve }
		if at := firstTime(p.spells[i].from, until, used); at.After(p.spells[i].from) {
			p.happened(levels.CompensationUsed, at, false)
		}
	}
}

// firstTime finds, to the minute, the first time from one to another at which something holds; zero: none. What
// holds for less than a week may be missed: levels here turn over years.
func firstTime(from, to time.Time, holds func(time.Time) bool) time.Time {
	if holds(from) {
		return from
	}
	for at := from; at.Before(to); {
		next := at.AddDate(0, 0, 7)
		if next.After(to) {
			next = to
		}
		if holds(next) {
			for next.Sub(at) > time.Minute {
				if half := at.Add(next.Sub(at) / 2); holds(half) {
					next = half
				} else {
					at = half
				}
			}
			return next
		}
		at = next
	}
	return time.Time{}
}

func years(from, to time.Time) float64 { return to.Sub(from).Hours() / 24 / 365.25 }
