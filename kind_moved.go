package sootline

// MovedKind is the kind of [Moved].
const MovedKind Kind = "moved"

// Moved describes a point's place anew, whole: it went elsewhere, or its zone,
// area or location text were put differently. The device stays the same.
type Moved struct {
	Place
}

// Kind is MovedKind.
func (Moved) Kind() Kind { return MovedKind }

func (m Moved) say() string {
	return Joined("moved, or described otherwise: "+m.Panel+"."+m.Loop, rest(m, "panel", "loop"))
}

func (m Moved) check() error { return m.Place.check() }

func (m Moved) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Place, p.placed = m.Place, e.At
	p.Placings = append(p.Placings, e)
	p.refer(e)
}

func (m Moved) facts() []FactSaid { return oneFact("where it is, and how that is described", m) }
