package ducts

import (
	"sort"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// point is a point while its site is drawn.
type point struct {
	id      sootline.ID
	kind    *kind
	room    *room
	loop    string
	number  int
	fitted  int // the week
	rest    float64
	chamber chamber
	stuck   bool
	stuckAt float64 // the level at which it is stuck
	noisy   bool
	ran     bool // its compensation was used up, and it was said
	track   []knot
	events  []levels.Happened

	lastRead  time.Time
	lastWrong bool // what was written last was never shown
}

// knot is the level from a minute on, until the next.
type knot struct {
	minute int32 // since the site's first
	level  float32
}

// level is what a clean instrument would show in a week, on the scale with which the log begins.
func (p *point) level(at time.Time) float64 {
	if p.stuck {
		return p.stuckAt
	}
	film := p.room.film(at)
	switch {
	case p.kind.ages > 0 || p.kind.share:
		film = 0
	case p.kind.reserve > 0:
		film *= 0.2 // it is followed
	}
	return p.kind.shown(p.rest, p.chamber.respond(p.kind)+film)
}

// pass lets a week pass at a point.
func (s *site) pass(p *point, k int) {
	at := s.weekOf(k)
	p.chamber.pass(s.dice, p.room, p.kind)
	if s.past(k) {
		s.befall(p, at)
	}
	s.mark(p, at)
}

// befall begins what may begin at any time.
func (s *site) befall(p *point, at time.Time) {
	for _, w := range p.room.works {
		if w.from.Equal(at) {
			p.happened(levels.Works, at, w.noted)
		}
	}
	if r := p.kind.rescale; r != nil && at.Equal(s.weekOf(r.on)) {
		p.happened(levels.Rescaled, at, r.noted)
	}
	if k := p.kind; k.reserve > 0 && !p.ran && p.chamber.loose+p.chamber.caked > k.reserve {
		p.ran = true
		p.happened(levels.CompensationUsed, at, false)
	}
	if !p.stuck && s.chance(s.plan.stuck/52) {
		p.stuckAt = quantised(p.level(at), p.kind.step)
		p.stuck = true
		p.happened(levels.Stuck, at, false)
	}
	if !p.noisy && s.chance(s.plan.noisy/52) {
		p.noisy = true
		p.happened(levels.Noisy, at, false)
	}
}

func (p *point) happened(kind string, at time.Time, noted bool) {
	p.events = append(p.events, levels.Happened{Kind: kind, Day: at, Noted: noted})
}

// mark keeps the level from an instant on.
func (s *site) mark(p *point, at time.Time) {
	k := knot{int32(at.Sub(s.start) / time.Minute), float32(p.level(at))}
	if last := len(p.track) - 1; last >= 0 && p.track[last].level == k.level {
		return
	}
	p.track = append(p.track, k)
}

// follow gives the level for any time, on the scale of the sheet that holds now: of a change that nobody wrote
// down, the scale from before it.
func (s *site) follow(p *point) func(time.Time) float64 {
	track, start, times, plus := p.track, s.start, 1.0, 0.0
	if r := p.kind.rescale; r != nil && r.noted {
		times, plus = r.times, r.plus
	}
	return func(t time.Time) float64 {
		minute := int32(min(1<<31-1, t.Sub(start)/time.Minute))
		after := sort.Search(len(track), func(i int) bool { return track[i].minute > minute })
		return float64(track[max(0, after-1)].level)*times + plus
	}
}
