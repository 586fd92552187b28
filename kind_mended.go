package sootline

// MendedKind is the kind of [Mended].
const MendedKind Kind = "mended"

// Mended says that a defect was mended. It stays on the lists until it was
// retested.
type Mended struct {
	Defect ID     `json:"defect" form:"the defect, by the id of the entry that told of it first"`
	Text   string `json:"text,omitempty" form:"what was done, and by whom"`
	Photo  string `json:"photo,omitempty" form:"photo" input:"photo" seldom:""`
}

// Kind is MendedKind.
func (Mended) Kind() Kind { return MendedKind }

func (m Mended) say() string { return Joined("defect mended", m.Text) }

func (m Mended) check() error {
	if err := checkDefectNamed(m.Defect); err != nil {
		return err
	}
	return checkPhoto(m.Photo)
}

func (Mended) fold(r *Register, e *Entry) { r.step(e) }
