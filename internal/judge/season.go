package judge

import (
	"maps"
	"math"
	"slices"

	"sootline/internal/robust"
)

// What a season needs before it is believed: judgements of ours, tried in the
// simulation of docs/methods/forecast.md.
const (
	seasonDays   = 8    // days of visits to an area, no matter how many detectors were read on each
	seasonYears  = 1.5  // from the first to the last of them
	seasonChance = 0.01 // that visits without a season would show one as large
)

// Season is a yearly swing about the drift, with one course for all detectors of
// a type in an area: Cos*cos(2 pi t) + Sin*sin(2 pi t) at a time t in years. The
// zero Season is none.
type Season struct{ Cos, Sin float64 }

// At is the swing at a time in years of the calendar that [Run] counts in.
func (s Season) At(years float64) float64 {
	sin, cos := math.Sincos(2 * math.Pi * years)
	return s.Cos*cos + s.Sin*sin
}

// Swing is how far the season goes from its mean.
func (s Season) Swing() float64 { return math.Hypot(s.Cos, s.Sin) }

// rest is what straight lines leave of a reading and of the two waves at its
// time.
type rest struct{ y, cos, sin float64 }

// learnSeasons finds the yearly swing of a type in each of its areas, and takes
// it out of the values. The detectors of an area breathe the same air on the same
// day, so it is days that are counted, not readings.
func (e *Experience) learnSeasons(k *kin) {
	if len(k.members) < leastKin {
		return
	}
	days := make([]map[int64][]rest, len(k.groups))
	fitted := make([]int, len(k.groups))
	for _, i := range k.members {
		h := &e.histories[i]
		if days[h.area] == nil {
			days[h.area] = map[int64][]rest{}
		}
		if h.now.telling() {
			fitted[h.area]++
		}
		for run := range h.runs() {
			if run.fitted {
				run.addSeason(days[h.area])
			}
		}
	}
	for i := range k.groups {
		if fitted[i] >= leastKin {
			k.groups[i].season = seasonOf(days[i])
		}
	}
	for _, i := range k.members {
		h := &e.histories[i]
		if season := k.groups[h.area].season; season != (Season{}) {
			h.flatten(season, e)
		}
	}
}

// runs goes through the runs of a history.
func (h *history) runs() func(yield func(*drawn) bool) {
	return func(yield func(*drawn) bool) {
		for i := range h.earlier {
			if !yield(&h.earlier[i]) {
				return
			}
		}
		yield(&h.now)
	}
}

// addSeason adds what a line leaves of the values of a run, and of the two waves,
// to the days of its visits.
//
// Source: least squares with a line of its own for each detector (Frisch & Waugh
// 1933, from memory).
func (r *drawn) addSeason(days map[int64][]rest) {
	n := len(r.T)
	cos, sin := make([]float64, n), make([]float64, n)
	for i, t := range r.T {
		sin[i], cos[i] = math.Sincos(2 * math.Pi * (r.Start + t))
	}
	y := leastSquaresRest(r.T, r.Y)
	cos, sin = leastSquaresRest(r.T, cos), leastSquaresRest(r.T, sin)
	for i, t := range r.T {
		at := int64(math.Round((r.Start + t) * 365.25))
		days[at] = append(days[at], rest{y[i], cos[i], sin[i]})
	}
}

// leastSquaresRest is what a straight line leaves of the values y at times t.
func leastSquaresRest(t, y []float64) []float64 {
	var mt, my, tt, ty float64
	for i := range t {
		mt += t[i] / float64(len(t))
		my += y[i] / float64(len(t))
	}
	for i := range t {
		tt += (t[i] - mt) * (t[i] - mt)
		ty += (t[i] - mt) * (y[i] - my)
	}
	rest := make([]float64, len(t))
	for i := range t {
		rest[i] = y[i] - my - ty/tt*(t[i]-mt)
	}
	return rest
}

// seasonOf fits the two waves to the means of the days, each weighed by its
// readings, and keeps them where noise alone would seldom show as much.
//
// Source of the chance: the F distribution with two degrees of freedom above has
// the closed form (1 + 2x/n)^(-n/2), n those below; Abramowitz & Stegun (1964),
// Handbook of Mathematical Functions, 26.6.4 (from memory).
func seasonOf(days map[int64][]rest) Season {
	var cc, ss, cs, cy, sy, yy float64
	ordered := slices.Sorted(maps.Keys(days)) // sums of numbers depend on their order
	for _, at := range ordered {
		n, d := meanRest(days[at])
		cc += n * d.cos * d.cos
		ss += n * d.sin * d.sin
		cs += n * d.cos * d.sin
		cy += n * d.cos * d.y
		sy += n * d.sin * d.y
		yy += n * d.y * d.y
	}
	det := cc*ss - cs*cs
	free := float64(len(days) - 4) // two for the waves, and about two for the lines
	if len(days) < seasonDays || float64(ordered[len(days)-1]-ordered[0]) < seasonYears*365.25 || !(det > 1e-9*cc*ss) {
		return Season{}
	}
	season := Season{Cos: (cy*ss - sy*cs) / det, Sin: (sy*cc - cy*cs) / det}
	explained := season.Cos*cy + season.Sin*sy
	ratio := explained / 2 / ((yy - explained) / free)
	if !(math.Pow(1+2*ratio/free, -free/2) < seasonChance) {
		return Season{}
	}
	return season
}

// meanRest is the mean of a day and the readings it rests on: without those that
// lie far from the others of the day, which say nothing of the air they share.
func meanRest(all []rest) (n float64, mean rest) {
	values := make([]float64, len(all))
	for i, r := range all {
		values[i] = r.y
	}
	centre, mad, _ := robust.MAD(values)
	for _, r := range all {
		if mad > 0 && math.Abs(r.y-centre) > robust.OutlierZ*madToSD*mad {
			continue
		}
		n++
		mean.y, mean.cos, mean.sin = mean.y+r.y, mean.cos+r.cos, mean.sin+r.sin
	}
	mean.y, mean.cos, mean.sin = mean.y/n, mean.cos/n, mean.sin/n
	return n, mean
}

// flatten takes the season out of the values, and draws the lines anew.
func (h *history) flatten(season Season, e *Experience) {
	for run := range h.runs() {
		flat := make([]float64, len(run.Y))
		for i, t := range run.T {
			flat[i] = run.Y[i] - season.At(run.Start+t)
		}
		run.Y = flat
		run.draw(e, h)
	}
}

// flat gives the values of a history since its drift last started afresh, less the
// season.
func (e *Experience) flat(i int) []float64 { return e.histories[i].now.Y }
