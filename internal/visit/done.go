package visit

import (
	"slices"
	"time"

	"sootline"
)

// Does lists the kinds of entry that do a piece of work: the one definition of
// done, for pages, phones, papers and the closing of a visit. A failed test is a
// test done; what it found is another matter. No work, where nobody wrote down what
// was planned, is done by any work at the point.
func Does(work string) []sootline.Kind {
	switch work {
	case Test:
		return []sootline.Kind{sootline.TestedKind, sootline.AlarmKind} // of alarms, only those that were tests
	case Read:
		return []sootline.Kind{sootline.ReadKind}
	case Clean:
		return []sootline.Kind{sootline.CleanedKind, sootline.ReplacedKind}
	case Replace:
		return []sootline.Kind{sootline.ReplacedKind}
	}
	return []sootline.Kind{
		sootline.ReadKind, sootline.TestedKind, sootline.AlarmKind, sootline.CleanedKind, sootline.ReplacedKind, sootline.RebasedKind,
	}
}

// Planned lists the work planned at a point of the round, by its turn.
func (a *Attendance) Planned(turn int) []string {
	if turn < len(a.Work) && len(a.Work[turn]) > 0 {
		return a.Work[turn]
	}
	return []string{""}
}

// LeftUndone is a point of a round, and what of the work planned there was not done.
type LeftUndone struct {
	Point *sootline.Point
	Work  []string // empty: nobody wrote down what was planned, and nothing was done
}

// Undone lists the points of a visit's round at which something planned was not
// done in it.
func Undone(a *Attendance, raised Raised, zone *time.Location) []LeftUndone {
	var all []LeftUndone
	for turn, p := range a.Round {
		did := a.did(p, raised, zone)
		left := LeftUndone{Point: p}
		open := false
		for _, work := range a.Planned(turn) {
			if slices.ContainsFunc(Does(work), func(k sootline.Kind) bool { return did[k] }) {
				continue
			}
			open = true
			if work != "" {
				left.Work = append(left.Work, work)
			}
		}
		if open {
			all = append(all, left)
		}
	}
	return all
}

// did gives the kinds of work done at a point in the visit.
func (a *Attendance) did(p *sootline.Point, raised Raised, zone *time.Location) map[sootline.Kind]bool {
	did := map[sootline.Kind]bool{}
	see := func(e *sootline.Entry, kind sootline.Kind) {
		if e != nil && a.Holds(e, zone) && (kind != sootline.AlarmKind || raised.Tests[e.ID]) {
			did[kind] = true
		}
	}
	for i := range p.Readings {
		see(p.Readings[i].Entry, sootline.ReadKind)
	}
	for i := range p.Events {
		see(p.Events[i].Entry, p.Events[i].Kind)
	}
	for i := range p.Resets {
		if e := p.Resets[i].Entry; e != nil {
			see(e, e.Body.Kind())
		}
	}
	return did
}
