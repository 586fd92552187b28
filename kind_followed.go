package sootline

import "time"

// FollowedKind is the kind of [Followed].
const FollowedKind Kind = "followed"

// Followed says what became of a defect short of its mending: who was told, what
// was agreed, what it needs and by when. What it leaves empty stays as it was.
type Followed struct {
	Defect ID          `json:"defect" form:"the defect, by the id of the entry that told of it first"`
	Told   string      `json:"told,omitempty" form:"who was told"`
	Agreed string      `json:"agreed,omitempty" form:"what was agreed, and with whom"`
	Needs  string      `json:"needs,omitempty" form:"what it needs"`
	ByDay  string      `json:"by_day,omitempty" form:"to be mended by" input:"day"`
	Grade  DefectGrade `json:"grade,omitempty" form:"how grave, if otherwise than before"`
	Text   string      `json:"text,omitempty" form:"in words"`
	Photo  string      `json:"photo,omitempty" form:"photo" input:"photo" seldom:""`
}

// Kind is FollowedKind.
func (Followed) Kind() Kind { return FollowedKind }

func (f Followed) say() string {
	return Joined("defect followed", labelledText("told:", f.Told), labelledText("agreed:", f.Agreed), labelledText("needs", f.Needs),
		labelledText("by", f.ByDay), string(f.Grade), f.Text)
}

func (f Followed) check() error {
	if err := checkDefectNamed(f.Defect); err != nil {
		return err
	}
	if (f == Followed{Defect: f.Defect}) {
		return Errorf(Invalid, "", "say who was told, what was agreed, what it needs, or anything else of the defect")
	}
	if f.Grade != "" {
		if err := checkChoice("grade", string(f.Grade), f.Grade.choices()); err != nil {
			return err
		}
	}
	if f.ByDay != "" {
		if _, err := time.Parse(time.DateOnly, f.ByDay); err != nil {
			return Errorf(Invalid, "write 2026-01-15", "%q is not a day", clip(f.ByDay))
		}
	}
	return checkPhoto(f.Photo)
}

func (Followed) fold(r *Register, e *Entry) { r.step(e) }

func checkDefectNamed(defect ID) error {
	if defect.Zero() {
		return Errorf(Invalid, "the list of defects shows the ids", "say which defect it is about")
	}
	return nil
}
