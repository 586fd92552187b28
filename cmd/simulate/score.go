package main

import (
	"math"
	"slices"

	"sootline/internal/robust"
)

// score is how a method did on many series.
type score struct {
	n       int
	covered int       // the true day lies in the interval
	before  int       // the true day comes before the earliest day, or no day was given at all
	open    int       // no latest day
	widths  []float64 // years from the earliest to the latest day, infinite without a latest
	biases  []float64 // error of the likely day as a share of the time left, infinite without one
}

// add counts what was said of a series whose true day is known. A line that is
// beyond the limit already says "now"; a method that says nothing leaves
// everything open.
func (s *score) add(said robust.Departure, truth, last float64) {
	earliest, latest, likely := math.Inf(1), math.Inf(1), math.Inf(1)
	switch said.Status {
	case robust.AlreadyOutside:
		earliest, latest, likely = last, last, last
	case robust.TooFew, 0:
		earliest = last
	case robust.MovingAway:
		latest = last
	}
	if said.Earliest.Known {
		earliest = said.Earliest.At
	}
	if said.Latest.Known {
		latest = said.Latest.At
	}
	if said.Point.Known {
		likely = said.Point.At
	}
	covered, before := earliest <= truth && truth <= latest, earliest > truth
	s.n++
	s.covered += count(covered)
	s.before += count(before)
	s.open += count(math.IsInf(latest, 1))
	s.widths = append(s.widths, max(0, latest-min(earliest, latest)))
	s.biases = append(s.biases, (likely-truth)/(truth-last))
}

func count(so bool) int {
	if so {
		return 1
	}
	return 0
}

func (s *score) coverage() float64 { return share(s.covered, s.n) }
func (s *score) early() float64    { return share(s.before, s.n) }
func (s *score) openEnded() float64 {
	return share(s.open, s.n)
}

// width is the median one, infinite where most have no latest day.
func (s *score) width() float64 { return median(s.widths) }
func (s *score) bias() float64  { return median(s.biases) }

func share(part, all int) float64 {
	if all == 0 {
		return math.NaN()
	}
	return float64(part) / float64(all)
}

// median is the upper one of an even count; infinite values count as such.
func median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(x))
	return sorted[len(sorted)/2]
}

// bothDated gives the ratio of the median widths over the series to which both
// methods give a latest day, and the number of those.
func bothDated(a, b *score) (ratio float64, n int) {
	var x, y []float64
	for i := range a.widths {
		if !math.IsInf(a.widths[i], 1) && !math.IsInf(b.widths[i], 1) {
			x, y = append(x, a.widths[i]), append(y, b.widths[i])
		}
	}
	return median(x) / median(y), len(x)
}
