package sootline

import (
	"cmp"
	"maps"
	"slices"
	"strings"
)

// BenchRun is a run at the bench as the log tells of it. What was taken back is
// not in it.
type BenchRun struct {
	ID             ID
	Said           Bench  // what its opening says
	Opened, Closed *Entry // nil: no entry says so
	Records        []BenchRecord
}

// BenchRecord is what became of one device or place, and the entry that says it.
type BenchRecord struct {
	Benched
	Entry *Entry
}

// run finds a run, or begins one: what was done in it may come before its opening,
// from a station whose clock is slow.
func (r *Register) run(id ID) *BenchRun {
	if r.runs[id] == nil {
		r.runs[id] = &BenchRun{ID: id}
	}
	return r.runs[id]
}

// BenchRuns lists the runs at the bench that were opened, in order of time.
func (r *Register) BenchRuns() []*BenchRun {
	opened := func(run *BenchRun) bool { return run.Opened != nil }
	runs := slices.SortedFunc(maps.Values(r.runs), func(a, b *BenchRun) int {
		if !opened(a) || !opened(b) {
			return slices.Compare(a.ID[:], b.ID[:])
		}
		return cmp.Or(a.Opened.At.Compare(b.Opened.At), slices.Compare(a.ID[:], b.ID[:]))
	})
	return slices.DeleteFunc(runs, func(run *BenchRun) bool { return !opened(run) })
}

// BenchRun gives the run of that id, or nil.
func (r *Register) BenchRun(id ID) *BenchRun {
	if run := r.runs[id]; run != nil && run.Opened != nil {
		return run
	}
	return nil
}

// Carries is the number that was set on the device, or read back from it, by the
// entries that were written with a record; 0: none of them says so.
func (r *Register) Carries(rec *BenchRecord) int {
	for _, id := range rec.With {
		if n := r.carried[id]; n != 0 {
			return n
		}
	}
	return 0
}

// SerialKey is the spelling by which serials are matched: case, spaces and marks
// between the characters do not distinguish them, since a label is read by eye or
// by a scanner.
func SerialKey(serial string) string {
	return strings.Map(func(c rune) rune {
		if strings.ContainsRune(" -./_\t", c) {
			return -1
		}
		return c
	}, strings.ToUpper(serial))
}
