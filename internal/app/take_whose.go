package app

import (
	"fmt"
	"strings"
	"time"

	"sootline"
	"sootline/internal/listing"
)

// answering is a point that answers to a number, and when it does.
type answering struct {
	point    *sootline.Point
	id       sootline.ID
	from, to time.Time // to is zero while it does
	facts    *pointFacts
}

func (a *answering) answers(at time.Time) bool {
	return !at.Before(a.from) && (a.to.IsZero() || at.Before(a.to))
}

// soles remembers the numbers that have had one point alone. They stand side by side, loop by loop, as rows mostly
// come: what the register has of a point lies scattered, and to fetch it anew for each row took a tenth of a take.
type soles struct {
	r     *sootline.Register
	loops map[sootline.LoopID][]answering // by number; no point: nothing is remembered
	loop  sootline.LoopID                 // the last one asked for
	its   []answering
}

func newSoles(r *sootline.Register) *soles {
	return &soles{r: r, loops: map[sootline.LoopID][]answering{}}
}

// at gives the one point that ever answered to a reference, where it did at that instant; else nil.
func (s *soles) at(ref sootline.Ref, at time.Time) *answering {
	if loop := (sootline.LoopID{Panel: ref.Panel, Name: ref.Loop}); loop != s.loop {
		s.loop = sootline.LoopID{Panel: strings.Clone(ref.Panel), Name: strings.Clone(ref.Loop)} // not its row's memory
		s.its = s.loops[s.loop]
	}
	if ref.Number < 1 || ref.Number >= len(s.its) || s.its[ref.Number].point == nil {
		if !s.remember(ref) {
			return nil
		}
	}
	if one := &s.its[ref.Number]; one.answers(at) {
		return one
	}
	return nil
}

// remember looks a number up, and reports whether it has had one point alone.
func (s *soles) remember(ref sootline.Ref) bool {
	p, from, to := s.r.Sole(ref)
	if p == nil || !p.Placed {
		return false
	}
	if short := ref.Number + 1 - len(s.its); short > 0 {
		s.its = append(s.its, make([]answering, short)...)
		s.loops[s.loop] = s.its
	}
	s.its[ref.Number] = answering{point: p, id: p.ID, from: from, to: to}
	return true
}

// at finds the one point that a reference named at an instant, or says why there
// is none.
func (t *taker) at(ref listing.Ref, at time.Time, kind sootline.Kind) (one *answering, why string) {
	name := sootline.Ref{Panel: ref.Panel, Loop: ref.Loop, Number: ref.Address}
	if at.After(t.now.Add(24 * time.Hour)) {
		return nil, fmt.Sprintf("%s is in the future", t.day(at))
	}
	if ref.Range == "" { // else the number alone does not say whose it is
		if one := t.soles.at(name, at); one != nil {
			return one, ""
		}
	}
	points := t.r.Whose(t.r.Named(name, at), kind, ref.Range)
	switch {
	case len(points) == 1 && points[0].Placed:
		return &answering{point: points[0], id: points[0].ID}, ""
	case len(points) > 1:
		if t.r.Loop(points[0].LoopID()).Separate {
			return nil, fmt.Sprintf("%d points carry the number %s, so nobody can tell whose this is; write %[2]sd for the detector, or %[2]sm for the other", len(points), name)
		}
		return nil, fmt.Sprintf("%d points carry the number %s, so nobody can tell whose this is; give one of them its own number first", len(points), name)
	}
	if later := t.r.Named(name, Always); len(later) > 0 && later[0].Since.After(at) {
		return nil, fmt.Sprintf("point %s did not exist on %s: it was fitted on %s", name, t.day(at), t.day(later[0].Since))
	}
	if len(t.r.Named(name, Always)) > 0 {
		return nil, fmt.Sprintf("no point carried the number %s on %s; it was given later", name, t.day(at))
	}
	return nil, fmt.Sprintf("there is no point %s on the register; take in its schedule first", name)
}
