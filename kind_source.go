package sootline

import "encoding/json"

// SourceKind is the kind of [Source].
const SourceKind Kind = "listening"

// Source says where a source of the site is heard, a panel's printer line say, and how what it prints is read. A later one of
// the same name replaces it; one that has neither says that nothing of it is read any more.
type Source struct {
	Name    string `json:"name" form:"what the source is called"`
	Panel   string `json:"panel,omitempty" form:"the panel of which it tells"`
	Via     string `json:"via,omitempty" form:"by what it is heard"`        // a kind of source, see internal/ear
	Address string `json:"address,omitempty" form:"where it is heard"`      // as its kind has it
	Speed   int    `json:"speed,omitempty" form:"speed of the line, bit/s"` // of a serial line; 0: it is found out
	Places  string `json:"places,omitempty" form:"which value is of which point"`
	Minutes int    `json:"minutes,omitempty" form:"how often values are read, minutes"`
	Style   string `json:"style,omitempty" form:"how its lines are read, as it was learned"` // JSON, see internal/live
	Text    string `json:"text,omitempty" form:"in words"`
}

// Kind is SourceKind.
func (Source) Kind() Kind { return SourceKind }

func (s Source) say() string {
	if s.none() {
		return Joined("source "+quoted(s.Name)+" is not read any more", s.Text)
	}
	where, how := "", ""
	if s.Via != "" {
		where = "heard by " + Joined(s.Via, s.Address)
	}
	if s.Style != "" {
		how = "how its lines are read was learned"
	}
	return Joined("source "+quoted(s.Name)+": "+Joined(where, how), s.Text)
}

// none reports whether nothing is heard and nothing is read.
func (s Source) none() bool { return s.Style == "" && s.Via == "" }

// What a source may hold: an address is a path or a host and port.
const (
	mostSourceAddress = 400
	mostSourceSpeed   = 4_000_000
	mostSourcePlaces  = 1 << 20 // bytes: a line for each of some thousand points
	mostSourceMinutes = 60 * 24 * 31
)

func (s Source) check() error {
	if _, err := ProperName("source", s.Name, mostSourceName); err != nil {
		return err
	}
	if s.Style != "" && !json.Valid([]byte(s.Style)) {
		return Errorf(Invalid, "teach it anew", "how the lines of source %q are read is not JSON", s.Name)
	}
	if len(s.Via) > mostSourceName || len(s.Address) > mostSourceAddress || s.Speed < 0 || s.Speed > mostSourceSpeed ||
		len(s.Places) > mostSourcePlaces || s.Minutes < 0 || s.Minutes > mostSourceMinutes {
		return Errorf(Invalid, "say it shorter", "where source %q is heard is more than a source can hold", s.Name)
	}
	return nil
}

// mostSourceName is how many characters the name of a source has at most: it names a folder, too.
const mostSourceName = 40

func (s Source) fold(r *Register, e *Entry) {
	if s.none() {
		delete(r.Sources, s.Name)
		return
	}
	if r.Sources == nil {
		r.Sources = map[string]Source{}
	}
	r.Sources[s.Name] = s
}
