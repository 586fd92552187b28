package sootline

// RemovedKind is the kind of [Removed].
const RemovedKind Kind = "removed"

// Removed says that a point is no more: nothing is fitted there, and nothing
// will be.
type Removed struct {
	Text string `json:"text,omitempty" form:"in words"`
}

// Kind is RemovedKind.
func (Removed) Kind() Kind { return RemovedKind }

func (m Removed) say() string {
	return Joined("removed: the point is no more", m.Text)
}

func (Removed) check() error { return nil }

func (m Removed) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Removed = &Event{At: e.At, Text: m.Text, Entry: e}
	p.Gone = e.At
	p.Placings = append(p.Placings, e)
	p.refer(e)
	r.step(e)
}
