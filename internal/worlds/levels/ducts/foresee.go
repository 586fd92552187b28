package ducts

import (
	"slices"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// said is the chance from which on somebody who foresees says that a point will be outside: ours.
const said = 0.4

// Foreseen answers for a site as somebody would who knew all of it at Now, each grain of dust and what each
// room is used for, but not what comes: by the share of so many futures. It says how well a judge could do
// at best in the long run; one that sees only readings knows less. The site must be one that Make draws.
func (World) Foreseen(seed uint64, scenario string, futures int) []levels.Answer {
	p := planOf(scenario)
	if p == nil {
		return nil
	}
	s := newSite(seed, p)
	k := s.liveFrom(0, s.now)
	leaves := map[sootline.ID][]time.Time{}
	for f := range futures {
		future := s.another(f)
		future.liveFrom(k, s.now.AddDate(levels.Horizon, 0, 0))
		for _, p := range future.points {
			at := future.leaves(p)
			if at.IsZero() {
				at = s.never()
			}
			leaves[p.id] = append(leaves[p.id], at)
		}
	}
	var all []levels.Answer
	for _, p := range s.points {
		all = append(all, s.foreseen(p, leaves[p.id]))
	}
	return all
}

// never is later than anything of which a world speaks.
func (s *site) never() time.Time { return s.now.AddDate(levels.Horizon, 0, 1) }

// another is the site as it is now, before a future of its own.
func (s *site) another(f int) *site {
	future := *s
	future.dice = newDice(s.Uint64()+uint64(f), "another future")
	future.points = nil
	for _, p := range s.points {
		q := *p
		q.track = slices.Clone(p.track[len(p.track)-1:])
		future.points = append(future.points, &q)
	}
	return &future
}

// foreseen makes an answer of when a point leaves in each future.
func (s *site) foreseen(p *point, leaves []time.Time) levels.Answer {
	slices.SortFunc(leaves, time.Time.Compare)
	n := len(leaves)
	byNext, _ := slices.BinarySearchFunc(leaves, s.next.Add(1), time.Time.Compare)
	a := levels.Answer{
		Point: p.id, Chance: float64(byNext) / float64(n),
		Earliest: leaves[n/20], Likely: leaves[n/2], Latest: leaves[n-1-n/20],
	}
	a.Outside = a.Chance >= said
	t := levels.Truth{Outside: leaves[n-1].Equal(s.now), Leaves: a.Likely}
	a.Action = s.wants(p, &t)
	return a
}
