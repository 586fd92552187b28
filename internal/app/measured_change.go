package app

import (
	"fmt"
	"math"

	"sootline"
	"sootline/internal/circuit"
)

// trace is one figure through the measurings of a loop.
type trace struct {
	what, unit string
	cable      bool // it is of the cable's copper
	of         func(*sootline.Measured) *float64
	other      func(*sootline.Measured) *float64 // of the other core; nil: there is none
}

// earthUnit is what insulation is told in.
const earthUnit = "Mohm"

func traces() []trace {
	plus := func(m *sootline.Measured) *float64 { return m.PlusOhms }
	minus := func(m *sootline.Measured) *float64 { return m.MinusOhms }
	return []trace{
		{"the plus core's ohms", "ohm", true, plus, minus},
		{"the minus core's ohms", "ohm", true, minus, plus},
		{"the plus core's insulation to earth", earthUnit, false, func(m *sootline.Measured) *float64 { return m.PlusEarth }, nil},
		{"the minus core's insulation to earth", earthUnit, false, func(m *sootline.Measured) *float64 { return m.MinusEarth }, nil},
		{"the volts at OUT", "V", false, func(m *sootline.Measured) *float64 { return m.OutVolts }, nil},
		{"the volts at the far end", "V", false, func(m *sootline.Measured) *float64 { return m.FarVolts }, nil},
		{"the current at rest", "mA", false, func(m *sootline.Measured) *float64 { return m.RestMA }, nil},
	}
}

// step is a figure at two measurings.
type step struct {
	trace
	from, to         *sootline.Measuring
	fromDay, toDay   string
	was, is          float64
	meter            float64 // both readings may be off by as much together
	biggest, between string  // where there are more than two: the largest step of all, and its days
}

// changes says what became of each figure since it was first measured.
func (m *LoopMeasured) changes() {
	for _, t := range traces() {
		if s := m.step(t); s != nil {
			m.Changes = append(m.Changes, s.sentence())
		}
	}
}

// step gives the first and the last measuring of a figure; nil where it was measured less than twice.
func (m *LoopMeasured) step(t trace) *step {
	var at []int
	for i := range m.All {
		if t.of(&m.All[i].Measured) != nil {
			at = append(at, i)
		}
	}
	if len(at) < 2 {
		return nil
	}
	value := func(i int) float64 { return *t.of(&m.All[at[i]].Measured) }
	first, last := at[0], at[len(at)-1]
	s := &step{trace: t, from: &m.All[first], to: &m.All[last], fromDay: m.Days[first], toDay: m.Days[last], was: value(0), is: value(len(at) - 1)}
	s.meter = s.error(s.from, s.was) + s.error(s.to, s.is)
	most := 0.0
	for i := 1; i < len(at) && len(at) > 2; i++ {
		if by := value(i) - value(i-1); math.Abs(by) > math.Abs(most) {
			most = by
			s.biggest, s.between = fmt.Sprintf("%+.3g %s", by, t.unit), fmt.Sprintf("between %s and %s", m.Days[at[i-1]], m.Days[at[i]])
		}
	}
	return s
}

// error is how far a reading may be off.
func (s *step) error(in *sootline.Measuring, reading float64) float64 {
	if s.unit == earthUnit {
		return reading * testerPercent / 100
	}
	return meterOf(&in.Measured)(reading)
}

// sentence says what changed, and what that can and cannot be.
func (s *step) sentence() string {
	by := s.is - s.was
	verb := "rose"
	if by < 0 {
		verb = "fell"
	}
	sum := fmt.Sprintf("%s - %s = %+.3g %s", round3(s.is), round3(s.was), by, s.unit)
	if math.Abs(by) <= s.meter {
		return fmt.Sprintf("%s: as on %s: %s, and the two readings may be off by %s together", s.what, s.fromDay, sum, round3(s.meter))
	}
	text := fmt.Sprintf("%s %s by %s %s since %s (%s; the two readings may be off by %s together)", s.what, verb, round3(math.Abs(by)), s.unit, s.fromDay, sum, round3(s.meter))
	if s.biggest != "" {
		text += fmt.Sprintf(", the largest step %s %s", s.biggest, s.between)
	}
	if why := s.cause(by); why != "" {
		text += ": " + why
	}
	return text
}

// cause says what the copper of a core tells by its change; empty for what tells nothing of its cause.
func (s *step) cause(by float64) string {
	switch {
	case !s.cable:
		return ""
	case s.from.On != s.to.On:
		return "what is written of the cable changed in between, so the two are not of the same cable"
	case by < 0:
		return s.fallen(by)
	}
	return s.risen(by)
}

// contactSays is what copper that is neither longer nor warmer tells by more ohms.
const contactSays = "a contact (a terminal, joint or isolator) or a damaged core, not the cable's warmth, as long as no cable was added that nobody wrote down"

// risen tells a contact from warmth: by the temperatures where both were measured, else by the other core, which lies in the
// same cable and is as warm, else by how much warmth it would want.
func (s *step) risen(by float64) string {
	if share, says, known := s.warmed(); known {
		left := s.is - s.was*share
		if left > s.meter {
			return fmt.Sprintf(contactSays+": %s, which makes %s ohm of %s, and %s ohm are left", says, round3(s.was*share), round3(s.was), round3(left))
		}
		return fmt.Sprintf("the cable's warmth can explain it: %s, which makes %s ohm of %s", says, round3(s.was*share), round3(s.was))
	}
	if most := circuit.Warming(circuit.Coldest, circuit.Hottest); s.is-s.meter > s.was*most {
		return fmt.Sprintf(contactSays+": even from %g to %g C it would be %.3g times, %s ohm of %s", float64(circuit.Coldest), float64(circuit.Hottest), most, round3(s.was*most), round3(s.was))
	}
	return fmt.Sprintf("a contact, a damaged core or the cable's warmth, which is not told apart: from 20 C warmth would have to be %.0f K, %s / (%s x 0.00393); measure the cable's temperature, or the other core, each time",
		s.kelvin(), round3(by), round3(s.was))
}

// kelvin is the warmth that would make the change, from 20 C.
func (s *step) kelvin() float64 {
	if s.was <= 0 {
		return math.Inf(1)
	}
	return (s.is/s.was - 1) / (circuit.Warming(20, 21) - 1)
}

// warmed is the factor by which warmth made the core's ohms grow at the most, and how that is known.
func (s *step) warmed() (share float64, says string, known bool) {
	from, to := &s.from.Measured, &s.to.Measured
	if from.Celsius != nil && to.Celsius != nil {
		low, high := circuit.Celsius(*from.Celsius-cableKelvin), circuit.Celsius(*to.Celsius+cableKelvin)
		return circuit.Warming(low, high), fmt.Sprintf("it went from %g to %g C, each give or take %d K, and so at most by %.3g times", *from.Celsius, *to.Celsius, cableKelvin, circuit.Warming(low, high)), true
	}
	was, is := s.other(from), s.other(to)
	if was == nil || is == nil || *was <= meterOf(from)(*was) {
		return 0, "", false
	}
	share = (*is + meterOf(to)(*is)) / (*was - meterOf(from)(*was))
	if share*s.was+s.meter >= s.is && (*is-*was) > meterOf(to)(*is)+meterOf(from)(*was) {
		return 0, "", false // the other core rose as well: warmth and two contacts look alike
	}
	return share, fmt.Sprintf("the other core lies in the same cable and went from %s to %s ohm, so at most by %.3g times with the meter", round3(*was), round3(*is), share), true
}

// fallen says what a fall can be.
func (s *step) fallen(by float64) string {
	kelvin := -s.kelvin()
	if from, to := s.from.Celsius, s.to.Celsius; from != nil && to != nil {
		least := circuit.Warming(circuit.Celsius(*from+cableKelvin), circuit.Celsius(*to-cableKelvin)) * s.was
		if s.is+s.meter < least {
			return fmt.Sprintf("not the cable's cold: from %g to %g C, each give or take %d K, leaves at least %s ohm; a contact was mended, or the cable is shorter than it was", *from, *to, cableKelvin, round3(least))
		}
		return fmt.Sprintf("the cable's cold can explain it: from %g to %g C, each give or take %d K, leaves at least %s ohm", *from, *to, cableKelvin, round3(least))
	}
	return fmt.Sprintf("a mended contact, a shorter cable or the cable's cold, which is not told apart: from 20 C cold would have to be %.0f K, %s / (%s x 0.00393)", kelvin, round3(-by), round3(s.was))
}
