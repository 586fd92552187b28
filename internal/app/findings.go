package app

import (
	"cmp"
	"context"
	"slices"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// Check says what is wrong on a site's register as of an instant, the heaviest
// findings first.
func (a *App) Check(ctx context.Context, site sootline.ID, on time.Time) (*sootline.Register, []sootline.Finding, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, nil, err
	}
	r, _, err := fold(log, orAlways(on))
	if err != nil {
		return nil, nil, err
	}
	return r, findings(r, log, on, a.Now()), nil
}

// Judgement is what the readings of one point come to; Overview what those of a
// site do.
type (
	Judgement = judge.Judgement
	Overview  = judge.Overview
)

// ActionGroup is the points to which one thing is to be done.
type ActionGroup struct {
	Action     judge.Action
	Judgements []Judgement
}

// ByAction groups judgements by what is to be done, the most pressing first, and
// in a group by the risk that doing it removes; actions that nobody needs are left
// out.
func ByAction(judgements []Judgement) []ActionGroup {
	var groups []ActionGroup
	for _, action := range judge.Actions() {
		group := ActionGroup{Action: action}
		for _, j := range judgements {
			if j.Action == action {
				group.Judgements = append(group.Judgements, j)
			}
		}
		slices.SortStableFunc(group.Judgements, func(a, b Judgement) int { return cmp.Compare(b.Risk(), a.Risk()) })
		if len(group.Judgements) > 0 {
			groups = append(groups, group)
		}
	}
	return groups
}
