package judge

import (
	"math"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// look is one visit to a point: the median of all samples of a day.
type look struct {
	at       time.Time
	t, y     float64            // t in years since the first look of the stretch
	readings []sootline.Reading // those of that day, of the type's own quantity
}

// stretch is the looks at a point from one recorded reset to the next.
type stretch struct {
	point *sootline.Point
	sheet *sootline.TypeSheet
	reset sootline.Reset // what it begins with; zero when nobody wrote that down
	looks []look
	usual float64 // standard deviation to expect of a look about its trend, above zero
	noise float64 // the same, no finer than the rounding of its looks
	whole bool    // the looks are whole numbers or halves, as counts and their medians are
	more  bool    // looks follow after a recorded reset
}

// wildest is the largest magnitude of a value that is looked at here: no device
// counts so far, and the squares of what is larger leave the range of numbers.
const wildest = 1e9

// stretches cuts the looks at a point at its recorded resets. Looks with a
// number that no device gives are left out, and so are stretches without looks.
func stretches(r *sootline.Register, p *sootline.Point, sheet *sootline.TypeSheet) []stretch {
	readings := ownQuantity(p.Readings)
	all := make([]stretch, 0, 1+len(p.Resets))
	current := stretch{point: p, sheet: sheet, usual: usualNoise(r, sheet)}
	next, from := 0, 0
	cut := func(to int) {
		current.looks = looksOf(readings[from:to])
		if len(current.looks) > 0 {
			all = append(all, current)
			all[len(all)-1].roundNoise()
		}
		from = to
	}
	for i := range readings {
		for next < len(p.Resets) && !readings[i].At.Before(p.Resets[next].At) {
			cut(i)
			current.reset = p.Resets[next]
			next++
		}
	}
	cut(len(readings))
	for i := range all {
		all[i].more = i < len(all)-1
	}
	return all
}

func ownQuantity(readings []sootline.Reading) []sootline.Reading {
	for i := range readings {
		if readings[i].Quantity != "" {
			own := append([]sootline.Reading(nil), readings[:i]...)
			for _, x := range readings[i:] {
				if x.Quantity == "" {
					own = append(own, x)
				}
			}
			return own
		}
	}
	return readings
}

// looksOf collapses readings in order of time into looks.
func looksOf(readings []sootline.Reading) []look {
	looks := make([]look, 0, len(readings))
	var samples []float64
	for start, end := 0, 0; start < len(readings); start = end {
		samples = samples[:0]
		for end = start; end < len(readings) && day(readings[end].At) == day(readings[start].At); end++ {
			samples = append(samples, readings[end].Samples...)
		}
		value, ok := robust.MedianInPlace(samples)
		if !ok || math.Abs(value) > wildest {
			continue
		}
		l := look{at: readings[end-1].At, y: value, readings: readings[start:end]}
		if len(looks) > 0 {
			l.t = float64(l.at.UnixMilli()-looks[0].at.UnixMilli()) / yearMillis
		}
		looks = append(looks, l)
	}
	return looks
}

// leastNoise keeps the noise above zero whatever a type sheet claims: a
// millionth of a unit is finer than any device shows.
const leastNoise = 1e-6

// usualNoise is the noise to expect of a look: the type's own, else the site's.
func usualNoise(r *sootline.Register, sheet *sootline.TypeSheet) float64 {
	sd := r.Site.Rules.PooledSD
	if sheet != nil && sheet.PooledSD != nil && *sheet.PooledSD > 0 {
		sd = *sheet.PooledSD
	}
	return min(wildest, max(sd, leastNoise))
}

// inCounts reports whether a value is a whole number or a half, as medians of
// whole numbers are.
func inCounts(x float64) bool { return 2*x == math.Trunc(2*x) }

// roundNoise keeps the noise of looks in counts no finer than their rounding.
func (s *stretch) roundNoise() {
	s.noise = s.usual
	for i := range s.looks {
		if !inCounts(s.looks[i].y) {
			return
		}
	}
	s.whole, s.noise = true, max(s.usual, roundingSD)
}

// amountOf writes a value with the unit of its type.
func amountOf(sheet *sootline.TypeSheet, x float64) string {
	if sheet == nil || sheet.Unit == "" {
		return number(x)
	}
	return number(x) + " " + sheet.Unit
}

// first and last name the looks at the ends of a stretch, which has some.
func (s *stretch) first() *look { return &s.looks[0] }
func (s *stretch) last() *look  { return &s.looks[len(s.looks)-1] }

// entries lists the entries of some looks.
func entries(looks []look) []sootline.ID {
	var ids []sootline.ID
	for i := range looks {
		for j := range looks[i].readings {
			if e := looks[i].readings[j].Entry; e != nil {
				ids = append(ids, e.ID)
			}
		}
	}
	return ids
}
