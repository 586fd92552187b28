package sootline

import "strings"

// BenchedKind is the kind of [Benched].
const BenchedKind Kind = "benched"

// Benched says what became of a device, or of a place, in a run at the bench. It
// has no point where a device was rejected that had no place. What else was
// written with it is named, so that it is taken back with it.
type Benched struct {
	Run     ID           `json:"run" form:"the run, by its id"`
	Outcome BenchOutcome `json:"outcome" form:"what became of it"`
	Unit
	Type   string `json:"type,omitempty" form:"type, where it is another"`
	Reason string `json:"reason,omitempty" form:"why"`
	With   []ID   `json:"with,omitempty" form:"entries written with it, by id" seldom:""`
}

// BenchOutcome says what became of a device or a place.
type BenchOutcome string

// The outcomes. A place that was skipped comes again; a rejected device leaves
// its place open.
const (
	BenchDone     BenchOutcome = "done"
	BenchSkipped  BenchOutcome = "skipped"
	BenchRejected BenchOutcome = "rejected"
)

func (BenchOutcome) choices() []Choice {
	return []Choice{{string(BenchDone), "set, and in its place"}, {string(BenchSkipped), "skipped for now"}, {string(BenchRejected), "the device is rejected"}}
}

// Kind is BenchedKind.
func (Benched) Kind() Kind { return BenchedKind }

func (b Benched) say() string {
	return Joined("at the bench: "+string(b.Outcome), b.Type, b.Unit.say(), b.Reason)
}

func (b Benched) check() error {
	switch {
	case b.Run.Zero():
		return Errorf(Invalid, "", "what was done at the bench names its run")
	case b.Outcome != BenchDone && b.Outcome != BenchSkipped && b.Outcome != BenchRejected:
		return Errorf(Invalid, "", "at the bench a device is done, skipped or rejected, found %q", clip(string(b.Outcome)))
	case b.Outcome == BenchRejected && strings.TrimSpace(b.Reason) == "":
		return Errorf(Invalid, "say why, in a word", "a rejected device has a reason")
	}
	return nil
}

func (b Benched) fold(r *Register, e *Entry) {
	run := r.run(b.Run)
	run.Records = append(run.Records, BenchRecord{b, e})
	if b.Outcome != BenchDone || e.Point.Zero() {
		return
	}
	p := r.point(e.Point)
	replace(&p.Type, b.Type)
	if b.Unit != (Unit{}) && b.Unit != p.Unit {
		p.Unit, p.UnitSince = b.Unit, e.At
	}
	if b.Serial != "" {
		r.sawUnit(p)
	}
}
