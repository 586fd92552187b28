package harbour

import (
	"slices"
	"time"

	"sootline"
	"sootline/internal/demo"
	"sootline/internal/worlds/levels"
)

// happened sorts the truths of a story by point.
func happened(story *demo.Scenario) map[string][]levels.Happened {
	kinds := map[demo.TruthKind]levels.Happened{
		demo.Cleaned:           {Kind: levels.Cleaned, Noted: true},
		demo.CleanedUnrecorded: {Kind: levels.Cleaned},
		demo.Swapped:           {Kind: levels.Swapped},
		demo.Noisy:             {Kind: levels.Noisy},
		demo.Stuck:             {Kind: levels.Stuck},
		demo.Slip:              {Kind: levels.Slip},
	}
	all := map[string][]levels.Happened{}
	for _, truth := range story.Truths {
		e, so := kinds[truth.Kind]
		if !so {
			continue
		}
		e.Day = truth.At
		for _, point := range truth.Points {
			all[point] = append(all[point], e)
		}
	}
	return all
}

func (s *site) truth(k *demo.Known, id sootline.ID) levels.Truth {
	t := levels.Truth{Point: id, Ref: k.Ref.String(), Level: k.Level, Events: slices.Clone(s.happens[k.Ref.String()])}
	for _, act := range k.Acts {
		if act.What == "replaced" {
			t.Events = append(t.Events, levels.Happened{Kind: levels.Swapped, Day: act.Day, Noted: true})
		}
	}
	if !k.Used.IsZero() {
		t.Events = append(t.Events, levels.Happened{Kind: levels.CompensationUsed, Day: k.Used})
	}
	slices.SortStableFunc(t.Events, func(a, b levels.Happened) int { return a.Day.Compare(b.Day) })
	t.Leaves = s.leaves(k)
	t.Outside = t.Leaves.Equal(s.now)
	t.OutsideByNext = !t.Leaves.IsZero() && !t.Leaves.After(s.next)
	t.Wants = s.wants(k, &t)
	t.Healthy = t.Wants == levels.Leave
	return t
}

// leaves is the first day from now on at which the level is outside; zero: none within the horizon.
func (s *site) leaves(k *demo.Known) time.Time {
	band := k.Sheet.Bands[0]
	ends := s.now.AddDate(levels.Horizon, 0, 0)
	for at := s.now; !at.After(ends); at = at.AddDate(0, 0, 1) {
		if x := k.Level(at); x < *band.Low || x > *band.High {
			return at
		}
	}
	return time.Time{}
}

// wants says what somebody who knew the truth would do. A gas cell ages, and a heat detector catches no dirt.
func (s *site) wants(k *demo.Known, t *levels.Truth) string {
	soon := !t.Leaves.IsZero() && !t.Leaves.After(s.next.AddDate(0, demo.VisitMonths, 0))
	ages := k.Sheet.Kind == sootline.Gas || k.Sheet.Kind == sootline.Heat
	broken := slices.ContainsFunc(t.Events, func(e levels.Happened) bool { return e.Kind == levels.Stuck || e.Kind == levels.Noisy })
	switch {
	case broken, soon && ages:
		return levels.Replace
	case t.Outside:
		return levels.CleanNow
	case soon:
		return levels.Clean
	case len(k.Looks) == 0, k.Looks[len(k.Looks)-1].At.Before(s.now.AddDate(0, -2*demo.VisitMonths, 0)):
		return levels.LookAgain
	}
	return levels.Leave
}
