package main

import (
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// limits judges by the printed limits and the last reading since the last reset: outside with certainty or not
// at all. No days are known to it. What was never read is to be read; what is outside is cleaned now, or
// replaced where cleaning does not help on that side.
func limits(entries []sootline.Entry, now, _ time.Time) []levels.Answer {
	var all []levels.Answer
	for _, s := range subjects(entries, now) {
		all = append(all, s.byLimits())
	}
	return all
}

func (s *subject) byLimits() levels.Answer {
	a := levels.Answer{Point: s.point.ID, Chance: levels.Unstated(), Action: levels.LookAgain}
	run := s.now()
	if len(run.y) == 0 || s.band == nil {
		return a
	}
	low, high := s.beyond(run.y[len(run.y)-1])
	a.Chance, a.Action = 0, levels.Leave
	if low || high {
		a.Outside, a.Chance, a.Action = true, 1, levels.CleanNow
		if !s.washes(low) {
			a.Action = levels.Replace
		}
	}
	return a
}
