package sootline

// NoteKind is the kind of [Note].
const NoteKind Kind = "note"

// Note is a remark on a point or on the site.
type Note struct {
	Text    string `json:"text"`
	Answers string `json:"answers,omitempty"` // the key of a question that was answered with no
	Photo   string `json:"photo,omitempty"`   // SHA-256 of a picture that the book holds, 64 digits of 0-9a-f
}

// Kind is NoteKind.
func (Note) Kind() Kind { return NoteKind }

func (n Note) check() error {
	switch {
	case n.Text == "" && n.Photo == "":
		return Errorf(Invalid, "", "a note needs a text")
	case n.Photo != "" && !PhotoName(n.Photo):
		return Errorf(Invalid, "", "a photo is named by the 64 digits of its SHA-256, found %q", clip(n.Photo))
	}
	return nil
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
	r.happened(e, Event{At: e.At, Kind: NoteKind, Text: n.Text, Entry: e})
}
