package sootline

// PinnedKind is the kind of [Pinned].
const PinnedKind Kind = "pinned"

// Pinned says where the chains of other stations ended when their lines came in,
// or when the book was backed up. The program writes it: from then on those
// chains cannot be rewritten without rewriting this one too.
type Pinned struct {
	Heads []Head `json:"heads"`
	Why   string `json:"why,omitempty"`
}

// Kind is PinnedKind.
func (Pinned) Kind() Kind { return PinnedKind }

func (p Pinned) say() string {
	return Joined(countSaid(len(p.Heads), "chain of another station witnessed", "chains of other stations witnessed"), p.Why)
}

func (p Pinned) check() error {
	if len(p.Heads) == 0 {
		return Errorf(Invalid, "", "a pin names at least one head")
	}
	for i := range p.Heads {
		if p.Heads[i].Station == "" || p.Heads[i].Seq < 1 {
			return Errorf(Invalid, "", "a pinned head has its station and a number from 1")
		}
	}
	return nil
}

// Pins gives the heads that the entry witnesses.
func (p Pinned) Pins() []Head { return p.Heads }

// fold has nothing to do: a pin says nothing of the loops.
func (Pinned) fold(*Register, *Entry) {}
