package sootline

import (
	"cmp"
	"slices"
	"time"
)

// Fold computes the register of a site at an instant from entries in any order;
// see [Log.Fold].
func Fold(entries []Entry, asOf time.Time) *Register { return NewLog(entries).Fold(asOf) }

// Fold computes the register of a site at an instant. It is pure. Entries later
// than asOf are left out, but a correction or withdrawal holds whenever it was
// written, since it is about the record and not about the world.
func (l *Log) Fold(asOf time.Time) *Register { return l.fold(asOf, l.effective.list) }

// FoldPlaces is [Log.Fold] without readings and tests: what is where, how it is
// set and what is wrong, but for what tests would tell. It costs what the site is
// large, not what its log has grown to.
func (l *Log) FoldPlaces(asOf time.Time) *Register { return l.fold(asOf, l.rare.list) }

// FoldSince is [Log.FoldPlaces] with the readings and tests since an instant.
func (l *Log) FoldSince(from, asOf time.Time) *Register {
	return l.fold(asOf, l.rare.list[:l.rare.at(from)], l.HoldingSince(from))
}

// fold folds lists, and notes what of the log is disputed.
func (l *Log) fold(asOf time.Time, lists ...[]*Entry) *Register {
	r := foldList(asOf, lists...)
	r.disputes, r.log = l.disputes, l
	return r
}

// Then gives the register as it was at an earlier instant, without readings and tests; itself where it was not folded from a log.
func (r *Register) Then(at time.Time) *Register {
	if r.log == nil {
		return r
	}
	return r.log.FoldPlaces(at)
}

// foldList folds lists, each in order and after the one before it.
func foldList(asOf time.Time, lists ...[]*Entry) *Register {
	r := &Register{
		AsOf:     asOf,
		loops:    map[LoopID]*Loop{},
		supplies: map[LoopID]*Supply{},
		loads:    map[string]*KeptLoads{},
		measured: map[LoopID][]Measuring{},
		radials:  map[LoopID]*KeptRadial{},
		areas:    map[string]*AreaFacts{},
		types:    map[string]*TypeSheet{},
		wishes:   map[circle]map[string]Wished{},
		answered: map[string]bool{},
		points:   map[ID]*Point{},
		aliases:  map[spelled]KnownAlias{},
		runs:     map[ID]*BenchRun{},
		numbers:  map[ID]Addressed{},
	}
	var last ID
	for _, list := range lists {
		for _, e := range list {
			if e.At.After(asOf) {
				break
			}
			if e.ID == last {
				continue // the same entry, noted by two stations
			}
			last = e.ID
			e.Body.fold(r, e)
			r.Entries++
			r.Last = e.At
		}
	}
	r.finish()
	return r
}

// finish makes the indexes that the register is asked by.
func (r *Register) finish() {
	defer r.listLoops()
	r.settleAliases()
	r.settleQuantities()
	r.foldDefects()
	r.Site.Rules = r.Site.Rules.Filled()
	for _, p := range r.points {
		p.settleStated()
	}
	r.settleRefs()
	r.settleWishes()
	for _, p := range r.points {
		if p.Placed && p.Removed == nil {
			r.order = append(r.order, p)
		}
	}
	slices.SortFunc(r.order, comparePoints)
	r.tenures, r.standsAt = map[LoopID][][]tenure{}, map[LoopID][][]tenure{}
	for _, p := range r.points {
		for i, name := range p.refs {
			t := tenure{from: name.at, point: p, ref: name.ref, stands: name.stands}
			if i+1 < len(p.refs) {
				t.to = p.refs[i+1].at
			}
			hold(r.tenures, name.ref.Number, t)
			if name.stands != name.ref.Number {
				hold(r.standsAt, name.stands, t)
			}
		}
	}
	for _, tenures := range []map[LoopID][][]tenure{r.tenures, r.standsAt} {
		for _, byNumber := range tenures {
			for _, list := range byNumber {
				slices.SortFunc(list, func(a, b tenure) int {
					return cmp.Or(a.from.Compare(b.from), comparePoints(a.point, b.point))
				})
			}
		}
	}
}
