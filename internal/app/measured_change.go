package app

import (
	"fmt"
	"math"
	"strings"

	"sootline"
	"sootline/internal/circuit"
)

// trace is one figure through the measurings of a loop.
type trace struct {
	what, unit string
	cable      bool // it is of the cable's copper
	of         func(*sootline.Measured) *float64
	other      func(*sootline.Measured) *float64 // of the other core; nil: there is none
	over       func(*sootline.Measured) bool     // the meter was over its range; nil: it cannot be
}

// exceeds reports whether a reading was over the range of its meter.
func (t *trace) exceeds(m *sootline.Measured) bool { return t.over != nil && t.over(m) }

// earthUnit is what insulation is told in.
const earthUnit = "Mohm"

func traces() []trace {
	plus := func(m *sootline.Measured) *float64 { return m.PlusOhms }
	minus := func(m *sootline.Measured) *float64 { return m.MinusOhms }
	return []trace{
		{"the plus core's ohms", "ohm", true, plus, minus, func(m *sootline.Measured) bool { return m.PlusOver }},
		{"the minus core's ohms", "ohm", true, minus, plus, func(m *sootline.Measured) bool { return m.MinusOver }},
		{"the plus core's insulation to earth", earthUnit, false, func(m *sootline.Measured) *float64 { return m.PlusEarth }, nil, func(m *sootline.Measured) bool { return m.PlusEarthOver }},
		{"the minus core's insulation to earth", earthUnit, false, func(m *sootline.Measured) *float64 { return m.MinusEarth }, nil, func(m *sootline.Measured) bool { return m.MinusEarthOver }},
		{"the volts at OUT", "V", false, func(m *sootline.Measured) *float64 { return m.OutVolts }, nil, nil},
		{"the volts at the far end", "V", false, func(m *sootline.Measured) *float64 { return m.FarVolts }, nil, nil},
		{"the current at rest", "mA", false, func(m *sootline.Measured) *float64 { return m.RestMA }, nil, nil},
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
		at, text := m.comparable(t)
		if text != "" {
			m.Changes = append(m.Changes, text)
		}
		if s := m.step(t, at); s != nil {
			m.Changes = append(m.Changes, s.sentence())
		}
	}
}

// comparable lists the measurings of a figure that may be held against the last one. Insulation that was tested by other
// volts is none, and that is said.
func (m *LoopMeasured) comparable(t trace) (at []int, text string) {
	var other []string
	last := m.last(t)
	for i := range m.All[:last+1] {
		one := &m.All[i].Measured
		if t.of(one) == nil {
			continue
		}
		if by, is := one.TestVolts, m.All[last].TestVolts; t.unit == earthUnit && by != nil && is != nil && *by != *is {
			other = append(other, fmt.Sprintf("on %s by %g V", m.Days[i], *by))
			continue
		}
		at = append(at, i)
	}
	if len(other) > 0 {
		text = fmt.Sprintf("%s was tested %s, and on %s by %g V: at other volts the same cable has other insulation, so they are not held against each other", t.what, strings.Join(other, ", "), m.Days[last], *m.All[last].TestVolts)
	}
	return at, text
}

// last is the last measuring of a figure; -1: there is none.
func (m *LoopMeasured) last(t trace) int {
	for i := len(m.All) - 1; i >= 0; i-- {
		if t.of(&m.All[i].Measured) != nil {
			return i
		}
	}
	return -1
}

// step gives the first and the last measuring of a figure, of some; nil where those are less than two.
func (m *LoopMeasured) step(t trace, at []int) *step {
	if len(at) < 2 {
		return nil
	}
	value := func(i int) float64 { return *t.of(&m.All[at[i]].Measured) }
	first, last := at[0], at[len(at)-1]
	s := &step{trace: t, from: &m.All[first], to: &m.All[last], fromDay: m.Days[first], toDay: m.Days[last], was: value(0), is: value(len(at) - 1)}
	s.meter = s.error(s.from, s.was) + s.error(s.to, s.is)
	most := 0.0
	for i := 1; i < len(at) && len(at) > 2; i++ {
		if t.exceeds(&m.All[at[i-1]].Measured) || t.exceeds(&m.All[at[i]].Measured) {
			continue // how large that step was is not known
		}
		if by := value(i) - value(i-1); math.Abs(by) > math.Abs(most) {
			most = by
			s.biggest, s.between = withSign(by)+" "+t.unit, m.between(at[i-1], at[i])
		}
	}
	return s
}

// between names the days of two measurings.
func (m *LoopMeasured) between(from, to int) string {
	if m.Days[from] == m.Days[to] {
		return "on " + m.Days[to]
	}
	return fmt.Sprintf("between %s and %s", m.Days[from], m.Days[to])
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
	sum := fmt.Sprintf("%s - %s = %s %s", round3(s.is), round3(s.was), withSign(by), s.unit)
	if text, ends := s.overRange(by, verb); ends {
		return text
	}
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

// overRange says what changed where the meter was over its range at the first or the last, and whether that is all.
func (s *step) overRange(by float64, verb string) (text string, ends bool) {
	was, is := s.exceeds(&s.from.Measured), s.exceeds(&s.to.Measured)
	switch {
	case !was && !is:
		return "", false
	case was && is, was && by > -s.meter, is && by < s.meter:
		return fmt.Sprintf("%s: %s%s %s on %s and %s%s %s on %s, which is not held against each other: the meter was over its range", s.what, overSaid(was), round3(s.was), s.unit, s.fromDay, overSaid(is), round3(s.is), s.unit, s.toDay), true
	}
	text = fmt.Sprintf("%s %s by at least %s %s since %s, from %s%s to %s%s: the meter was over its range", s.what, verb, round3(math.Abs(by)), s.unit, s.fromDay, overSaid(was), round3(s.was), overSaid(is), round3(s.is))
	if is && s.broken() {
		text += "; " + brokenSays
	}
	return text, true
}

// brokenSays is what a core tells that lets next to nothing through.
const brokenSays = "a break of the core, or nearly one"

// broken reports whether a core has more ohms than any contact that carries a loop.
func (s *step) broken() bool { return s.cable && s.is-s.was >= brokenOhms }

// cause says what the copper of a core tells by its change; empty for what tells nothing of its cause.
func (s *step) cause(by float64) string {
	switch {
	case !s.cable:
		return ""
	case s.from.On != s.to.On:
		return "what is written of the cable changed in between, so the two are not of the same cable"
	case by < 0:
		return s.fallen(by)
	case s.broken():
		return brokenSays
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
		return fmt.Sprintf(contactSays+": even from %g to %g C it would be %s times, %s ohm of %s", float64(circuit.Coldest), float64(circuit.Hottest), sootline.Significant(most, 3), round3(s.was*most), round3(s.was))
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
		return circuit.Warming(low, high), fmt.Sprintf("it went from %g to %g C, each give or take %d K, and so at most by %s times", *from.Celsius, *to.Celsius, cableKelvin, sootline.Significant(circuit.Warming(low, high), 3)), true
	}
	was, is := s.other(from), s.other(to)
	if was == nil || is == nil || from.PlusOver || from.MinusOver || to.PlusOver || to.MinusOver || *was <= meterOf(from)(*was) {
		return 0, "", false
	}
	share = (*is + meterOf(to)(*is)) / (*was - meterOf(from)(*was))
	if share*s.was+s.meter >= s.is && (*is-*was) > meterOf(to)(*is)+meterOf(from)(*was) {
		return 0, "", false // the other core rose as well: warmth and two contacts look alike
	}
	return share, fmt.Sprintf("the other core lies in the same cable and went from %s to %s ohm, so at most by %s times with the meter", round3(*was), round3(*is), sootline.Significant(share, 3)), true
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
