package main

import (
	"math"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"sootline"
	"sootline/internal/robust"
	"sootline/internal/worlds/levels"
)

// theilSen draws a line by the median of all slopes through the readings since the last reset. The error of the
// slope is taken from Sen's interval of 90 %, that of the level at the middle of the readings from the median of
// what is left, and the two are taken to be normal and independent. Where Sen's interval cannot be given (few
// readings) the printed limits judge.
func theilSen(entries []sootline.Entry, now, next time.Time) []levels.Answer {
	var all []levels.Answer
	for _, s := range subjects(entries, now) {
		a := s.byLimits()
		if s.band != nil {
			if line, err := robust.TheilSen(s.now().t, s.now().y, nominal); err == nil && line.Interval.State != robust.NotEnough {
				a = s.outcome(s.bySlopes(&line), now, next)
			}
		}
		all = append(all, a)
	}
	return all
}

const (
	nominal   = 0.9
	quantile  = 1.6448536269514722 // of the normal distribution, for 90 %
	madToSD   = 1.4826             // of a normal distribution
	medianFor = 1.2533141373155001 // sqrt(pi/2): the error of a median to that of a mean, of a normal distribution
)

func (s *subject) bySlopes(line *robust.SenLine) belief {
	run := s.now()
	rests := make([]float64, len(run.t))
	for i, t := range run.t {
		rests[i] = math.Abs(run.y[i] - line.At(t))
	}
	level := medianFor * madToSD * median(rests) / math.Sqrt(float64(len(rests)))
	slope := (line.Interval.High - line.Interval.Low) / 2 / quantile
	middle := median(run.t)
	at := func(t float64) (fit, se float64) { return line.At(t), math.Hypot(level, slope*(t-middle)) }
	return s.spread(at, distuv.UnitNormal.CDF)
}
