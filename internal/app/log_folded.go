package app

import (
	"cmp"
	"slices"

	"sootline"
)

// byAct finds the act that wrote an entry.
type byAct map[string][]*Act // by station, in the order of their entries

func newByAct(acts []Act) byAct {
	by := byAct{}
	for i := range acts {
		station := acts[i].Entry.Station
		by[station] = append(by[station], &acts[i])
	}
	for _, list := range by {
		slices.SortFunc(list, func(a, b *Act) int { return cmp.Compare(a.Taken.First, b.Taken.First) })
	}
	return by
}

// of gives the act that wrote an entry, nil where somebody wrote it by hand.
func (b byAct) of(e *sootline.Entry) *Act {
	list := b[e.Station]
	i, exact := slices.BinarySearchFunc(list, e.Seq, func(a *Act, seq int64) int { return cmp.Compare(a.Taken.First, seq) })
	if !exact {
		i--
	}
	if i < 0 || !list[i].Taken.Wrote(list[i].Entry, e) {
		return nil
	}
	return list[i]
}

// folds gives what leaves entries out for takes: those that are not of the one asked for, or all that a line tells of.
func (f LogFilter) folds(log *sootline.Log) (out func(*sootline.Entry) bool, err error) {
	if f.Take != "" {
		act, err := actNamed(log, f.Take)
		if err != nil {
			return nil, err
		}
		return func(e *sootline.Entry) bool { return e.ID != act.Entry.ID && !act.Taken.Wrote(act.Entry, e) }, nil
	}
	if !f.Folded {
		return func(*sootline.Entry) bool { return false }, nil
	}
	by := newByAct(actsOf(log))
	return func(e *sootline.Entry) bool { return by.of(e) != nil }, nil
}
