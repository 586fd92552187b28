package sootline

import (
	"cmp"
	"slices"
	"time"
)

// Fold computes the register of a site at an instant from its log. It is pure,
// and the entries may come in any order; entries later than asOf are left out,
// but a correction or withdrawal holds whenever it was written, since it is
// about the record and not about the world. The entries are not changed, and
// must not be while the register is used.
func Fold(entries []Entry, asOf time.Time) *Register {
	r := &Register{
		AsOf:     asOf,
		loops:    map[LoopID]*Loop{},
		supplies: map[LoopID]*Supply{},
		areas:    map[string]*AreaFacts{},
		types:    map[string]*TypeSheet{},
		answered: map[string]bool{},
		points:   map[ID]*Point{},
	}
	var last ID
	for _, e := range effective(ordered(entries)) {
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
	r.finish()
	return r
}

// ordered gives pointers to the entries in their order; a log that is in order
// already, the usual case, costs one pass.
func ordered(entries []Entry) []*Entry {
	list := make([]*Entry, len(entries))
	sorted := true
	for i := range entries {
		list[i] = &entries[i]
		sorted = sorted && (i == 0 || Compare(list[i-1], list[i]) <= 0)
	}
	if !sorted {
		slices.SortFunc(list, Compare)
	}
	return list
}

// effective leaves out what was withdrawn and puts corrections in the place of
// what they correct.
func effective(entries []*Entry) []*Entry {
	amended := amendments(entries)
	if len(amended) == 0 {
		return entries
	}
	kept := make([]*Entry, 0, len(entries))
	for _, e := range entries {
		if by := amended[e.ID]; by != nil {
			c, ok := by.Body.(Corrected)
			if !ok {
				continue
			}
			corrected := *e
			corrected.At, corrected.Day, corrected.Point, corrected.Body = c.At, c.Day, c.Point, c.Body
			e = &corrected
		}
		kept = append(kept, e)
	}
	slices.SortFunc(kept, Compare)
	return kept
}

// Amendments gives, for each entry that was corrected or withdrawn, the
// amendment that holds.
func Amendments(entries []Entry) map[ID]*Entry { return amendments(ordered(entries)) }

// amendments: the latest word counts. Amendments are looked at from the last
// written to the first, and one that was itself withdrawn does nothing.
func amendments(entries []*Entry) map[ID]*Entry {
	var written []*Entry
	for _, e := range entries {
		switch e.Body.(type) {
		case Corrected, Withdrawn:
			written = append(written, e)
		}
	}
	slices.SortFunc(written, func(a, b *Entry) int {
		return cmp.Or(b.Noted.Compare(a.Noted), Compare(b, a))
	})
	amended := map[ID]*Entry{}
	for _, e := range written {
		target := amends(e)
		if _, gone := amended[e.ID]; gone {
			continue
		}
		if _, settled := amended[target]; !settled {
			amended[target] = e
		}
	}
	return amended
}

// amends gives the entry that an amendment names.
func amends(e *Entry) ID {
	switch body := e.Body.(type) {
	case Corrected:
		return body.Entry
	case Withdrawn:
		return body.Entry
	}
	return ID{}
}

// finish makes the indexes that the register is asked by.
func (r *Register) finish() {
	defer r.listLoops()
	r.settleQuantities()
	r.Site.Rules = r.Site.Rules.Filled()
	for _, p := range r.points {
		if p.Placed && p.Removed == nil {
			r.order = append(r.order, p)
		}
	}
	slices.SortFunc(r.order, comparePoints)
	r.tenures = map[LoopID][][]tenure{}
	for _, p := range r.points {
		for i, name := range p.refs {
			t := tenure{from: name.at, point: p}
			if i+1 < len(p.refs) {
				t.to = p.refs[i+1].at
			}
			r.hold(name.ref, t)
		}
	}
	for _, byNumber := range r.tenures {
		for _, list := range byNumber {
			slices.SortFunc(list, func(a, b tenure) int {
				return cmp.Or(a.from.Compare(b.from), comparePoints(a.point, b.point))
			})
		}
	}
}

func (r *Register) hold(ref Ref, t tenure) {
	if ref.Number == 0 {
		return
	}
	loop := LoopID{ref.Panel, ref.Loop}
	byNumber := r.tenures[loop]
	if short := ref.Number + 1 - len(byNumber); short > 0 {
		byNumber = append(byNumber, make([][]tenure, short)...)
	}
	byNumber[ref.Number] = append(byNumber[ref.Number], t)
	r.tenures[loop] = byNumber
}
