package app

import (
	"fmt"
	"math"
	"slices"

	"sootline"
)

// span is the lowest and highest value that was read.
type span struct {
	low, high float64
	n         int
}

func (s *span) add(v float64) {
	if s.n == 0 || v < s.low {
		s.low = v
	}
	if s.n == 0 || v > s.high {
		s.high = v
	}
	s.n++
}

// holds reports whether a value goes with those that were read, give or take half their spread, or the least that is
// given.
func (s *span) holds(v, least float64) bool {
	around := max((s.high-s.low)/2, least)
	return s.n > 0 && v >= s.low-around && v <= s.high+around
}

// pointFacts is what the rows of a point are held against. It is gathered once a point: each row asks for it several
// times, and finding it costs more than all else that is done about a row.
type pointFacts struct {
	sheet      *sootline.TypeSheet
	band       *sootline.Band // nil where not both of its ends are known
	own, alike *span          // what was read at the point, and at those of its type; see [taker.reads]
}

// factsOf gives what is known of a point.
func (t *taker) factsOf(one *answering) *pointFacts {
	if one.facts == nil {
		one.facts = t.gathered(one.point)
	}
	return one.facts
}

// gathered gives the same, also for a point that has answered to several numbers.
func (t *taker) gathered(p *sootline.Point) *pointFacts {
	f := t.about[p]
	if f == nil {
		f = &pointFacts{sheet: t.r.Sheet(p.Type)}
		t.about[p] = f
		if f.sheet == nil {
			return f
		}
		if band := f.sheet.Band(p.Settings()); band.Complete() {
			f.band = band
		}
	}
	return f
}

// reads gives what was read at the point, and at the points of its type, of their own quantity.
func (t *taker) reads(p *sootline.Point, f *pointFacts) (own, alike *span) {
	if f.own != nil {
		return f.own, f.alike
	}
	if t.spans == nil {
		t.spans = map[string]*span{}
		for _, other := range t.r.Points() {
			key := sootline.TypeKey(other.Type)
			if t.spans[key] == nil {
				t.spans[key] = &span{}
			}
			addReadings(t.spans[key], other)
		}
	}
	key := sootline.TypeKey(p.Type)
	if t.spans[key] == nil {
		t.spans[key] = &span{}
	}
	f.own, f.alike = &span{}, t.spans[key]
	addReadings(f.own, p)
	return f.own, f.alike
}

func addReadings(s *span, p *sootline.Point) {
	for _, r := range p.Readings {
		if r.Quantity == "" {
			for _, v := range r.Samples {
				s.add(v)
			}
		}
	}
}

// slip says why a reading looks mistyped: ten or a hundred times too large by what was read at the point before, or, where
// nothing was, at the others of its type. One that is merely far off is news, and is taken.
func (t *taker) slip(p *sootline.Point, f *pointFacts, samples []float64) string {
	band := f.band
	for _, sample := range samples {
		if math.Abs(sample) > 1e9 {
			return fmt.Sprintf("%v is no resting value", sample)
		}
		if band == nil || sample <= *band.High+2*(*band.High-*band.Low) {
			continue
		}
		own, alike := t.reads(p, f)
		before, whose := own, "were read there before"
		if own.n == 0 {
			before, whose = alike, "were read at others of its type"
		}
		for _, factor := range []float64{10, 100} {
			if less := sample / factor; before.holds(less, (*band.High-*band.Low)/8) && less >= *band.Low && less <= *band.High {
				return fmt.Sprintf("%v looks %v times too large: %v to %v %s; mend it, or have such values taken as they are", sample, factor, before.low, before.high, whose)
			}
		}
	}
	return ""
}

// readNow adds what this intake read at a point to what speaks for or against later rows.
func (t *taker) readNow(p *sootline.Point, f *pointFacts, samples []float64) {
	own, alike := t.reads(p, f)
	for _, v := range samples {
		own.add(v)
		alike.add(v)
	}
}

// weighReading counts what is outside its band or unlike what was read there before, and tells of what is far off.
func (t *taker) weighReading(o *TableOutcome, line int, p *sootline.Point, f *pointFacts, samples []float64) {
	const enough = 3 // values that make a history
	if band := f.band; band != nil {
		own, _ := t.reads(p, f)
		for _, v := range samples {
			if v < *band.Low || v > *band.High {
				o.Outside++
			}
			if own.n >= enough && !own.holds(v, (*band.High-*band.Low)/4) {
				o.Unlike++
			}
		}
	}
	if !far(o, line, p, f.band, samples) {
		t.readNow(p, f, samples)
	}
}

// far tells of a reading far outside its band, which is taken, and reports whether it is.
func far(o *TableOutcome, line int, p *sootline.Point, band *sootline.Band, samples []float64) bool {
	if band == nil || len(samples) == 0 {
		return false
	}
	width := *band.High - *band.Low
	least := *band.Low - width
	if *band.Low > 0 {
		least = max(least, *band.Low/2) // below that a mark may be lost, or nothing was read at all
	}
	if low, high := slices.Min(samples), slices.Max(samples); low >= least && high <= *band.High+width {
		return false
	}
	o.Far++
	o.remark(line, fmt.Sprintf("%v at %s is far outside the band of %s, %v to %v: taken as it is; look at it", samples[0], p.Ref(), p.Type, *band.Low, *band.High))
	return true
}
