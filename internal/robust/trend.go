package robust

import (
	"fmt"
	"math"
)

// SenLine is a line through a series by medians of slopes, as [TheilSen] finds it.
type SenLine struct {
	Slope    float64  // median slope over all pairs with different times, per unit of time
	Joint    float64  // intercept: median of y - Slope*t, so that half the values lie on each side
	Separate float64  // intercept: median of y less Slope times median of t
	Pairs    int64    // slopes the median was taken over
	Interval Interval // for Slope
}

// At returns the line's value at time t with the joint intercept.
func (l SenLine) At(t float64) float64 { return l.Joint + l.Slope*t }

// Interval is a confidence interval, or the reason why there is none.
type Interval struct {
	Low, High float64 // Low < High when State is Given, else both zero
	State     IntervalState
}

// IntervalState says whether an interval could be given.
type IntervalState int

// The states of an interval.
const (
	NotEnough IntervalState = iota // too few pairs: its ends would lie beyond the extreme slopes
	AllTied                        // so many equal slopes that it would have no width
	Given
)

// String describes the state in words.
func (s IntervalState) String() string {
	switch s {
	case NotEnough:
		return "not enough pairs for this confidence"
	case AllTied:
		return "too many equal slopes"
	case Given:
		return "given"
	}
	return fmt.Sprintf("IntervalState(%d)", int(s))
}

// TheilSen fits a line to the values y at times t by the median of the slopes of all pairs, with Sen's
// interval for the slope at confidence conf (0.9 for 90 %). Pairs with equal times are skipped; pairs with
// equal values count as slope zero. The order of the input does not matter.
//
// The interval follows Gilbert (1987): its ends are the slopes at ranks (N-C)/2 and (N+C)/2+1, C =
// z*sqrt(VarS), interpolated between neighbouring ranks and never clamped. Up to 1000 values all pairs are
// listed, O(n^2); beyond that O(n log n) time and O(n) memory.
// Errors: ErrLength, ErrNotFinite, ErrTooFew (below 2), ErrNoSpread, ErrArgument, ErrOverflow.
//
// Sources: Theil (1950), Sen (1968), Journal of the American Statistical Association 63; Gilbert (1987),
// Statistical Methods for Environmental Pollution Monitoring, pp. 217-219.
func TheilSen(t, y []float64, conf float64) (SenLine, error) {
	return new(Scratch).TheilSen(t, y, conf)
}

// TheilSen is the function [TheilSen] in the working space s.
func (s *Scratch) TheilSen(t, y []float64, conf float64) (SenLine, error) {
	if err := checkConf(conf); err != nil {
		return SenLine{}, err
	}
	if err := s.load(t, y); err != nil {
		return SenLine{}, err
	}
	c := s.tally()
	n := float64(c.slopes)
	half := normalQuantile(conf) * math.Sqrt(c.varS)
	low, high := (n-half)/2, (n+half)/2+1
	line := SenLine{Pairs: c.slopes}
	given := low >= 1 && high <= n
	if !given {
		low, high = (n+1)/2, (n+1)/2
	}
	slopes := s.slopesAt([3]float64{low, (n + 1) / 2, high})
	line.Slope = slopes[1]
	if given {
		line.Interval = interval(slopes[0], slopes[2])
	}
	line.Joint = s.jointIntercept(line.Slope)
	line.Separate = s.separateIntercept(line.Slope)
	if err := line.check(); err != nil {
		return SenLine{}, err
	}
	return line, nil
}

// interval is [low, high], unless that has no width.
func interval(low, high float64) Interval {
	if low < high {
		return Interval{Low: low, High: high, State: Given}
	}
	return Interval{State: AllTied}
}

// check refuses a line that left the range of usable numbers on the way.
func (l SenLine) check() error {
	for _, v := range [...]float64{l.Slope, l.Joint, l.Separate, l.Interval.Low, l.Interval.High} {
		if !usable(v) {
			return fmt.Errorf("line by medians: %w", ErrOverflow)
		}
	}
	return nil
}

// jointIntercept is the median of y - slope*t over the loaded series.
func (s *Scratch) jointIntercept(slope float64) float64 {
	s.work = resize(s.work, len(s.points))
	for i, p := range s.points {
		s.work[i] = p.y - slope*p.t
	}
	return median(s.work)
}

// separateIntercept is median(y) - slope*median(t). The loaded series is in order of time, and tally left
// the values in ascending order.
func (s *Scratch) separateIntercept(slope float64) float64 {
	i, j := (len(s.points)-1)/2, len(s.points)/2
	return between(s.values[i], s.values[j], 0.5) - slope*between(s.points[i].t, s.points[j].t, 0.5)
}

// allPairsUpTo is the longest series whose slopes are listed one by one: half a million slopes, 4 MB.
const allPairsUpTo = 1000

// slopesAt returns the slopes of the loaded series at three ascending one-based fractional ranks among all
// pairs, the middle one being the median.
func (s *Scratch) slopesAt(ranks [3]float64) [3]float64 {
	if len(s.points) > allPairsUpTo {
		return s.searchSlopes(ranks)
	}
	s.listSlopes()
	var at [3]float64
	at[1] = atRank(s.slopes, ranks[1])
	// The median split the slopes: the other two are looked for on their own side only.
	k := int(ranks[1])
	at[0], at[2] = at[1], at[1]
	if ranks[0] < ranks[1] {
		at[0] = atRank(s.slopes[:k], ranks[0])
	}
	if ranks[2] > ranks[1] {
		at[2] = atRank(s.slopes[k-1:], ranks[2]-float64(k-1))
	}
	return at
}

// listSlopes puts the slopes of all pairs with different times into s.slopes.
func (s *Scratch) listSlopes() {
	s.slopes = s.slopes[:0]
	for i, a := range s.points {
		for _, b := range s.points[i+1:] {
			if dt := b.t - a.t; dt > 0 {
				s.slopes = append(s.slopes, (b.y-a.y)/dt)
			}
		}
	}
}
