package sootline

// RetestedKind is the kind of [Retested].
const RetestedKind Kind = "retested"

// Retested says that a mended defect was tried again: it is closed, or open once
// more. At a point a function test that was passed does the same.
type Retested struct {
	Defect ID     `json:"defect" form:"the defect, by the id of the entry that told of it first"`
	Failed bool   `json:"failed,omitempty" form:"how it went" input:"outcome"`
	Text   string `json:"text,omitempty" form:"in words"`
	Photo  string `json:"photo,omitempty" form:"photo" input:"photo" seldom:""`
	// Certain says that it is in order, although its text may sound otherwise; of a failed one it says nothing.
	Certain bool `json:"certain,omitempty" form:"it is in order, although the text may sound otherwise" seldom:""`
}

// Kind is RetestedKind.
func (Retested) Kind() Kind { return RetestedKind }

func (x Retested) say() string {
	if x.Failed {
		return Joined("retested: failed", x.Text)
	}
	return Joined("retested: in order", x.Text)
}

func (x Retested) check() error {
	if err := checkDefectNamed(x.Defect); err != nil {
		return err
	}
	return checkPhoto(x.Photo)
}

func (Retested) fold(r *Register, e *Entry) { r.step(e) }
