package levels

import (
	"math"
	"slices"
	"time"
)

// Tally counts what came of some points. Tallies of several sites are added with [Tally.Add].
type Tally struct {
	Points int
	// Of the verdict: outside now or by the next visit.
	Hits, Misses, FalseAlarms int
	SquaredError              float64 // of the chance; one half where none was stated
	Unstated                  int     // points without a chance
	// Of the dates, at points inside now whose earliest day was stated.
	Dated, Covered, TooLate, TooEarly int       // TooLate: it left before the earliest day
	Widths                            []float64 // years from earliest to latest, cut at the horizon
	Undated                           int       // points inside now without a date
}

// Recall is the share found of what is outside by the next visit; NaN where nothing is.
func (t *Tally) Recall() float64 { return share(t.Hits, t.Hits+t.Misses) }

// Precision is the share of what was called outside that is; NaN where nothing was.
func (t *Tally) Precision() float64 { return share(t.Hits, t.Hits+t.FalseAlarms) }

// Brier is the mean squared error of the chance (Brier 1950).
func (t *Tally) Brier() float64 { return t.SquaredError / float64(t.Points) }

// Coverage is the share of dated points that leave between the earliest and the latest day.
func (t *Tally) Coverage() float64 { return share(t.Covered, t.Dated) }

// Width is the median of the widths in years; NaN where nothing was dated.
func (t *Tally) Width() float64 {
	if len(t.Widths) == 0 {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(t.Widths))
	return (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
}

// Add adds another tally.
func (t *Tally) Add(u *Tally) {
	t.Points += u.Points
	t.Hits, t.Misses, t.FalseAlarms = t.Hits+u.Hits, t.Misses+u.Misses, t.FalseAlarms+u.FalseAlarms
	t.SquaredError += u.SquaredError
	t.Unstated += u.Unstated
	t.Dated, t.Covered = t.Dated+u.Dated, t.Covered+u.Covered
	t.TooLate, t.TooEarly = t.TooLate+u.TooLate, t.TooEarly+u.TooEarly
	t.Widths = append(t.Widths, u.Widths...)
	t.Undated += u.Undated
}

func share(part, whole int) float64 {
	if whole == 0 {
		return math.NaN()
	}
	return float64(part) / float64(whole)
}

// count takes one point in.
func (t *Tally) count(truth *Truth, a *Answer, now, ends time.Time) {
	t.Points++
	switch {
	case truth.OutsideByNext && a.Outside:
		t.Hits++
	case truth.OutsideByNext:
		t.Misses++
	case a.Outside:
		t.FalseAlarms++
	}
	if math.IsNaN(a.Chance) {
		t.Unstated++
	}
	miss := stated(a) - happened(truth)
	t.SquaredError += miss * miss
	if !truth.Outside {
		t.date(truth, a, now, ends)
	}
}

// stated is the chance that an answer is taken to state: one half where it states none.
func stated(a *Answer) float64 {
	if math.IsNaN(a.Chance) {
		return 0.5
	}
	return a.Chance
}

func happened(truth *Truth) float64 {
	if truth.OutsideByNext {
		return 1
	}
	return 0
}

// date takes in when a point leaves. All days past the horizon are alike.
func (t *Tally) date(truth *Truth, a *Answer, now, ends time.Time) {
	if a.Earliest.IsZero() {
		t.Undated++
		return
	}
	t.Dated++
	leaves, earliest, latest := cut(truth.Leaves, ends), cut(a.Earliest, ends), cut(a.Latest, ends)
	switch {
	case dayOf(leaves).Before(dayOf(earliest)):
		t.TooLate++
	case dayOf(leaves).After(dayOf(latest)):
		t.TooEarly++
	default:
		t.Covered++
	}
	if earliest.Before(now) {
		earliest = now
	}
	t.Widths = append(t.Widths, max(0, years(earliest, latest)))
}

// cut gives an instant, or the horizon where it is later or there is none.
func cut(at, ends time.Time) time.Time {
	if at.IsZero() || at.After(ends) {
		return ends
	}
	return at
}

func dayOf(at time.Time) time.Time { return at.UTC().Truncate(24 * time.Hour) }

func years(from, to time.Time) float64 { return to.Sub(from).Hours() / 24 / 365.25 }
