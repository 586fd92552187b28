package sootline

// ChangedKind is the kind of [Changed].
const ChangedKind Kind = "changed"

// Changed says that the configuration of the site was changed, and which points
// are known to be affected.
type Changed struct {
	Text   string `json:"text" form:"what was changed"`
	Points []ID   `json:"points,omitempty" form:"points known to be affected, by id" seldom:""`
}

// Kind is ChangedKind.
func (Changed) Kind() Kind { return ChangedKind }

func (c Changed) say() string {
	return Joined("configuration changed", c.Text, countSaid(len(c.Points), "point is known to be affected", "points are known to be affected"))
}

func (c Changed) check() error {
	if c.Text == "" {
		return Errorf(Invalid, "", "a change of configuration needs a text that says what was changed")
	}
	return nil
}

func (c Changed) fold(r *Register, e *Entry) {
	r.Events = append(r.Events, Event{At: e.At, Kind: ChangedKind, Text: c.Text, Entry: e})
}
