package sootline

// UnreachedKind is the kind of [Unreached].
const UnreachedKind Kind = "unreached"

// Unreached says that somebody came to see a device and could not get at it. It
// proves no work; it tells the next visit why there was none.
type Unreached struct {
	Text string `json:"text,omitempty" form:"in words"` // why
}

// Kind is UnreachedKind.
func (Unreached) Kind() Kind { return UnreachedKind }

func (x Unreached) say() string {
	return Joined("could not be reached", x.Text)
}

func (Unreached) check() error { return nil }

func (x Unreached) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Events = append(p.Events, Event{At: e.At, Kind: UnreachedKind, Text: x.Text, Entry: e})
}
