package instruments

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"time"

	"sootline"
)

// habits are what a technician does, each as a chance at a point.
type habits struct {
	cleanAt   float64 // in rooms: one that shows more is cleaned
	care      float64 // chance that it is
	routine   float64 // chance that one is cleaned that shows nothing
	half      float64 // of cleanings, that half of the dirt stays
	late      float64 // of cleanings: noted later, for the right day
	wrongDay  float64 // of cleanings: noted for another day
	never     float64 // of cleanings: not noted
	slip      float64 // of readings
	neighbour float64 // of readings: the value of the one beside it is written
	copied    float64 // of readings: the value of the visit before is written
	stretch   float64 // of visits: a whole stretch of them is copied
	again     float64 // of cleanings: read again after it
}

// technician is one of those who come.
type technician struct {
	name string
	habits
}

// newTechnician draws one about the habits of the crew: nobody is the mean.
func newTechnician(r *rand.Rand, n int, crew habits) technician {
	t := technician{fmt.Sprintf("technician %d", n+1), crew}
	own := math.Exp(0.5 * r.NormFloat64())
	for _, chance := range []*float64{&t.half, &t.late, &t.wrongDay, &t.never, &t.slip, &t.neighbour, &t.copied, &t.stretch} {
		*chance = math.Min(0.9, *chance*own)
	}
	t.care = math.Min(0.9, t.care*(0.1+r.Float64())) // some hardly look at values: from memory
	t.cleanAt = math.Max(0.6, t.cleanAt+0.06*r.NormFloat64())
	return t
}

// noting is how a cleaning got into the log.
type noting struct {
	day   bool
	at    time.Time
	noted time.Time
	never bool
}

// notes draws how a cleaning at an instant is noted.
func (t *technician) notes(r *rand.Rand, at time.Time) noting {
	u := r.Float64()
	later := at.AddDate(0, 0, 8+r.IntN(120))
	switch {
	case u < t.never:
		return noting{never: true}
	case u < t.never+t.late:
		return noting{day: true, at: noon(at), noted: later}
	case u < t.never+t.late+t.wrongDay:
		return noting{day: true, at: noon(at.AddDate(0, 0, wrongBy(r))), noted: at.AddDate(0, 0, 160+r.IntN(60))}
	}
	return noting{at: at, noted: at}
}

// wrongBy draws by how many days a day is wrong: mostly it is too late.
func wrongBy(r *rand.Rand) int {
	by := 15 + r.IntN(140)
	if r.Float64() < 0.35 {
		return -by
	}
	return by
}

// slip draws a wrong way to write a value that was shown to so many decimals. It may come out the same, as
// where two equal digits change places.
func slip(r *rand.Rand, value float64, decimals int) float64 {
	text := strconv.FormatFloat(math.Abs(value), 'f', decimals, 64)
	digits := []byte(strings.ReplaceAll(text, ".", ""))
	at := r.IntN(len(digits))
	switch r.IntN(5) {
	case 0: // ten times, or a tenth
		return value * []float64{10, 0.1}[r.IntN(2)]
	case 1: // two digits change places
		if len(digits) > 1 {
			at = r.IntN(len(digits) - 1)
			digits[at], digits[at+1] = digits[at+1], digits[at]
		}
	case 2: // a digit is left out
		if len(digits) > 1 {
			digits = append(digits[:at:at], digits[at+1:]...)
		}
	default: // the key beside it
		digits[at] = '0' + (digits[at]-'0'+byte(1+8*r.IntN(2)))%10
	}
	whole, err := strconv.ParseFloat(string(digits), 64)
	if err != nil {
		return value
	}
	return math.Copysign(whole/math.Pow10(decimals), value)
}

// instrument is what values are read with.
type instrument struct {
	name   string
	bad    bool    // it is far off
	offset float64 // in rooms of the type's way from rest to limit, whatever its direction
	gain   float64 // of the value, above 1 or below
	coarse float64 // it rounds to this share of the way; 0: as the type shows
}

// newInstrument draws one. That handsets of one kind differ by some hundredths is from memory.
func newInstrument(r *rand.Rand, n int, p *plan) instrument {
	i := instrument{name: fmt.Sprintf("handset %d", n+1), coarse: p.coarse}
	i.offset = p.offsets * r.NormFloat64()
	i.gain = 1 + p.gains*r.NormFloat64()
	if n > 0 && n == p.instruments-1 && p.badOne != 0 {
		i.name, i.bad, i.offset = "panel interface", true, p.badOne*[]float64{-1, 1}[r.IntN(2)]
	}
	return i
}

// shift is by how many rooms it moves what a type shows at rest.
func (i *instrument) shift(s *scale, to rescaling) float64 {
	rest := to.of(s.rest)
	return i.offset + (i.gain-1)*rest/(to.gain*math.Abs(s.span()))
}

// reads gives what it makes of a value on the scale that the type shows.
func (i *instrument) reads(value float64, s *scale, to rescaling) float64 {
	way := to.gain * math.Abs(s.span())
	step := s.step
	if i.coarse*way > step {
		step = math.Max(s.step, math.Round(i.coarse*way/s.step)*s.step)
	}
	shown := math.Round((value*i.gain+i.offset*way)/step) * step
	return tidy(math.Max(0, shown), decimals(s.step))
}

// decimals is how many are needed to write a step.
func decimals(step float64) int { return int(math.Max(0, math.Round(-math.Log10(step)))) }

// tidy takes away what binary fractions leave behind the last decimal.
func tidy(value float64, decimals int) float64 {
	unit := math.Pow10(decimals)
	return math.Round(value*unit) / unit
}

func noon(at time.Time) time.Time {
	y, m, d := at.UTC().Date()
	return time.Date(y, m, d, sootline.Noon, 0, 0, 0, time.UTC)
}
