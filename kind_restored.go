package sootline

// RestoredKind is the kind of [Restored].
const RestoredKind Kind = "restored"

// Restored says that what was disabled is back in use.
type Restored struct {
	Text string `json:"text,omitempty" form:"in words"`
}

// Kind is RestoredKind.
func (Restored) Kind() Kind { return RestoredKind }

func (x Restored) say() string {
	return Joined("back in use", x.Text)
}

func (Restored) check() error { return nil }

func (x Restored) fold(r *Register, e *Entry) {
	r.happened(e, Event{At: e.At, Kind: RestoredKind, Text: x.Text, Entry: e})
	if !e.Point.Zero() {
		r.point(e.Point).Disabled = nil
	}
}
