package instruments

import (
	"math/rand/v2"
	"time"
)

// visit is a day on which somebody goes round: one, or two who share the loops.
type visit struct {
	at    time.Time
	teams [2]team // of loops with an odd and an even number
}

type team struct {
	who  *technician
	with *instrument
}

// calendar is when a site is visited.
type calendar struct {
	opened time.Time
	visits []visit
	now    time.Time
	next   time.Time
	every  time.Duration
	months int // the same, as the rules of the site say it
}

const dayLong = 24 * time.Hour

// yearLong is a Julian year.
const yearLong = time.Duration(365.25 * float64(dayLong))

// newCalendar draws the visits up to now: the interval of the site, give or take weeks, with gaps.
func newCalendar(r *rand.Rand, p *plan) calendar {
	months := p.months[r.IntN(len(p.months))]
	c := calendar{every: time.Duration(months) * yearLong / 12, months: months}
	n := between(r, p.visits)
	last := time.Date(2026, 1, 5, 8, 0, 0, 0, time.UTC).AddDate(0, 0, r.IntN(270))
	back := make([]time.Time, n)
	at := last
	for i := n - 1; i >= 0; i-- {
		back[i] = at
		gap := c.every + time.Duration((r.Float64()-0.5)*0.25*float64(c.every))
		if r.Float64() < p.long {
			gap += c.every
		}
		at = at.Add(-gap).Truncate(dayLong).Add(8 * time.Hour)
	}
	for _, at := range back {
		c.visits = append(c.visits, visit{at: at})
	}
	c.opened = at.Add(c.every / 4).Truncate(time.Hour)
	c.now = last.Add(5*dayLong + time.Duration(r.Float64()*0.7*float64(c.every))).Truncate(time.Minute)
	c.next = last.Add(c.every).Truncate(dayLong).Add(8 * time.Hour)
	if !c.next.After(c.now) {
		c.next = c.now.Add(7 * dayLong)
	}
	return c
}

// staff says who comes to which visit, and with what: a technician mostly takes what lies in the van.
func (c *calendar) staff(r *rand.Rand, p *plan) {
	var crew []technician
	for i := range 1 + r.IntN(4) {
		crew = append(crew, newTechnician(r, i, p.crew))
	}
	var kit []instrument
	for i := range p.instruments {
		kit = append(kit, newInstrument(r, i, p))
	}
	for i := range c.visits {
		for k := range c.visits[i].teams {
			who := r.IntN(len(crew))
			with := who % len(kit)
			if r.Float64() < 0.3 {
				with = r.IntN(len(kit))
			}
			c.visits[i].teams[k] = team{&crew[who], &kit[with]}
		}
		if !p.split {
			c.visits[i].teams[1] = c.visits[i].teams[0]
		}
	}
}

func between(r *rand.Rand, span [2]int) int { return span[0] + r.IntN(span[1]-span[0]+1) }
