package app

import (
	"fmt"
	"math"
	"slices"

	"sootline"
	"sootline/internal/listing"
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

// ownSpan is what was read at a point, and at those of its type.
type ownSpan struct{ own, alike *span }

// reads gives what was read at the point, and at the points of its type, of their own quantity.
func (t *taker) reads(p *sootline.Point) (own, alike *span) {
	if t.spans == nil {
		t.spans, t.own = map[string]*span{}, map[sootline.ID]ownSpan{}
		for _, other := range t.r.Points() {
			key := sootline.TypeKey(other.Type)
			if t.spans[key] == nil {
				t.spans[key] = &span{}
			}
			addReadings(t.spans[key], other)
		}
	}
	s, known := t.own[p.ID]
	if !known {
		key := sootline.TypeKey(p.Type)
		if t.spans[key] == nil {
			t.spans[key] = &span{}
		}
		s = ownSpan{&span{}, t.spans[key]}
		addReadings(s.own, p)
		t.own[p.ID] = s
	}
	return s.own, s.alike
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
func (t *taker) slip(p *sootline.Point, row *listing.ReadingRow) string {
	band, ok := t.band(p)
	for _, sample := range row.Samples {
		if math.Abs(sample) > 1e9 {
			return fmt.Sprintf("%v is no resting value", sample)
		}
		if !ok || sample <= *band.High+2*(*band.High-*band.Low) {
			continue
		}
		own, alike := t.reads(p)
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
func (t *taker) readNow(p *sootline.Point, samples []float64) {
	own, alike := t.reads(p)
	for _, v := range samples {
		own.add(v)
		alike.add(v)
	}
}

// weighReading counts what is outside its band or unlike what was read there before, and tells of what is far off.
func (t *taker) weighReading(o *TableOutcome, line int, p *sootline.Point, samples []float64) {
	const enough = 3 // values that make a history
	if band, ok := t.band(p); ok {
		own, _ := t.reads(p)
		for _, v := range samples {
			if v < *band.Low || v > *band.High {
				o.Outside++
			}
			if own.n >= enough && !own.holds(v, (*band.High-*band.Low)/4) {
				o.Unlike++
			}
		}
	}
	if !t.far(o, line, p, samples) {
		t.readNow(p, samples)
	}
}

// far tells of a reading far outside its band, which is taken, and reports whether it is.
func (t *taker) far(o *TableOutcome, line int, p *sootline.Point, samples []float64) bool {
	band, ok := t.band(p)
	if !ok || len(samples) == 0 {
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

func (t *taker) band(p *sootline.Point) (*sootline.Band, bool) {
	sheet := t.sheet(p.Type)
	if sheet == nil {
		return &sootline.Band{}, false
	}
	band := sheet.Band(p.Settings())
	return band, band.Complete()
}
