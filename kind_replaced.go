package sootline

// ReplacedKind is the kind of [Replaced].
const ReplacedKind Kind = "replaced"

// Replaced says that another device was fitted at the same point; the drift
// starts afresh. An empty type means the same type.
type Replaced struct {
	Type string `json:"type,omitempty" form:"type, where it is another"`
	Unit
	Text string `json:"text,omitempty" form:"in words"`
}

// Kind is ReplacedKind.
func (Replaced) Kind() Kind { return ReplacedKind }

func (x Replaced) say() string {
	return Joined("replaced", x.Type, x.Unit.say(), x.Text)
}

func (Replaced) check() error { return nil }

func (x Replaced) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	replace(&p.Type, x.Type)
	p.Unit, p.UnitSince = x.Unit, e.At
	r.sawUnit(p)
	p.Events = append(p.Events, Event{At: e.At, Kind: ReplacedKind, Text: x.Text, Entry: e})
	p.reset(e, "replaced")
	r.step(e)
}
