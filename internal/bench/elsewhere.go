package bench

import (
	"slices"
	"time"

	"sootline"
)

// Elsewhere is a device that another run set for a place of this one.
type Elsewhere struct {
	Run     *sootline.BenchRun
	Record  sootline.BenchRecord
	Carries int // 0: nobody said
}

// Open reports whether the other run is open.
func (e *Elsewhere) Open() bool { return e.Run.Closed == nil }

// Closed is when the other run ended; zero: it is open.
func (e *Elsewhere) Closed() time.Time {
	if e.Open() {
		return time.Time{}
	}
	return e.Run.Closed.At
}

// Name is what sentences call the other run.
func (e *Elsewhere) Name() string {
	if e.Run.Said.Name == "" {
		return "another run"
	}
	return "run " + e.Run.Said.Name
}

// others notes what other runs set for places of this one while both were open, and is
// there still.
func (run *Run) others() {
	if run.Opened == nil {
		return // a replacement on site is no run
	}
	for _, other := range run.register.BenchRuns() {
		if other.ID == run.ID || other.Closed != nil && !other.Closed.At.After(run.Opened.At) {
			continue
		}
		for _, rec := range other.Records {
			place := run.byPoint[rec.Entry.Point]
			if rec.Outcome == sootline.BenchDone && place != nil && !place.Gone && !run.register.LeftAt(&rec) {
				place.elsewhere = append(place.elsewhere, Elsewhere{other, rec, run.register.Carries(&rec)})
			}
		}
	}
}

// Elsewhere lists what other runs set for the place while both were open.
func (p *Place) Elsewhere() []Elsewhere { return p.elsewhere }

// SetElsewhere is a device that another open run set for the place; nil: there is none.
func (p *Place) SetElsewhere() *Elsewhere {
	for i := range p.elsewhere {
		if p.elsewhere[i].Open() {
			return &p.elsewhere[i]
		}
	}
	return nil
}

// Beside lists the devices of other runs that stand beside those of this one: each was
// set while the run of the other had not ended, so that neither is the replacement.
func (run *Run) Beside(p *Place) []Elsewhere {
	return slices.DeleteFunc(slices.Clone(p.elsewhere), func(e Elsewhere) bool {
		return !slices.ContainsFunc(p.Done, func(rec sootline.BenchRecord) bool { return run.beside(&rec, &e) })
	})
}

func (run *Run) beside(rec *sootline.BenchRecord, e *Elsewhere) bool {
	key := sootline.SerialKey(rec.Serial)
	return (key == "" || key != sootline.SerialKey(e.Record.Serial)) &&
		(e.Open() || e.Closed().After(rec.Entry.At)) && (run.Closed == nil || e.Record.Entry.At.Before(run.Closed.At))
}

// setFor lists the serials that were set for a place: in this run, and in others where
// that stands.
func (run *Run) setFor(p *Place) []string {
	var serials []string
	for _, rec := range p.Done {
		serials = append(serials, rec.Serial)
	}
	for _, e := range p.elsewhere {
		if p.Open() && e.Open() || slices.ContainsFunc(p.Done, func(rec sootline.BenchRecord) bool { return run.beside(&rec, &e) }) {
			serials = append(serials, e.Record.Serial)
		}
	}
	return serials
}

// UnitOf is the unit that is at a point; none where it is missing.
func (run *Run) UnitOf(p *sootline.Point) sootline.Unit {
	if p.Absent() {
		return sootline.Unit{}
	}
	return p.Unit
}

// strands reports whether a device was set for a point in this run, and for no other
// point since.
func (run *Run) strands(point sootline.ID) bool {
	for i := range run.Records {
		if rec := &run.Records[i]; rec.Entry.Point == point && rec.Outcome == sootline.BenchDone && !run.movedOn(i) {
			return true
		}
	}
	return false
}

// movedOn reports whether the device of a record was set for another point since.
func (run *Run) movedOn(i int) bool {
	rec := &run.Records[i]
	key := sootline.SerialKey(rec.Serial)
	return key != "" && slices.ContainsFunc(run.Records[i+1:], func(later sootline.BenchRecord) bool {
		return later.Outcome == sootline.BenchDone && later.Entry.Point != rec.Entry.Point && sootline.SerialKey(later.Serial) == key
	})
}
