package sootline

// VisitKind is the kind of [Visit].
const VisitKind Kind = "visit"

// How a visit stands, and how it leaves the site.
const (
	VisitOpened   = "opened"
	VisitClosed   = "closed"
	LeftNormal    = "normal"
	LeftNotNormal = "not normal"
)

// Visit says that an attendance on site begins or ends.
type Visit struct {
	State string `json:"state"` // [VisitOpened] or [VisitClosed]
	Text  string `json:"text,omitempty"`

	// What an opening says.
	Confirmed []string `json:"confirmed,omitempty"` // cautions, by key
	Disabled  []string `json:"disabled,omitempty"`  // what was taken out of use for the visit, and by whom
	Minutes   int      `json:"minutes,omitempty"`   // how long it is meant to last
	Round     []ID     `json:"round,omitempty"`     // the points to see, in order

	// What a closing says.
	Left     string   `json:"left,omitempty"`     // [LeftNormal] or [LeftNotNormal]
	Standing []string `json:"standing,omitempty"` // what is still out of use
	Untested []ID     `json:"untested,omitempty"` // points of the round that nobody tested or read
	Asked    int      `json:"asked,omitempty"`    // questions that nobody answered
	Next     string   `json:"next,omitempty"`     // the day on which the next thing is due
}

// Kind is VisitKind.
func (Visit) Kind() Kind { return VisitKind }

func (v Visit) check() error {
	switch {
	case v.State != VisitOpened && v.State != VisitClosed:
		return Errorf(Invalid, "", "a visit is opened or closed, found %q", clip(v.State))
	case v.Left != "" && v.Left != LeftNormal && v.Left != LeftNotNormal:
		return Errorf(Invalid, "", "a site is left normal or not normal, found %q", clip(v.Left))
	case v.Minutes < 0 || v.Asked < 0:
		return Errorf(Invalid, "", "minutes and questions of a visit are numbers from 0")
	}
	return nil
}

func (v Visit) fold(r *Register, e *Entry) {
	r.Events = append(r.Events, Event{At: e.At, Kind: VisitKind, Cause: v.State, Text: v.Text, Entry: e})
}
