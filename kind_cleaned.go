package sootline

// CleanedKind is the kind of [Cleaned].
const CleanedKind Kind = "cleaned"

// Cleaned says that a device was cleaned; its drift starts afresh.
type Cleaned struct {
	Text string `json:"text,omitempty" form:"in words"`
}

// Kind is CleanedKind.
func (Cleaned) Kind() Kind { return CleanedKind }

func (x Cleaned) say() string {
	return Joined("cleaned", x.Text)
}

func (Cleaned) check() error { return nil }

func (x Cleaned) fold(r *Register, e *Entry) {
	p := r.point(e.Point)
	p.Events = append(p.Events, Event{At: e.At, Kind: CleanedKind, Text: x.Text, Entry: e})
	p.reset(e, "cleaned")
}
