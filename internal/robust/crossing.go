package robust

import (
	"errors"
	"fmt"
	"math"
)

// Side is the side of a limit that lies beyond it.
type Side int

// The sides.
const (
	High Side = iota + 1 // values above the limit are beyond it
	Low                  // values below the limit are beyond it
)

// sign is +1 for High, -1 for Low and 0 for anything else.
func (s Side) sign() float64 {
	switch s {
	case High:
		return 1
	case Low:
		return -1
	}
	return 0
}

// Status says what could be concluded about the time at which a line meets a limit.
type Status int

// The conclusions. Only with Bounded is there a latest time.
const (
	TooFew         Status = iota + 1 // fewer than 3 readings, or all at one time
	Bounded                          // an interval with both ends
	NoLatest                         // not before Earliest; the slope is too uncertain for a latest time
	Undetermined                     // the limit is already inside the error of the line, and no latest time
	AlreadyOutside                   // the line is at or beyond the limit at the last reading
	MovingAway                       // the slope leads away from the limit, beyond its error
)

// String describes the status in words.
func (s Status) String() string {
	switch s {
	case TooFew:
		return "too few readings"
	case Bounded:
		return "interval"
	case NoLatest:
		return "not before, no latest"
	case Undetermined:
		return "limit inside the error of the line"
	case AlreadyOutside:
		return "already at or beyond the limit"
	case MovingAway:
		return "moving away from the limit"
	}
	return fmt.Sprintf("Status(%d)", int(s))
}

// When is a point in time that may not exist.
type When struct {
	At    float64 // in the unit of the times given; 0 when not Known
	Known bool
}

// Departure is what a drift tells about leaving a limit. No Point, Earliest or Latest lies before the last
// reading.
type Departure struct {
	Drift    Drift
	Status   Status
	Fit      float64 // line at the last reading
	FitSE    float64 // its standard error
	TQuant   float64 // quantile of Student's t used
	Point    When    // where the line meets the limit, if the slope leads there
	Earliest When
	Latest   When
	Crossed  When // with AlreadyOutside: when the line crossed the limit, if the slope leads outwards
}

// Query is what to ask of a series in [Crossing].
type Query struct {
	Limit float64
	Side  Side
	Noise Noise
	Conf  float64 // two-sided confidence of the interval, 0.9 for 90 %
}

// Crossing fits a drift to the values y at times t (see [FitDrift]) and returns when it meets the limit
// (see [Scratch.Departure]). Too few readings, or all at one time, give the status TooFew; input that is
// broken gives an error: ErrLength, ErrNotFinite, ErrArgument, ErrOverflow.
func Crossing(t, y []float64, q Query) (Departure, error) {
	return new(Scratch).Crossing(t, y, q)
}

// Crossing is the function [Crossing] in the working space s.
func (s *Scratch) Crossing(t, y []float64, q Query) (Departure, error) {
	if err := checkLimit(q.Limit, q.Side, q.Conf); err != nil {
		return Departure{}, err
	}
	d, err := s.FitDrift(t, y, q.Noise)
	if errors.Is(err, ErrTooFew) || errors.Is(err, ErrNoSpread) {
		return Departure{Status: TooFew}, nil
	}
	if err != nil {
		return Departure{}, err
	}
	return s.Departure(d, q.Limit, q.Side, q.Conf)
}

func checkLimit(limit float64, side Side, conf float64) error {
	if !usable(limit) || side.sign() == 0 {
		return fmt.Errorf("limit %v, side %d: %w", limit, side, ErrArgument)
	}
	return checkConf(conf)
}

// Departure returns when the drift d meets the limit: the future part of Fieller's set, all times t with
// |line(t) - limit| <= q*SD*sqrt(1/n + (t - mean)^2/Sxx). It has two ends only where the slope differs from
// zero at the confidence asked for; otherwise there is no latest time, and none is made up. A set with a gap
// (a slope that leads away, but not surely, from a limit already inside its error) is given from its first
// time on. How far ahead a time still means something is for the caller to judge. Errors: ErrArgument,
// ErrOverflow.
//
// Source: Fieller (1954), Journal of the Royal Statistical Society B 16.
func (s *Scratch) Departure(d Drift, limit float64, side Side, conf float64) (Departure, error) {
	if err := checkLimit(limit, side, conf); err != nil {
		return Departure{}, err
	}
	fit, se, ok := d.At(d.Last)
	if !ok {
		return Departure{}, fmt.Errorf("drift without a line: %w", ErrArgument)
	}
	r := Departure{Drift: d, Fit: fit, FitSE: se, TQuant: s.studentT(0.5+conf/2, d.DF)}
	f := newFieller(d, limit, r.TQuant)
	if !usable(f.slope*f.slope) || !usable(f.gap*f.gap) || f.unit <= 0 {
		return Departure{}, fmt.Errorf("distance to limit in standard errors: %w", ErrOverflow)
	}
	r.conclude(f, limit, side)
	return r, nil
}

// conclude sets the status and the times from Fieller's set.
func (r *Departure) conclude(f fieller, limit float64, side Side) {
	last := r.Drift.Last
	towards := side.sign()*r.Drift.Line.Slope > 0
	outside := side.sign()*(r.Fit-limit) >= 0
	var meets When
	if towards {
		meets = known(f.time(f.gap / f.slope))
	}
	switch {
	case outside:
		r.Status, r.Crossed = AlreadyOutside, meets
		return
	case f.bounded() && !towards:
		r.Status = MovingAway
		return
	}
	low, high := f.ends()
	r.Point = meets
	switch {
	case f.bounded():
		r.Status, r.Latest = Bounded, known(f.time(high))
		r.Earliest = known(max(f.time(low), last))
	case f.holds(f.place(last)):
		r.Status, r.Earliest = Undetermined, known(last)
	default:
		r.Status = NoLatest
		if e := f.time(high); e >= last {
			r.Earliest = known(e)
		}
	}
}

// known wraps a time, leaving out one too large to be used.
func known(t float64) When {
	if !usable(t) {
		return When{}
	}
	return When{At: t, Known: true}
}

// fieller is Fieller's set without units. With v = (t - mean)/unit it holds the v for which
// (slope*v - gap)^2 <= 1 + v^2.
type fieller struct {
	slope, gap float64 // slope and distance from the mean value to the limit, in quantiles of their error
	mean, unit float64
}

func newFieller(d Drift, limit, quantile float64) fieller {
	n, sxx := math.Sqrt(d.Line.Weight), math.Sqrt(d.Line.Sxx)
	err := quantile * d.SD
	return fieller{
		slope: d.Line.Slope * sxx / err,
		gap:   (limit - d.Line.MeanY) * n / err,
		mean:  d.Line.MeanT,
		unit:  sxx / n,
	}
}

func (f fieller) time(v float64) float64  { return f.mean + v*f.unit }
func (f fieller) place(t float64) float64 { return (t - f.mean) / f.unit }

// bounded reports whether the set is an interval: the slope differs from zero.
func (f fieller) bounded() bool { return math.Abs(f.slope) > 1 }

// holds reports whether v belongs to the set.
func (f fieller) holds(v float64) bool { return math.Abs(f.slope*v-f.gap) <= math.Hypot(1, v) }

// ends returns the roots of (slope^2-1)*v^2 - 2*slope*gap*v + gap^2-1, the smaller first. The set lies
// between them when it is bounded, else outside of them. Where there are none the set is everything, and
// the caller has asked holds before; both are zero then.
func (f fieller) ends() (low, high float64) {
	// Written so that a slope of exactly one error makes a minus zero, and the root it sends to infinity
	// falls on the side where the set ends.
	a, half, c := -(1-f.slope)*(1+f.slope), f.slope*f.gap, (f.gap-1)*(f.gap+1)
	disc := f.slope*f.slope + c
	if disc < 0 {
		return 0, 0
	}
	// Adding numbers of one sign loses no digits; the other root follows from the product c/a.
	big := half + math.Copysign(math.Sqrt(disc), half)
	if big == 0 {
		return 0, 0
	}
	v, w := big/a, c/big
	return min(v, w), max(v, w)
}
