package ducts

import (
	"math"
	"time"
)

// use is what a room is used for.
type use struct {
	name     string
	strength float64 // dust that reaches a chamber in a year, in rooms of the band
	harvest  float64 // how much more there is while the harvest comes in
	heating  float64 // how much more while the air is heated and goes round
	holidays float64 // how much of it is left in the two holiday times
	bursts   float64 // a year
	stirs    float64 // a year: the air is set moving, and loose dust goes
	sticky   float64 // share of the loose dust that cakes in a week
}

func office() use {
	return use{name: "office", strength: 0.1, heating: 1.3, holidays: 0.6, bursts: 0.1, stirs: 0.2, sticky: 0.02}
}

func corridor() use {
	return use{name: "corridor", strength: 0.12, heating: 1.2, holidays: 0.8, bursts: 0.25, stirs: 1, sticky: 0.015}
}

func kitchen() use {
	return use{name: "kitchen", strength: 0.18, heating: 1.1, holidays: 0.5, bursts: 0.2, stirs: 0.1, sticky: 0.12}
}

func workshop() use {
	return use{name: "workshop", strength: 0.18, heating: 1.2, holidays: 0.1, bursts: 0.9, stirs: 0.7, sticky: 0.03}
}

func barn() use {
	return use{name: "barn", strength: 0.18, harvest: 7, holidays: 1, bursts: 0.6, stirs: 1.2, sticky: 0.015}
}

func duct() use {
	return use{name: "duct", strength: 0.22, heating: 1.7, holidays: 0.5, bursts: 0.7, stirs: 2, sticky: 0.03}
}

func store() use {
	return use{name: "store", strength: 0.015, heating: 1, holidays: 1, bursts: 0.05, stirs: 0.1, sticky: 0.02}
}

// room is an area of a site.
type room struct {
	use
	area     string
	strength float64
	humid    float64   // swing of the film of moisture over a year
	second   time.Time // a second shift works from then on; zero: never
	works    []works
	week     weather
}

// works are building works in a room.
type works struct {
	from  time.Time
	weeks int
	dust  float64 // in all, in rooms of the band
	noted bool
}

// weather is what a room is like for one week.
type weather struct {
	activity float64
	burst    float64
	stir     float64 // share of the loose dust that goes
}

// draw makes the weather of the week that begins at an instant.
func (r *room) draw(d dice, p *plan, at time.Time) {
	r.week = weather{activity: r.activity(at)}
	if d.chance(r.bursts * p.bursts / 52) {
		r.week.burst = 0.06 * d.ExpFloat64()
	}
	for _, w := range r.works {
		if since := at.Sub(w.from); since >= 0 && since < time.Duration(w.weeks)*week {
			r.week.burst += w.dust / float64(w.weeks)
		}
	}
	if d.chance(r.stirs / 52) {
		r.week.stir = d.between(0.2, 0.8)
	}
}

// activity is how much is done in a room at a time of the year, about 1 over the year but for the second shift.
func (r *room) activity(at time.Time) float64 {
	_, number := at.ISOWeek()
	a := 1.0
	switch {
	case number >= 52 || number <= 1 || number >= 31 && number <= 33:
		a = r.holidays
	case number >= 42 || number <= 14:
		a = max(1, r.heating)
	}
	if r.harvest > 0 {
		a = 0.35
		if number >= 28 && number <= 37 { // ten weeks of corn and hay
			a = r.harvest * 0.55
		}
	}
	if !r.second.IsZero() && !at.Before(r.second) {
		a *= 1.9 // two shifts, and the machines are dusty
	}
	return a
}

// film is the part of a level that moisture makes, highest in late July.
func (r *room) film(at time.Time) float64 {
	return r.humid * math.Cos(2*math.Pi*(float64(at.YearDay())-205)/365.25)
}
