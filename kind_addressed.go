package sootline

// AddressedKind is the kind of [Addressed].
const AddressedKind Kind = "addressed"

// Addressed says which number a point should have, or was found to have. Zero
// means that the entry does not say; a device still at its unset number was
// found at that number.
type Addressed struct {
	Wanted int    `json:"wanted,omitempty" form:"the number it should have"`
	Found  int    `json:"found,omitempty" form:"the number it was found to have"`
	Text   string `json:"text,omitempty" form:"in words"`
}

// Kind is AddressedKind.
func (Addressed) Kind() Kind { return AddressedKind }

func (a Addressed) say() string {
	return Joined("number "+Joined(numberSaid("wanted", a.Wanted), numberSaid("found", a.Found)), a.Text)
}

func (a Addressed) check() error {
	if a.Wanted < 0 || a.Found < 0 || a.Wanted > 9999 || a.Found > 9999 || a.Wanted+a.Found == 0 {
		return Errorf(Invalid, "", "a number lies between 1 and 9999, found %d wanted and %d found", a.Wanted, a.Found)
	}
	return nil
}

func (a Addressed) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	replace(&p.Wanted, a.Wanted)
	replace(&p.Found, a.Found)
	p.refer(e)
}
