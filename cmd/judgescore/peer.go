package main

import (
	"math"
	"slices"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// Peers see the same log as ours. A peer draws some line through the readings of each point, and all that it
// answers follows from where that line may be: nothing of what makes a log hard to read is known to it.

// said is the chance from which on a peer says that a point will be outside: that of ours, so that they
// differ by their chances alone.
const said = 0.3

// subject is a point as peers see it.
type subject struct {
	point *sootline.Point
	sheet *sootline.TypeSheet
	band  *sootline.Band // nil: none is known
	runs  []stretch      // one for each reset, the last of them since the last reset; at least one
}

// stretch is what was read between two resets.
type stretch struct {
	begin time.Time
	t, y  []float64 // years since begin, medians of the samples
}

// subjects folds a log. Points that no detector stands at are left out.
func subjects(entries []sootline.Entry, now time.Time) []subject {
	register := sootline.Fold(entries, now)
	var all []subject
	for _, p := range register.Points() {
		s := subject{point: p, sheet: register.Sheet(p.Type)}
		if p.Removed != nil || s.sheet == nil || !s.sheet.Kind.Judged() {
			continue
		}
		s.band = s.sheet.Band(p.Settings())
		s.cut()
		all = append(all, s)
	}
	return all
}

// cut sorts the readings of the type's own quantity into runs.
func (s *subject) cut() {
	begin := time.Time{}
	resets := s.point.Resets
	s.runs = []stretch{{begin: begin}}
	for _, r := range s.point.Readings {
		for len(resets) > 0 && !r.At.Before(resets[0].At) {
			s.runs = append(s.runs, stretch{begin: resets[0].At})
			resets = resets[1:]
		}
		if r.Quantity == "" && len(r.Samples) > 0 {
			last := &s.runs[len(s.runs)-1]
			if len(last.t) == 0 && !last.begin.After(sootline.LongAgo) {
				last.begin = r.At // nobody knows when it was fitted
			}
			last.t, last.y = append(last.t, years(last.begin, r.At)), append(last.y, median(r.Samples))
		}
	}
	for _, r := range resets {
		s.runs = append(s.runs, stretch{begin: r.At})
	}
}

// now is the run since the last reset.
func (s *subject) now() *stretch { return &s.runs[len(s.runs)-1] }

func median(x []float64) float64 {
	sorted := slices.Sorted(slices.Values(x))
	return (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
}

func years(from, to time.Time) float64 { return to.Sub(from).Hours() / 24 / 365.25 }

// falls reports whether dirt or age lowers the value.
func (s *subject) falls() bool {
	return s.sheet.Worse == sootline.Downwards || s.sheet.Kind == sootline.Gas && s.sheet.Worse == sootline.AsKind
}

// washes reports whether cleaning helps beyond a limit: on the side to which dirt moves the value, unless age
// does.
func (s *subject) washes(low bool) bool { return s.sheet.Kind != sootline.Gas && low == s.falls() }

// beyond says of a value whether it is below or above the band.
func (s *subject) beyond(y float64) (low, high bool) {
	return s.band.Low != nil && y < *s.band.Low, s.band.High != nil && y > *s.band.High
}

// belief is where a line may be at an instant, t years after the run began: the chances that it is below the
// band and above.
type belief func(t float64) (below, above float64)

// outcome answers from a belief, by this rule: outside from a chance of [said] on, now or when somebody comes
// next. Then it is to be cleaned now, or replaced where cleaning does not help on that side. Where the earliest
// day comes before the visit after the next it is to be cleaned, or replaced. All else is left.
func (s *subject) outcome(b belief, now, next time.Time) levels.Answer {
	a := levels.Answer{Point: s.point.ID, Action: levels.Leave}
	begin := s.now().begin
	below, above := b(years(begin, now))
	if l, h := b(years(begin, next)); l+h > below+above {
		below, above = l, h
	}
	a.Chance = min(1, below+above)
	a.Outside = a.Chance >= said
	a.Earliest, a.Likely, a.Latest = when(b, begin, now)
	after := next.Add(next.Sub(s.lastRead(now)))
	switch soon := a.Earliest.Before(after); {
	case (a.Outside || soon) && !s.washes(below > above):
		a.Action = levels.Replace
	case a.Outside:
		a.Action = levels.CleanNow
	case soon:
		a.Action = levels.Clean
	}
	return a
}

// lastRead is when it was last read, or else now.
func (s *subject) lastRead(now time.Time) time.Time {
	if n := len(s.point.Readings); n > 0 {
		return s.point.Readings[n-1].At
	}
	return now
}

// The days of 90 %, and the step by which they are looked for: a week.
const (
	early, likely, late = 0.05, 0.5, 0.95
	step                = 7.0 / 365.25
)

// when gives the days on which the chances of being outside reach 5, 50 and 95 %. What is never reached within
// the horizon comes after it: the earliest and likely day are its end then, and there is no latest day.
func when(b belief, begin, now time.Time) (earliest, middle, latest time.Time) {
	ends := now.AddDate(levels.Horizon, 0, 0)
	earliest, middle = ends, ends
	reached := 0.0
	from := years(begin, now)
	for t := from; t <= from+levels.Horizon; t += step {
		below, above := b(t)
		at := now.Add(time.Duration((t - from) * 365.25 * 24 * float64(time.Hour)))
		for _, day := range [...]struct {
			share float64
			at    *time.Time
		}{{early, &earliest}, {likely, &middle}, {late, &latest}} {
			if reached < day.share && below+above >= day.share {
				*day.at = at
			}
		}
		if reached = max(reached, below+above); reached >= late {
			break
		}
	}
	return earliest, middle, latest
}

// spread makes a belief of a line's value and its standard error, and of the distribution of their ratio.
func (s *subject) spread(at func(t float64) (fit, se float64), cdf func(float64) float64) belief {
	return func(t float64) (below, above float64) {
		fit, se := at(t)
		se = max(se, 1e-9*math.Max(1, math.Abs(fit)))
		if s.band.Low != nil {
			below = cdf((*s.band.Low - fit) / se)
		}
		if s.band.High != nil {
			above = cdf((fit - *s.band.High) / se)
		}
		return below, above
	}
}
