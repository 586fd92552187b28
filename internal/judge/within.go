package judge

import (
	"fmt"
	"math"

	"sootline/internal/robust"
)

// vonNeumann holds the 1 % and 99 % points of the von Neumann ratio of n
// independent normal values: mean squared difference of neighbours over the
// variance.
type vonNeumann struct {
	n         int
	low, high float64
}

// ratioPoints lists them for some counts of samples; a count between two takes
// the line before it, whose points lie further out.
//
// Source: our own simulation, 60,000 runs a line; the ratio itself by von Neumann
// (1941), Annals of Mathematical Statistics 12.
func ratioPoints() [8]vonNeumann {
	return [...]vonNeumann{
		{5, 0.538, 3.455},
		{6, 0.562, 3.438},
		{8, 0.668, 3.338},
		{10, 0.748, 3.240},
		{12, 0.845, 3.177},
		{20, 1.039, 2.967},
		{30, 1.191, 2.803},
		{60, 1.409, 2.582},
	}
}

// findCourse says how the samples of the latest reading follow one another.
// Samples that differ by less than the noise of whole visits do no harm, and
// those of few whole numbers follow patterns of their own: neither is judged.
func (s *study) findCourse() {
	latest := s.latest()
	if latest == nil || s.Spread == nil || *s.Spread < s.noiseSD() {
		return
	}
	ratio, ok := robust.VonNeumann(latest.Samples)
	if !ok {
		return
	}
	var points vonNeumann
	for _, p := range ratioPoints() {
		if len(latest.Samples) >= p.n {
			points = p
		}
	}
	switch {
	case points.n == 0:
	case ratio < points.low:
		s.Course = Settling
	case ratio > points.high:
		s.Course = Flipping
	}
}

// within says how the samples followed one another.
func (s *study) within() string {
	switch s.Course {
	case Settling:
		return "its samples on " + date(s.ReadAt) + " wander: each lies near the one before, as of a value that has not come to rest"
	case Flipping:
		return "its samples on " + date(s.ReadAt) + " jump to and fro"
	}
	return ""
}

// spreadFactor times the usual noise is the largest normal spread of samples
// where the type sheet gives none: a judgement of ours, no source.
const spreadFactor = 3

// noiseSD is the noise of a look, in the unit of the value: what accuses takes the larger of the expected and the
// learned one.
func (s *study) noiseSD() float64 {
	return math.Abs(s.kin.scale.width) * max(s.kin.usual, math.Sqrt(s.kin.noise))
}

// findUnsteady says whether the value jumps about, within the latest reading or
// from visit to visit.
func (s *study) findUnsteady() {
	s.UnsteadyWhy = s.wideSamples()
	if s.UnsteadyWhy == "" && s.wild > s.losses.From(s.losses.Look) {
		s.UnsteadyWhy = "its readings lie much further apart than its drift and the usual " + s.amount(s.noiseSD()) + " explain"
	}
	if s.UnsteadyWhy == "" {
		s.UnsteadyWhy = s.toAndFro()
	}
	s.Unsteady = s.UnsteadyWhy != ""
}

// wideStep is how many times the noise a step from visit to visit must be wide that dirt, a slip and a cleaning do not
// explain three in a row of, each back from the one before: ours, no source.
const wideStep = 6

// toAndFro says that the last visits jumped up and down: three wide steps in a row, of which the last may be a visit ago.
func (s *study) toAndFro() string {
	wide := wideStep * s.noiseSD() / math.Abs(s.kin.scale.width)
	for last := len(s.z) - 1; last >= max(len(s.z)-2, s.since()+3); last-- {
		a, b, c := s.z[last-2]-s.z[last-3], s.z[last-1]-s.z[last-2], s.z[last]-s.z[last-1]
		if min(math.Abs(a), math.Abs(b), math.Abs(c)) > wide && a*b < 0 && b*c < 0 {
			y := s.looks[last-3 : last+1]
			return fmt.Sprintf("at its last visits it read %s, %s, %s and %s", number(y[0].y), number(y[1].y), number(y[2].y), s.amount(y[3].y))
		}
	}
	return ""
}

func (s *study) wideSamples() string {
	if s.Spread == nil {
		return ""
	}
	if s.Sheet != nil && s.Sheet.SpreadLimit != nil {
		if *s.Spread <= *s.Sheet.SpreadLimit {
			return ""
		}
		return fmt.Sprintf("its samples on %s spread by %s, and its type allows %s",
			date(s.ReadAt), s.amount(*s.Spread), s.amount(*s.Sheet.SpreadLimit))
	}
	if *s.Spread <= spreadFactor*s.noiseSD() {
		return ""
	}
	return fmt.Sprintf("its samples on %s spread by %s, more than %d times the usual noise of %s (a judgement of ours: its type sheet gives no limit)",
		date(s.ReadAt), s.amount(*s.Spread), spreadFactor, s.amount(s.noiseSD()))
}
