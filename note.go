package sootline

// NoteKind is the kind of [Note].
const NoteKind Kind = "note"

// Note is a remark on a point or on the site.
type Note struct {
	Text    string `json:"text"`
	Answers string `json:"answers,omitempty"` // the key of a question that was answered with no
}

// Kind is NoteKind.
func (Note) Kind() Kind { return NoteKind }

func (n Note) check() error {
	if n.Text == "" {
		return Errorf(Invalid, "", "a note needs a text")
	}
	return nil
}

func (n Note) fold(r *Register, e *Entry) {
	if n.Answers != "" {
		r.answered[n.Answers] = true
	}
	r.happened(e, Event{At: e.At, Kind: NoteKind, Text: n.Text, Entry: e})
}
