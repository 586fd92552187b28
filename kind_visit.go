package sootline

// VisitKind is the kind of [Visit].
const VisitKind Kind = "visit"

// Visit says that an attendance on site begins or ends.
type Visit struct {
	State VisitState `json:"state" form:"it begins or ends"`
	Text  string     `json:"text,omitempty"`

	// What an opening says.
	Confirmed []string `json:"confirmed,omitempty"` // cautions, by key
	Disabled  []string `json:"disabled,omitempty"`  // what was taken out of use for the visit, and by whom
	Minutes   int      `json:"minutes,omitempty"`   // how long it is meant to last
	Round     []ID     `json:"round,omitempty"`     // the points to see, in order

	// What a closing says.
	Left     LeftState `json:"left,omitempty" form:"how the site is left"`
	Standing []string  `json:"standing,omitempty"` // what is still out of use
	Untested []ID      `json:"untested,omitempty"` // points of the round that nobody tested or read
	Asked    int       `json:"asked,omitempty"`    // questions that nobody answered
	Next     string    `json:"next,omitempty"`     // the day on which the next thing is due
}

// VisitState says whether a visit begins or ends.
type VisitState string

// The states of a visit.
const (
	VisitOpened VisitState = "opened"
	VisitClosed VisitState = "closed"
)

func (VisitState) choices() []Choice {
	return []Choice{{string(VisitOpened), "it begins"}, {string(VisitClosed), "it ends"}}
}

// LeftState says how a site is left.
type LeftState string

// The ways in which a site is left.
const (
	LeftNormal    LeftState = "normal"
	LeftNotNormal LeftState = "not normal"
)

func (LeftState) choices() []Choice {
	return []Choice{{string(LeftNormal), "in normal operation"}, {string(LeftNotNormal), "not in normal operation"}}
}

// Kind is VisitKind.
func (Visit) Kind() Kind { return VisitKind }

func (v Visit) say() string {
	left := ""
	if v.Left != "" {
		left = "left " + string(v.Left)
	}
	return joined("visit "+string(v.State), v.Text, left, countSaid(len(v.Round), "point in its round", "points in its round"),
		countSaid(len(v.Untested), "point of it not seen", "points of it not seen"), rest(v, "state", "text", "left", "round", "untested"))
}

func (v Visit) check() error {
	switch {
	case v.State != VisitOpened && v.State != VisitClosed:
		return Errorf(Invalid, "", "a visit is opened or closed, found %q", clip(string(v.State)))
	case v.Left != "" && v.Left != LeftNormal && v.Left != LeftNotNormal:
		return Errorf(Invalid, "", "a site is left normal or not normal, found %q", clip(string(v.Left)))
	case v.Minutes < 0 || v.Asked < 0:
		return Errorf(Invalid, "", "minutes and questions of a visit are numbers from 0")
	}
	return nil
}

func (v Visit) fold(r *Register, e *Entry) {
	r.Events = append(r.Events, Event{At: e.At, Kind: VisitKind, Cause: string(v.State), Text: v.Text, Entry: e})
	r.step(e)
}
