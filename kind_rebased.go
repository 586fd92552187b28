package sootline

// RebasedKind is the kind of [Rebased].
const RebasedKind Kind = "rebased"

// Rebased says that the resting value was set anew in device or panel; its drift starts afresh.
type Rebased struct {
	Text string `json:"text,omitempty" form:"in words"`
}

// Kind is RebasedKind.
func (Rebased) Kind() Kind { return RebasedKind }

func (x Rebased) say() string {
	return Joined("resting value set anew", x.Text)
}

func (Rebased) check() error { return nil }

func (x Rebased) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Events = append(p.Events, Event{At: e.At, Kind: RebasedKind, Text: x.Text, Entry: e})
	p.reset(e, "rebased")
}
