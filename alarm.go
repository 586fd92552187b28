package sootline

// AlarmKind is the kind of [Alarm].
const AlarmKind Kind = "alarm"

// Alarm says that a point, or the site, gave a fire alarm, wanted or not.
type Alarm struct {
	Cause string `json:"cause,omitempty"`
	Text  string `json:"text,omitempty"`
}

// Kind is AlarmKind.
func (Alarm) Kind() Kind { return AlarmKind }

func (Alarm) check() error { return nil }

func (x Alarm) fold(r *Register, e *Entry) {
	r.happened(e, Event{At: e.At, Kind: AlarmKind, Cause: x.Cause, Text: x.Text, Entry: e})
}
