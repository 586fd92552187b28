package main

import (
	"math"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"sootline"
	"sootline/internal/robust"
	"sootline/internal/worlds/levels"
)

// leastSquares draws a line by least squares through the readings since the last reset. Its chance is Student's t
// of the distance between line and limit, and its days are those at which that chance is 5, 50 and 95 %, which
// are the ends of Fieller's set (1954). Below three readings the printed limits judge.
func leastSquares(entries []sootline.Entry, now, next time.Time) []levels.Answer {
	var all []levels.Answer
	for _, s := range subjects(entries, now) {
		a := s.byLimits()
		if s.band != nil {
			if line, err := robust.LeastSquares(s.now().t, s.now().y); err == nil {
				a = s.outcome(s.byLine(&line), now, next)
			}
		}
		all = append(all, a)
	}
	return all
}

func (s *subject) byLine(line *robust.Line) belief {
	student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(line.DF)}
	at := func(t float64) (fit, se float64) { return line.At(t), line.SD * math.Sqrt(line.Leverage(t)) }
	return s.spread(at, student.CDF)
}
