package sootline

// NoteKind is the kind of [Note].
const NoteKind Kind = "note"

// Note is a remark on a point or on the site.
type Note struct {
	Text    string `json:"text" form:"in words"`
	Answers string `json:"answers,omitempty" form:"the question that it answers with no" seldom:""` // the key of a question that was answered with no
	Photo   string `json:"photo,omitempty" form:"photo" input:"photo" seldom:""`                    // SHA-256 of a picture that the book holds, 64 digits of 0-9a-f
	Unlike  string `json:"unlike,omitempty" form:"what a panel says otherwise" seldom:""`           // heard in a visit, of an activation: its zone or text is not the register's
}

// Kind is NoteKind.
func (Note) Kind() Kind { return NoteKind }

func (n Note) say() string {
	if n.Photo != "" {
		return Joined("photo", n.Text)
	}
	return Joined("note", n.Text, n.Unlike)
}

func (n Note) check() error {
	if n.Text == "" && n.Photo == "" {
		return Errorf(Invalid, "", "a note needs a text, or a photo")
	}
	return checkPhoto(n.Photo)
}

// PhotoName reports whether a text can be the name of a photo: its SHA-256 in
// lower-case hexadecimal digits.
func PhotoName(text string) bool {
	for i := range len(text) {
		if unhex(text[i]) > 15 {
			return false
		}
	}
	return len(text) == 64
}

func (n Note) fold(r *Register, e *Entry) {
	if n.Answers != "" {
		r.answered[n.Answers] = true
	}
	r.happened(e, Event{At: e.At, Kind: NoteKind, Text: Joined(n.Text, n.Unlike), Entry: e})
}
