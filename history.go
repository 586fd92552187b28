package sootline

import (
	"slices"
	"time"
)

// Log is the log of a site in memory: its entries in order, and what holds of
// them. It never changes, and neither may the entries; [Log.With] makes a longer
// one. Registers folded from it point into it.
type Log struct {
	entries   series        // as they were written
	effective series        // as they hold: corrected, and without what was withdrawn
	rare      series        // those of the effective that are neither readings nor tests
	amended   map[ID]*Entry // by entry, the amendment that holds
	disputes  []Dispute
}

// NewLog makes the log of entries in any order, which must not be changed any
// more.
func NewLog(entries []Entry) *Log {
	l := &Log{entries: newSeries(ordered(entries))}
	l.settle()
	return l
}

// With gives the log with more entries, which may come in any order. Where they
// amend nothing and happened after all others, it costs what they are, not what
// the log has grown to.
func (l *Log) With(more []Entry) *Log {
	if len(more) == 0 {
		return l
	}
	fresh := ordered(more)
	longer := &Log{entries: l.entries.with(fresh)}
	if slices.ContainsFunc(fresh, func(e *Entry) bool { return !amends(e).Zero() }) || l.touches(fresh) {
		longer.settle()
		return longer
	}
	longer.amended, longer.disputes = l.amended, l.disputes
	longer.effective = l.effective.with(fresh)
	longer.rare = l.rare.with(rareOf(fresh))
	return longer
}

// touches reports whether an amendment that is there already is about one of the
// entries.
func (l *Log) touches(entries []*Entry) bool {
	return slices.ContainsFunc(entries, func(e *Entry) bool { return l.amended[e.ID] != nil })
}

// Len is how many entries the log has.
func (l *Log) Len() int { return len(l.entries.list) }

// Entries lists the entries as they were written, in order. The list must not be
// changed.
func (l *Log) Entries() []*Entry { return l.entries.list }

// Holding lists the entries as they hold, in order: a corrected one says what it
// should have said, a withdrawn one is left out. The list must not be changed.
func (l *Log) Holding() []*Entry { return l.effective.list }

// WrittenSince is Entries without what happened before an instant.
func (l *Log) WrittenSince(from time.Time) []*Entry { return l.entries.list[l.entries.at(from):] }

// HoldingSince is Holding without what happened before an instant.
func (l *Log) HoldingSince(from time.Time) []*Entry {
	return l.effective.list[l.effective.at(from):]
}

// Amendment gives the amendment of an entry that holds, or nil.
func (l *Log) Amendment(entry ID) *Entry { return l.amended[entry] }

// settle works out what holds.
func (l *Log) settle() {
	l.amended = amendments(l.entries.list)
	l.disputes = disputes(l.entries.list, l.amended)
	l.effective = newSeries(effective(l.entries.list, l.amended))
	l.rare = newSeries(rareOf(l.effective.list))
}

// rareOf leaves out readings and tests, which are nearly all of a log.
func rareOf(entries []*Entry) []*Entry {
	var rare []*Entry
	for _, e := range entries {
		switch e.Body.(type) {
		case Read, Tested:
		default:
			rare = append(rare, e)
		}
	}
	return rare
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
func effective(entries []*Entry, amended map[ID]*Entry) []*Entry {
	if len(amended) == 0 {
		return entries
	}
	kept := make([]*Entry, 0, len(entries))
	var corrected []*Entry
	for _, e := range entries {
		by := amended[e.ID]
		if by == nil {
			kept = append(kept, e)
			continue
		}
		if c, ok := by.Body.(Corrected); ok {
			put := *e
			put.At, put.Day, put.Point, put.Body = c.At, c.Day, c.Point, c.Body
			corrected = append(corrected, &put)
		}
	}
	slices.SortFunc(corrected, Compare)
	return mergeOrdered(kept, corrected)
}
