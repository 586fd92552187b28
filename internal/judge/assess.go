package judge

import (
	"context"
	"slices"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// Assessment is everything that the readings of a site come to.
type Assessment struct {
	Judgements []Judgement // as [Site] gives them, with what peers and past cleanings add
	Questions  []Question
	Overview   Overview

	judge *Judge
}

// Assess judges a site whole: each point by itself, then among its peers and by
// what cleaning did for it, and asks about what nobody wrote down.
func Assess(r *sootline.Register, on time.Time) Assessment {
	a, _ := AssessAgain(context.Background(), r, on, nil) // which has no end
	return a
}

// AssessAgain is [Assess] of a site that was looked at before: what the memory
// kept of lines then is not drawn anew. The result is the same. It gives the error
// of the context where that ends first.
func AssessAgain(ctx context.Context, r *sootline.Register, on time.Time, memory *robust.Memory) (_ Assessment, err error) {
	defer func() {
		if p := recover(); p != nil {
			over, ok := p.(ended)
			if !ok {
				panic(p)
			}
			err = over.cause
		}
	}()
	return assess(ctx, r, on, memory), nil
}

func assess(ctx context.Context, r *sootline.Register, on time.Time, memory *robust.Memory) Assessment {
	j := New(r, on)
	j.ctx = ctx
	if memory != nil {
		memory.Turn()
		j.experience.memory = memory
	}
	defer func() { j.ctx = context.Background() }() // what is asked of it later has its own end
	a := Assessment{Judgements: j.Site(), Questions: j.survey.questions(), judge: j}
	peers := Peers(r, a.Judgements)
	levels := CleanLevels(r)
	for i := range a.Judgements {
		one := &a.Judgements[i]
		if peer, ok := peers[one.Point]; ok {
			one.among(peer)
		}
		one.after(Cleanings(r, one.Point, levels))
	}
	a.Overview = Glance(r, a.Judgements)
	return a
}

// among adds how the point stands among its peers, where that says something:
// it differs from them, or the whole room has risen.
func (j *Judgement) among(peer Peer) {
	differs := peer.State == HighAmong || peer.State == LowAmong || peer.State == TwoLevels
	if !differs && peer.Room != RoomRaised {
		return
	}
	j.Reasons = append(j.Reasons, peer.Reason)
	dirty := HighAmong
	if dirtSide(j.Sheet) == LowLimit {
		dirty = LowAmong
	}
	if peer.State == dirty && j.Action == Leave {
		j.Action = LookAgain
		j.Reasons = slices.Insert(j.Reasons, 0, peer.Reason)
		j.Reasons = j.Reasons[:len(j.Reasons)-1]
	}
}

// after adds what cleaning did for the point; where it no longer pays, the unit
// is to be replaced and not cleaned once more.
func (j *Judgement) after(u Upkeep) {
	if len(u.Reasons) == 0 {
		return
	}
	if u.Replace && (j.Action == CleanNow || j.Action == CleanAtVisit) {
		j.Action = Replace
		j.Reasons = slices.Insert(j.Reasons, 0, u.Reasons[len(u.Reasons)-1])
		u.Reasons = u.Reasons[:len(u.Reasons)-1]
	}
	j.Reasons = append(j.Reasons, u.Reasons...)
}
