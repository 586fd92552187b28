package sootline

// DefectKind is the kind of [Defect].
const DefectKind Kind = "defect"

// Defect says that something is wrong at a point, or at a place of the site that
// the text names. A failed test and a fault tell of a defect too, by themselves.
type Defect struct {
	Nature DefectNature `json:"nature" form:"what kind of defect"`
	Grade  DefectGrade  `json:"grade" form:"how grave"`
	Text   string       `json:"text,omitempty" form:"what is seen, in words"`
	Needs  string       `json:"needs,omitempty" form:"what it needs"`
	Photo  string       `json:"photo,omitempty" form:"photo" input:"photo" seldom:""` // SHA-256 of a picture that the book holds
	Place  string       `json:"place,omitempty" form:"where, if at no point"`
}

// DefectNature says what kind of thing is wrong.
type DefectNature string

// The natures of a defect (common practice, no source).
const (
	FailedTest    DefectNature = "failed test" // told by a test; not written by hand
	FaultDefect   DefectNature = "fault"
	Damage        DefectNature = "damage"
	Obstruction   DefectNature = "obstruction"
	WrongDevice   DefectNature = "wrong device"
	MissingDevice DefectNature = "missing device"
	Reported      DefectNature = "reported" // by the people there
	OtherDefect   DefectNature = "other"
)

func (DefectNature) choices() []Choice {
	return []Choice{
		{string(Damage), "damage"},
		{string(Obstruction), "obstruction: something stands or hangs in the way"},
		{string(WrongDevice), "a wrong device for the place"},
		{string(MissingDevice), "a device is missing"},
		{string(FaultDefect), "a fault"},
		{string(Reported), "reported by the people there"},
		{string(OtherDefect), "something else"},
	}
}

// DefectGrade says how grave a defect is.
type DefectGrade string

// The grades of a defect (a choice of ours, no source).
const (
	MinorDefect    DefectGrade = "minor"
	SeriousDefect  DefectGrade = "serious"
	CriticalDefect DefectGrade = "critical"
)

func (DefectGrade) choices() []Choice {
	return []Choice{
		{string(MinorDefect), "minor: to be put right when somebody is there"},
		{string(SeriousDefect), "serious: the device may not do what it is there for"},
		{string(CriticalDefect), "critical: a part of the site is without protection"},
	}
}

// Kind is DefectKind.
func (Defect) Kind() Kind { return DefectKind }

func (d Defect) say() string {
	return Joined("defect: "+string(d.Nature), string(d.Grade), d.Place, d.Text, labelledText("needs", d.Needs))
}

func (d Defect) check() error {
	if d.Nature == FailedTest {
		return Errorf(Invalid, "add it as a test that failed", "a failed test is written down as a test")
	}
	if err := checkChoice("nature", string(d.Nature), d.Nature.choices()); err != nil {
		return err
	}
	if err := checkChoice("grade", string(d.Grade), d.Grade.choices()); err != nil {
		return err
	}
	if d.Text == "" && d.Photo == "" {
		return Errorf(Invalid, "", "a defect needs a text that says what is seen, or a photo")
	}
	return checkPhoto(d.Photo)
}

func (d Defect) fold(r *Register, e *Entry) { r.step(e) }

// checkChoice refuses what is none of the choices.
func checkChoice(what, value string, choices []Choice) error {
	var values []string
	for _, c := range choices {
		if c.Value == value {
			return nil
		}
		values = append(values, c.Value)
	}
	return Errorf(Invalid, "say one of: "+listed(values), "%q is not a %s", clip(value), what)
}

// checkPhoto refuses what cannot be the name of a picture; empty is none.
func checkPhoto(photo string) error {
	if photo != "" && !PhotoName(photo) {
		return Errorf(Invalid, "", "a photo is named by the 64 digits of its SHA-256, found %q", clip(photo))
	}
	return nil
}

// PhotoOf gives the hash of the picture that a body names, or empty.
func PhotoOf(body Body) string {
	switch body := body.(type) {
	case Note:
		return body.Photo
	case Defect:
		return body.Photo
	case Followed:
		return body.Photo
	case Mended:
		return body.Photo
	case Retested:
		return body.Photo
	}
	return ""
}
