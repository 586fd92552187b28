package materials

import (
	"slices"
	"time"

	"sootline/internal/worlds/levels"
)

func (s *site) truth(p *course) levels.Truth {
	p.useUp(s.now)
	slices.SortStableFunc(p.events, func(a, b levels.Happened) int { return a.Day.Compare(b.Day) })
	t := levels.Truth{
		Point: p.id, Ref: p.ref.String(), Outside: p.outside(s.now), Level: p.level, Events: p.events,
		Leaves: firstTime(s.now, s.now.AddDate(levels.Horizon, 0, 0), p.outside),
	}
	t.OutsideByNext = !t.Leaves.IsZero() && !t.Leaves.After(s.next)
	t.Wants = s.wants(p, &t)
	t.Healthy = !t.OutsideByNext && !p.failed() && t.Wants == levels.Leave
	return t
}

// soon is how far ahead leaving its band is as good as having left it.
const soon = 21 * 24 * time.Hour

// wants is what somebody who knew everything would do.
func (s *site) wants(p *course, t *levels.Truth) string {
	after := s.next.AddDate(0, s.plan.months, 0)
	leaves := func(by time.Time) bool { return !t.Leaves.IsZero() && !t.Leaves.After(by) }
	switch {
	case p.failed(), leaves(after) && !s.washes(p, after):
		return levels.Replace
	case leaves(s.now.Add(soon)):
		return levels.CleanNow
	case leaves(after):
		return levels.Clean
	case p.misread || s.stale(p):
		return levels.LookAgain
	}
	return levels.Leave
}

// washes reports whether the head without its dirt would stay in its band until then.
func (s *site) washes(p *course, until time.Time) bool {
	for _, t := range []time.Time{s.now, until} {
		if on := p.device.told; on.outside(on.value(p.device.worse, p.shareWith(t, 0))) {
			return false
		}
	}
	return true
}

// stale: nobody has read it for more than two turns of visits, or ever.
func (s *site) stale(p *course) bool {
	return len(p.reads) == 0 || p.reads[len(p.reads)-1].Before(s.now.AddDate(0, -2*s.plan.months, -30))
}
