package instruments

import (
	"math"
	"time"
)

// Noise has heavy tails: so many of the readings are so many times as far off (draughts, warmth, a passing
// lorry). From memory: residuals of resting values are seldom normal.
const (
	wildShare = 0.04
	wildTimes = 4
	// An unsteady device is so at this share of its visits, and by so much.
	unsteadyShare = 0.7
	unsteadyTimes = 9
)

// look reads the point with an instrument; its technician writes what is shown, unless [write] says otherwise.
func (l *life) look(visit int, at time.Time, t *team, after bool) {
	to := l.firm.shows(l.scale, at)
	level := l.course.at(at)
	if l.stuckFrom.IsZero() {
		level += l.scale.span() * l.swing(at)
	}
	sd := l.noiseAt(at)
	samples := make([]float64, l.p.samples)
	wild := 1.0
	if l.r.Float64() < wildShare {
		wild = wildTimes
	}
	common := 0.7 * sd * wild * l.r.NormFloat64() // of the day; the samples differ by the rest
	for i := range samples {
		value := level + math.Abs(l.scale.span())*(common+0.7*sd*wild*l.r.NormFloat64())
		samples[i] = t.with.reads(to.of(math.Max(0, math.Min(l.scale.top, value))), l.scale, to)
	}
	l.looks = append(l.looks, look{at: at, visit: visit, after: after, shown: samples, written: samples})
}

// noiseAt is the standard deviation of a reading at an instant, in rooms. One that is stuck has none.
func (l *life) noiseAt(at time.Time) float64 {
	switch {
	case !l.stuckFrom.IsZero() && !at.Before(l.stuckFrom):
		return 0
	case !l.noisyFrom.IsZero() && !at.Before(l.noisyFrom) && l.r.Float64() < unsteadyShare:
		return l.noise * unsteadyTimes
	}
	return l.noise
}

// swing is what the season adds at an instant, in rooms: most when the air is damp.
func (d *device) swing(at time.Time) float64 {
	return d.season * math.Sin(2*math.Pi*(float64(at.YearDay())/365.25-d.phase-d.area.phase))
}
