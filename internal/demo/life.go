package demo

import (
	"math"
	"time"
)

// life is what the value of a point does over the years. Its level, free of
// noise, is that of the current spell, plus the room's yearly swing.
type life struct {
	clean  float64 // level of the unit that is there now, when clean
	sd     float64 // spread of a reading about the level
	swing  float64
	spells []spell // in order of time; empty: the device has no value
	unread bool    // nobody ever read or tested it, or nobody can tell whose reading it was
	off    time.Time
}

// spell is the time between two events after which a drift starts afresh.
type spell struct {
	from    time.Time
	rest    float64 // level at its beginning
	rate    float64 // counts a year
	bend    float64 // counts a year, squared
	reserve float64 // counts of drift that compensation hides
}

// rateSpread is the spread of the dust caught by detectors of one room, as the
// standard deviation of its natural logarithm.
const rateSpread = 0.15

// born gives the life of a new device, as yet with one spell from handover on.
func (w *world) born(d *device, area *room) life {
	if d.sd == 0 {
		return life{}
	}
	l := life{clean: w.newClean(d), sd: d.sd}
	if d.swings {
		l.swing = area.swing
	}
	rate := (d.catches*area.dust + d.ages) * math.Exp(rateSpread*w.rng.NormFloat64())
	l.spells = []spell{{from: w.from, rest: l.clean, rate: rate, reserve: d.reserve}}
	return l
}

// newClean draws the clean level of a new unit, at most two standard deviations
// from the type's centre.
func (w *world) newClean(d *device) float64 {
	z := max(-2, min(2, w.rng.NormFloat64()))
	return d.clean + d.cleanSD*z
}

// judged reports whether the point has a resting value.
func (l *life) judged() bool { return len(l.spells) > 0 }

// level is the true resting value at an instant.
func (l *life) level(at time.Time) float64 {
	current := l.spells[0]
	for _, s := range l.spells[1:] {
		if !at.Before(s.from) {
			current = s
		}
	}
	return current.level(at) + l.swing*season(at)
}

func (s spell) level(at time.Time) float64 {
	years := at.Sub(s.from).Hours() / hoursAYear
	drift := s.rate*years + s.bend*years*years
	if s.reserve > 0 {
		drift = max(0, drift-s.reserve)
	}
	return s.rest + drift
}

const hoursAYear = 365.25 * 24

// season goes from -1 in mid-January to 1 in mid-July.
func season(at time.Time) float64 {
	return -math.Cos(2 * math.Pi * float64(at.YearDay()-15) / 365.25)
}

// restart begins a spell at a level without swing; the dirt goes on as before.
func (l *life) restart(at time.Time, rest float64) {
	s := l.spells[len(l.spells)-1]
	s.from, s.rest = at, rest
	l.spells = append(l.spells, s)
}

// wipe cleans the unit: it comes back to near its clean level.
func (w *world) wipe(p *point, at time.Time) {
	p.restart(at, p.clean+0.3*w.rng.NormFloat64())
}

// swap exchanges the devices of two points: each takes its dirt along, and from
// then on catches the dust of its new room.
func swap(a, b *point, at time.Time) {
	restA := a.level(at) - a.swing*season(at)
	restB := b.level(at) - b.swing*season(at)
	a.clean, b.clean = b.clean, a.clean
	a.restart(at, restB)
	b.restart(at, restA)
}
