package sootline

// FaultKind is the kind of [Fault].
const FaultKind Kind = "fault"

// Fault says that a fault was shown for a point, or for the site.
type Fault struct {
	Cause string `json:"cause,omitempty" form:"cause"`
	Text  string `json:"text,omitempty" form:"in words"`
}

// Kind is FaultKind.
func (Fault) Kind() Kind { return FaultKind }

func (x Fault) say() string {
	return Joined("fault", x.Cause, x.Text)
}

func (Fault) check() error { return nil }

func (x Fault) fold(r *Register, e *Entry) {
	r.happened(e, Event{At: e.At, Kind: FaultKind, Cause: x.Cause, Text: x.Text, Entry: e})
	r.step(e)
}
