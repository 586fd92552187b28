package sootline

// VisitKind is the kind of [Visit].
const VisitKind Kind = "visit"

// Visit says that an attendance on site begins or ends.
type Visit struct {
	State string `json:"state"` // "opened" or "closed"
	Text  string `json:"text,omitempty"`
}

// Kind is VisitKind.
func (Visit) Kind() Kind { return VisitKind }

func (v Visit) check() error {
	if v.State != "opened" && v.State != "closed" {
		return Errorf(Invalid, "", "a visit is opened or closed, found %q", clip(v.State))
	}
	return nil
}

func (v Visit) fold(r *Register, e *Entry) {
	r.Events = append(r.Events, Event{At: e.At, Kind: VisitKind, Cause: v.State, Text: v.Text, Entry: e})
}
