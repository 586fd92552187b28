package sootline

// TestedKind is the kind of [Tested].
const TestedKind Kind = "tested"

// Tested says that a device was made to act and was seen to, or failed to.
type Tested struct {
	Failed bool   `json:"failed,omitempty" form:"how it went" input:"outcome"`
	Text   string `json:"text,omitempty" form:"in words"`
	// Certain says that it passed, although its text may sound otherwise; of a failed one it says nothing.
	Certain bool `json:"certain,omitempty" form:"it passed, although the text may sound otherwise" seldom:""`
}

// Kind is TestedKind.
func (Tested) Kind() Kind { return TestedKind }

func (x Tested) say() string {
	if x.Failed {
		return "tested: " + Joined("failed", x.Text)
	}
	return "tested: " + Joined("passed", x.Text) // a list's own "passed" is said once
}

func (Tested) check() error { return nil }

func (x Tested) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Events = append(p.Events, Event{At: e.At, Kind: TestedKind, Text: x.Text, Failed: x.Failed, Entry: e})
	r.step(e)
}
