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
		if said := r.numbers[id]; said.Found != 0 || said.Set != 0 {
			return cmp.Or(said.Found, said.Set)
		}
	}
	return 0
}

// ReadBack is the number that was read back from the device by the entries that were
// written with a record; 0: none of them says so.
func (r *Register) ReadBack(rec *BenchRecord) int {
	for _, id := range rec.With {
		if n := r.numbers[id].Found; n != 0 {
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

// InBench reports whether an entry was written with a record at the bench.
func (r *Register) InBench(e *Entry) bool {
	for _, run := range r.runs {
		for i := range run.Records {
			if slices.Contains(run.Records[i].With, e.ID) {
				return true
			}
		}
	}
	return false
}

// SetTwice is a point for which several devices were set at the bench, and no entry
// says which of them is there.
type SetTwice struct {
	Point   *Point
	Records []BenchRecord // in order of time
}

// SetTwice lists these points, in the order of the register.
func (r *Register) SetTwice() []SetTwice {
	set := map[ID][]BenchRecord{}
	for _, run := range r.BenchRuns() {
		for i := range run.Records {
			if rec := &run.Records[i]; rec.Outcome == BenchDone && !rec.Entry.Point.Zero() {
				set[rec.Entry.Point] = append(set[rec.Entry.Point], *rec)
			}
		}
	}
	var all []SetTwice
	for _, p := range r.order {
		if records := set[p.ID]; len(records) > 1 {
			if standing := r.standing(records); len(standing) > 1 {
				all = append(all, SetTwice{p, standing})
			}
		}
	}
	return all
}

// standing leaves out of the records of one point those whose device was replaced since,
// or whose run had ended when another one was set there, and those that are one device.
func (r *Register) standing(records []BenchRecord) []BenchRecord {
	slices.SortStableFunc(records, func(a, b BenchRecord) int { return a.Entry.At.Compare(b.Entry.At) })
	var all []BenchRecord
	for i := range records {
		rec := &records[i]
		ended := r.runs[rec.Run].Closed
		gone := r.LeftAt(rec) || slices.ContainsFunc(records[i+1:], func(later BenchRecord) bool {
			same := SerialKey(later.Serial) != "" && SerialKey(later.Serial) == SerialKey(rec.Serial)
			return same || later.Run != rec.Run && ended != nil && !ended.At.After(later.Entry.At)
		})
		if !gone {
			all = append(all, *rec)
		}
	}
	return all
}
