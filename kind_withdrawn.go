package sootline

// WithdrawnKind is the kind of [Withdrawn].
const WithdrawnKind Kind = "withdrawn"

// Withdrawn takes another entry back, as if it had not been written. Taking a
// withdrawal back lets the first entry hold again.
type Withdrawn struct {
	Entry ID     `json:"entry"`
	Why   string `json:"why,omitempty"`
	Seen  []ID   `json:"seen,omitempty"` // as of [Corrected]
}

// Kind is WithdrawnKind.
func (Withdrawn) Kind() Kind { return WithdrawnKind }

func (w Withdrawn) say() string {
	return Joined("takes another entry back", w.Why)
}

func (w Withdrawn) check() error {
	if w.Entry.Zero() {
		return Errorf(Invalid, "the log shows the ids", "a withdrawal names the entry that it takes back").Do(ReadLog)
	}
	return nil
}

// fold has nothing to do: withdrawals are applied before the fold.
func (Withdrawn) fold(*Register, *Entry) {}
