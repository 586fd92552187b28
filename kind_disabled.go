package sootline

// DisabledKind is the kind of [Disabled].
const DisabledKind Kind = "disabled"

// Disabled says that a point was taken out of use; without a point, some part
// of the site that the text names.
type Disabled struct {
	Cause string `json:"cause,omitempty" form:"cause"`
	Text  string `json:"text,omitempty" form:"in words"`
}

// Kind is DisabledKind.
func (Disabled) Kind() Kind { return DisabledKind }

func (x Disabled) say() string {
	return Joined("disabled", x.Cause, x.Text)
}

func (Disabled) check() error { return nil }

func (x Disabled) fold(r *Register, e *Entry) {
	event := Event{At: e.At, Kind: DisabledKind, Cause: x.Cause, Text: x.Text, Entry: e}
	r.happened(e, event)
	if !e.Point.Zero() {
		r.point(e.Point).Disabled = &event
	}
}
