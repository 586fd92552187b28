package ducts

import (
	"fmt"
	"slices"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// told gives the site with its log and its truth.
func (s *site) told() levels.Site {
	entries, err := s.book.Entries()
	if err != nil {
		panic(fmt.Sprintf("ducts, %s: %v", s.plan.name, err)) // the world itself is wrong; its tests draw every scenario
	}
	out := levels.Site{Name: fmt.Sprintf("ducts %s", s.plan.name), Scenario: s.plan.name, Entries: entries, Now: s.now, NextVisit: s.next}
	for _, p := range s.points {
		if s.weekOf(p.fitted).Before(s.now) {
			out.Points = append(out.Points, s.truth(p))
		}
	}
	return out
}

func (s *site) truth(p *point) levels.Truth {
	slices.SortStableFunc(p.events, func(a, b levels.Happened) int { return a.Day.Compare(b.Day) })
	t := levels.Truth{
		Point: p.id, Ref: sootline.Ref{Panel: "1", Loop: p.loop, Number: p.number}.String(),
		Level: s.follow(p), Events: p.events, Leaves: s.leaves(p),
	}
	t.Outside = t.Leaves.Equal(s.now)
	t.OutsideByNext = !t.Leaves.IsZero() && !t.Leaves.After(s.next)
	t.Wants = s.wants(p, &t)
	t.Healthy = t.Wants == levels.Leave
	return t
}

// leaves gives the first time from now on at which a level is outside its band; zero: not within the horizon.
func (s *site) leaves(p *point) time.Time {
	low, high := p.kind.bandNow()
	level := s.follow(p)
	outside := func(at time.Time) bool { x := level(at); return x < low || x > high }
	if outside(s.now) {
		return s.now
	}
	ends := s.now.AddDate(levels.Horizon, 0, 0)
	for _, k := range p.track {
		at := s.start.Add(time.Duration(k.minute) * time.Minute)
		if at.After(s.now) && !at.After(ends) && outside(at) {
			return at
		}
	}
	return time.Time{}
}

// bandNow is the band that the sheet of a type states now.
func (k *kind) bandNow() (low, high float64) {
	if r := k.rescale; r != nil && r.noted {
		return k.low * r.times, k.high * r.times
	}
	return k.low, k.high
}

// wants says what somebody who knew the truth would do.
func (s *site) wants(p *point, t *levels.Truth) string {
	afterNext := s.next.AddDate(0, s.months, 0)
	leavesSoon := !t.Leaves.IsZero() && !t.Leaves.After(afterNext)
	switch {
	case p.stuck || p.noisy, p.kind.ages > 0 && leavesSoon:
		return levels.Replace
	case t.Outside:
		return levels.CleanNow
	case leavesSoon:
		return levels.Clean
	case p.lastWrong || p.lastRead.Before(s.now.AddDate(0, -2*s.months, 0)):
		return levels.LookAgain
	}
	return levels.Leave
}
