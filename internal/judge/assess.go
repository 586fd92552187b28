package judge

import (
	"context"
	"slices"
	"time"

	"sootline"
)

// Assessment is everything that the readings of a site come to.
type Assessment struct {
	Judgements []Judgement // as [Site] gives them, with what peers and past cleanings add
	Questions  []Question
	HeldBack   int // questions that wait until those are answered
	Overview   Overview

	judge *Judge
}

// Assess judges a site whole: each point by itself, then among its peers and by
// what cleaning did for it, and asks about what nobody wrote down. The next visit
// is the months of the site's rules away.
func Assess(r *sootline.Register, on time.Time) Assessment {
	a, _ := AssessUntil(context.Background(), r, on, time.Time{}) // which has no end
	return a
}

// AssessUntil is [Assess] where the day of the next visit is known; the zero time: by the rules. It gives the error
// of the context where that ends first.
func AssessUntil(ctx context.Context, r *sootline.Register, on, next time.Time) (_ Assessment, err error) {
	defer func() {
		if p := recover(); p != nil {
			over, ok := p.(ended)
			if !ok {
				panic(p)
			}
			err = over.cause
		}
	}()
	j := New(r, on)
	if !next.IsZero() {
		j = newUntil(r, on, next)
	}
	return assess(ctx, j), nil
}

func assess(ctx context.Context, j *Judge) Assessment {
	j.ctx = ctx
	defer func() { j.ctx = context.Background() }() // what is asked of it later has its own end
	a := Assessment{Judgements: j.Site(), judge: j}
	a.Questions, a.HeldBack = j.questions()
	today, same := j.onOneScale(a.Judgements, false)
	peers := Peers(today, same)
	ofSheet, _ := j.onOneScale(nil, true)
	levels := j.levels(ofSheet)
	for i := range a.Judgements {
		one := &a.Judgements[i]
		if peer, ok := peers[same[i].Point]; ok {
			one.among(peer)
		}
		p := j.past(one.Point)
		one.after(p.upkeep(levels, usualNoise(j.register, p.sheet)), j.losses.From(j.losses.Replace))
	}
	a.Overview = Glance(ofSheet, a.Judgements)
	return a
}

// levels are those of clean units on the scale of the type sheet, about the value that all else speaks of.
func (j *Judge) levels(r *sootline.Register) Levels {
	levels := CleanLevels(r)
	for _, k := range j.model.kins {
		key := sootline.TypeKey(k.members[0].point.Type)
		if clean, ok := levels[key]; ok {
			clean.Centre, _ = k.cleanValue()
			levels[key] = clean
		}
	}
	return levels
}

// among adds how the point stands among its peers, where that says something:
// it differs from them, or the whole room has risen.
func (j *Judgement) among(peer Peer) {
	if j.unsure { // what was written is likely not what was shown
		return
	}
	differs := peer.State == HighAmong || peer.State == LowAmong || peer.State == TwoLevels
	if differs || peer.Room == RoomRaised && peer.Shares {
		j.Reasons = append(j.Reasons, peer.Reason)
	}
}

// after adds what cleaning did for the point; where it is likely enough outside, and no longer brought back by
// cleaning, the unit is to be replaced and not cleaned once more.
func (j *Judgement) after(u Upkeep, enough float64) {
	if len(u.Reasons) == 0 {
		return
	}
	if last := len(u.Reasons) - 1; u.Worn > 0 && (j.Action == CleanNow || j.Action == CleanAtVisit) {
		if u.Worn*j.Risk() >= enough {
			j.Action, j.Advice = Replace, replaceIt
			j.Reasons = slices.Insert(j.Reasons, 0, u.Reasons[last])
		}
		u.Reasons = u.Reasons[:last] // nobody is told to clean what cleaning does not help
	}
	j.Reasons = append(j.Reasons, u.Reasons...)
}
