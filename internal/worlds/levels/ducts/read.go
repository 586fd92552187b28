package ducts

import (
	"math"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// read reads a point and writes down what was shown, or something else. It gives the value that was written,
// on the scale with which the log begins.
func (s *site) read(v *visit, i int, at time.Time) float64 {
	p := s.points[i]
	shown := s.look(v, p, at)
	written := shown
	p.lastRead, p.lastWrong = at, false
	switch {
	case s.chance(s.plan.slips):
		written = []float64{s.mistype(shown[0], p.kind.step)}
		s.wrong(p, at, levels.Slip, written, shown)
	case i > 0 && s.points[i-1].fitted < v.week && s.chance(s.plan.neighbours):
		written = s.look(v, s.points[i-1], at) // the line above was read off
		s.wrong(p, at, levels.Neighbour, written, shown)
	default:
		s.writeRead(p, at, shown)
	}
	if len(p.kind.sheet.Others) > 0 && s.chance(0.6) {
		used := math.Round(100 * min(1, (p.chamber.loose+p.chamber.caked)/p.kind.reserve))
		s.book.Write(levels.Line{At: at, By: technician, Point: p.id, Body: sootline.Read{Samples: []float64{used}, Quantity: sootline.CompensationUsed}})
	}
	return s.unscaled(p.kind, at, written[0])
}

// look gives the samples of a look at a point.
func (s *site) look(v *visit, p *point, at time.Time) []float64 {
	samples := make([]float64, 1+s.IntN(s.plan.samples))
	k := p.kind
	common := k.noise * s.heavy()
	if p.noisy && s.chance(0.5) {
		common *= s.between(4, 9)
	}
	for i := range samples {
		value := p.level(at)
		if !p.stuck {
			value += common + v.offset*k.room() + 0.4*k.noise*s.NormFloat64()
		}
		value = min(k.top, max(k.bottom, value))
		samples[i] = quantised(s.scaled(k, at, value), k.step)
	}
	return samples
}

// wrong writes a value that was not shown. Some are taken back at once, and some stand beside the right one.
func (s *site) wrong(p *point, at time.Time, kind string, written, shown []float64) {
	if math.Abs(written[0]-shown[0]) < 4*p.kind.noise*p.kind.times() {
		s.writeRead(p, at, written) // nobody could tell it from noise
		return
	}
	id := s.writeRead(p, at, written)
	noticed := s.Float64()
	p.happened(kind, at, noticed < 0.15)
	if noticed < 0.15 {
		s.book.Write(levels.Line{At: at.Add(4 * time.Minute), By: technician, Body: sootline.Withdrawn{Entry: id, Why: "mistyped"}, Point: p.id})
	}
	if noticed < 0.35 {
		s.writeRead(p, at.Add(5*time.Minute), shown)
		return
	}
	p.lastWrong = true
}

func (s *site) writeRead(p *point, at time.Time, samples []float64) sootline.ID {
	return s.book.Write(levels.Line{At: at, By: technician, Point: p.id, Body: sootline.Read{Samples: samples}})
}

// mistype gives what a hasty finger makes of a value.
func (s *site) mistype(value, step float64) float64 {
	digits := []byte(strconv.FormatFloat(value, 'f', -1, 64))
	at := s.IntN(len(digits))
	switch s.IntN(4) {
	case 0:
		return value * 10
	case 1: // two keys in the wrong order
		if len(digits) > 1 && at > 0 && digits[at] != '.' && digits[at-1] != '.' {
			digits[at], digits[at-1] = digits[at-1], digits[at]
		}
	case 2: // a key too few
		if len(digits) > 1 && digits[at] != '.' {
			digits = append(digits[:at:at], digits[at+1:]...)
		}
	default: // the key beside
		if digits[at] != '.' {
			digits[at] = '0' + (digits[at]-'0'+byte(1+s.IntN(8)))%10
		}
	}
	typed, err := strconv.ParseFloat(string(digits), 64)
	if err != nil {
		return value
	}
	return quantised(typed, step)
}

// quantised gives a value in whole steps, with no more digits than the step has.
func quantised(value, step float64) float64 {
	return math.Round(value/step) / math.Round(1/step)
}
