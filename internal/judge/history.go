package judge

import (
	"math"
	"runtime"
	"sync"
	"time"

	"sootline"
	"sootline/internal/robust"
)

const (
	dayMillis  = 24 * 60 * 60 * 1000
	yearMillis = 365.25 * dayMillis
)

// roundingSD is the standard deviation that rounding to whole numbers adds:
// sqrt(1/12), that of the uniform distribution one wide.
const roundingSD = 0.28867513459481287

// visited is the visits to a point since its last reset, one value a UTC day:
// the median of all samples of that day, since samples minutes apart are no
// independent look at a drift that takes months. A visit with a number that no
// device gives is left out.
type visited struct {
	readings    []sootline.Reading // since the reset, of the type's own quantity
	t, y        []float64          // years since the first, value
	first, last time.Time
	history     int // in the experience of the site
}

// look looks at all points of the register: at each by itself on all cores, then
// at all together.
func (j *Judge) look() {
	points := j.register.Points()
	if j.looks != nil || len(points) == 0 {
		return
	}
	for _, p := range points {
		j.typed(p.Type) // the hands only read it
	}
	j.looks = make([]visited, len(points))
	drawn := make([]history, len(points))
	j.share(len(points), func(hand *Judge, i int) {
		j.looks[i], drawn[i] = hand.visit(points[i])
	})
	j.experience.Grow(len(points))
	for i, p := range points {
		j.looks[i].history = j.experience.enter(j.typed(p.Type).key, p.Area, drawn[i])
	}
	j.experience.settle()
}

// share does n pieces of work, each hand a stretch of them on a core of its own.
func (j *Judge) share(n int, do func(hand *Judge, i int)) {
	const least = 64 // fewer are not worth a hand
	hands := max(1, min(runtime.GOMAXPROCS(0), n/least))
	var wg sync.WaitGroup
	for h := range hands {
		hand := &Judge{
			register: j.register, on: j.on, next: j.next, overnext: j.overnext,
			types: j.types, experience: j.experience.hand(),
		}
		wg.Go(func() {
			for i := h * n / hands; i < (h+1)*n/hands; i++ {
				do(hand, i)
			}
		})
	}
	wg.Wait()
}

// visits gives the visits to a point, having looked at all points first.
func (j *Judge) visits(p *sootline.Point) visited {
	j.look()
	if j.index == nil {
		j.index = make(map[*sootline.Point]int, len(j.looks))
		for i, p := range j.register.Points() {
			j.index[p] = i
		}
	}
	if i, known := j.index[p]; known {
		return j.looks[i]
	}
	v, h := j.visit(p) // it was removed, or never placed
	v.history = j.experience.enter(j.typed(p.Type).key, p.Area, h)
	return v
}

// visit collapses the readings of a point and draws a line through them.
func (j *Judge) visit(p *sootline.Point) (visited, history) {
	readings := p.SinceReset()
	n := len(readings)
	v := visited{readings: readings, t: j.take(n), y: j.take(n)}
	whole := true
	for start, end := 0, 0; start < n; start = end {
		j.samples = j.samples[:0]
		for end = start; end < n && day(readings[end].At) == day(readings[start].At); end++ {
			j.samples = append(j.samples, readings[end].Samples...)
		}
		for _, x := range j.samples {
			whole = whole && x == math.Trunc(x)
		}
		if value, ok := robust.MedianInPlace(j.samples); ok {
			v.add(readings[end-1].At, value)
		}
	}
	h := history{t: v.t, y: v.y}
	h.usual, h.least = j.usual(p, whole)
	h.draw(&j.scratch)
	return v, h
}

func (v *visited) add(at time.Time, value float64) {
	if len(v.y) == 0 {
		v.first = at
	}
	v.last = at
	v.t, v.y = append(v.t, v.years(at)), append(v.y, value)
}

// take gives an empty slice with room for n numbers.
func (j *Judge) take(n int) []float64 {
	const chunk = 4096
	if cap(j.room)-len(j.room) < n {
		j.room = make([]float64, 0, max(n, chunk))
	}
	from := len(j.room)
	j.room = j.room[:from+n]
	return j.room[from : from : from+n]
}

// years is the time of an instant on the scale of t.
func (v *visited) years(at time.Time) float64 {
	return float64(at.UnixMilli()-v.first.UnixMilli()) / yearMillis
}

// instant is the inverse of years.
func (v *visited) instant(years float64) time.Time {
	return time.UnixMilli(v.first.UnixMilli() + int64(math.Round(years*yearMillis))).UTC()
}

// day numbers the UTC days.
func day(at time.Time) int64 { return int64(math.Floor(float64(at.UnixMilli()) / dayMillis)) }

// usual is the noise to expect of a visit's value before any is seen: the type's
// own, else the site's; and the least that it can be, since whole numbers are no
// finer than their rounding, whatever is claimed.
func (j *Judge) usual(p *sootline.Point, whole bool) (usual, least float64) {
	usual = j.register.Site.Rules.PooledSD
	if sheet := j.sheet(p.Type); sheet != nil && sheet.PooledSD != nil && *sheet.PooledSD > 0 {
		usual = *sheet.PooledSD
	}
	if whole {
		least = roundingSD
	}
	return usual, least
}

func differ(x []float64) bool {
	for _, v := range x {
		if v != x[0] {
			return true
		}
	}
	return false
}

// latest is the latest reading since the reset, or nil.
func (s *study) latest() *sootline.Reading {
	if len(s.readings) == 0 {
		return nil
	}
	return &s.readings[len(s.readings)-1]
}
