package sootline

// VisitKind is the kind of [Visit].
const VisitKind Kind = "visit"

// Visit says that an attendance on site begins or ends.
type Visit struct {
	State VisitState `json:"state" form:"it begins or ends"`
	Text  string     `json:"text,omitempty" form:"in words"`

	// What an opening says.
	Confirmed []string   `json:"confirmed,omitempty" form:"cautions confirmed" seldom:""` // by key
	Disabled  []string   `json:"disabled,omitempty" form:"taken out of use" seldom:""`    // for the visit, and by whom
	Minutes   int        `json:"minutes,omitempty" form:"minutes meant" seldom:""`
	Round     []ID       `json:"round,omitempty" form:"points to see, by id" seldom:""`    // in order
	Work      [][]string `json:"work,omitempty" form:"what was planned at each" seldom:""` // test, read, look, clean or replace

	// What a closing says.
	Left     LeftState `json:"left,omitempty" form:"how the site is left"`
	Standing []string  `json:"standing,omitempty" form:"still out of use" seldom:""`
	Untested []ID      `json:"untested,omitempty" form:"points of the round where something planned was not done, by id" seldom:""`
	Asked    int       `json:"asked,omitempty" form:"questions unanswered" seldom:""`
	Next     string    `json:"next,omitempty" form:"next due" seldom:""` // a day
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
	return Joined("visit "+string(v.State), v.Text, left, countSaid(len(v.Round), "point in its round", "points in its round"),
		countSaid(len(v.Untested), "point of it not seen", "points of it not seen"), rest(v, "state", "text", "left", "round", "work", "untested"))
}

func (v Visit) check() error {
	switch {
	case v.State != VisitOpened && v.State != VisitClosed:
		return Errorf(Invalid, "", "a visit is opened or closed, found %q", clip(string(v.State)))
	case v.Left != "" && v.Left != LeftNormal && v.Left != LeftNotNormal:
		return Errorf(Invalid, "", "a site is left normal or not normal, found %q", clip(string(v.Left)))
	case len(v.Work) > 0 && len(v.Work) != len(v.Round):
		return Errorf(Invalid, "", "a visit plans work at each point of its round: %d points, work at %d", len(v.Round), len(v.Work))
	case v.Minutes < 0 || v.Asked < 0:
		return Errorf(Invalid, "", "minutes and questions of a visit are numbers from 0")
	}
	return nil
}

func (v Visit) fold(r *Register, e *Entry) {
	r.Events = append(r.Events, Event{At: e.At, Kind: VisitKind, Cause: string(v.State), Text: v.Text, Entry: e})
	r.step(e)
}
