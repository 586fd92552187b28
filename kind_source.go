package sootline

import "encoding/json"

// SourceKind is the kind of [Source].
const SourceKind Kind = "listening"

// Source says how what a source of the site prints is read: a panel's printer line, say. A later one of the same name
// replaces it; one without a style says that nothing of it is read any more.
type Source struct {
	Name  string `json:"name" form:"what the source is called"`
	Panel string `json:"panel,omitempty" form:"the panel of which it tells"`
	Style string `json:"style,omitempty" form:"how its lines are read, as it was learned"` // JSON, see internal/live
	Text  string `json:"text,omitempty" form:"in words"`
}

// Kind is SourceKind.
func (Source) Kind() Kind { return SourceKind }

func (s Source) say() string {
	if s.Style == "" {
		return Joined("source "+quoted(s.Name)+" is not read any more", s.Text)
	}
	return Joined("source "+quoted(s.Name)+": how its lines are read was learned", s.Text)
}

func (s Source) check() error {
	if _, err := ProperName("source", s.Name, mostSourceName); err != nil {
		return err
	}
	if s.Style != "" && !json.Valid([]byte(s.Style)) {
		return Errorf(Invalid, "teach it anew", "how the lines of source %q are read is not JSON", s.Name)
	}
	return nil
}

// mostSourceName is how many characters the name of a source has at most: it names a folder, too.
const mostSourceName = 40

func (s Source) fold(r *Register, e *Entry) {
	if s.Style == "" {
		delete(r.Sources, s.Name)
		return
	}
	if r.Sources == nil {
		r.Sources = map[string]Source{}
	}
	r.Sources[s.Name] = s
}
