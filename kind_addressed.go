package sootline

import "time"

// AddressedKind is the kind of [Addressed].
const AddressedKind Kind = "addressed"

// Addressed says which number a point should have, and how it stands: what a list
// says that it has, what it was found to have, what somebody wrote into the device.
// Zero means that the entry does not say; a device still at its unset number is
// listed or was found at that number.
type Addressed struct {
	Wanted int    `json:"wanted,omitempty" form:"the number it should have"`
	Listed int    `json:"listed,omitempty" form:"the number it has by a list"`
	Found  int    `json:"found,omitempty" form:"the number it was found to have"`
	Set    int    `json:"set,omitempty" form:"the number that was set on it"`
	How    Means  `json:"how,omitempty" form:"how that is known"`
	Text   string `json:"text,omitempty" form:"in words"`
}

// Means is by what somebody set a number or setting, or looked at it; empty: nobody said.
type Means string

// The means.
const (
	BySetter Means = "setter" // a hand-held setter that speaks with the device alone
	ByPanel  Means = "panel"  // the panel, over the loop
	ByPerson Means = "person" // by hand and eye: switches, dials, a label
)

func (Means) choices() []Choice {
	return []Choice{{string(BySetter), "by a hand-held setter"}, {string(ByPanel), "by the panel"}, {string(ByPerson), "by hand or eye"}}
}

// say tells the means in words; nothing where nobody said.
func (m Means) say() string {
	for _, choice := range m.choices() {
		if choice.Value == string(m) {
			return choice.Says
		}
	}
	return ""
}

// The ways in which it is known how a point stands.
const (
	AsListed = "listed" // a list says so
	AsFound  = "found"  // it was read back from device or panel
	AsSet    = "set"    // somebody wrote it into the device
)

// Stated is a number with how, since when and by whom it is known. The zero Stated:
// nobody said.
type Stated struct {
	Number int
	As     string // AsListed, AsFound or AsSet
	How    Means
	At     time.Time // of what was listed when the point was first written down: when that was noted
	By     string
	Entry  *Entry
}

// Kind is AddressedKind.
func (Addressed) Kind() Kind { return AddressedKind }

func (a Addressed) say() string {
	return Joined("number "+Joined(numberSaid("wanted", a.Wanted), numberSaid("listed", a.Listed), numberSaid("found", a.Found), numberSaid("set", a.Set)),
		a.How.say(), a.Text)
}

func (a Addressed) check() error {
	if a.Wanted|a.Listed|a.Found|a.Set == 0 {
		return Errorf(Invalid, "", "an entry of kind addressed needs a number: wanted, listed, found or set")
	}
	for _, n := range []int{a.Wanted, a.Listed, a.Found, a.Set} {
		if n < 0 || n > 9999 {
			return Errorf(Invalid, "", "a number lies between 1 and 9999, found %d", n)
		}
	}
	if a.How == "" {
		return nil
	}
	return checkChoice("how that is known", string(a.How), a.How.choices())
}

func (a Addressed) fold(r *Register, e *Entry) {
	r.numbers[e.ID] = a
	p := r.point(e.Point)
	replace(&p.Wanted, a.Wanted)
	replace(&p.Listed, a.Listed)
	replace(&p.Found, a.Found)
	state := func(into *Stated, as string, number int) {
		if number != 0 && !into.after(e, as) {
			*into = Stated{Number: number, As: as, How: a.How, At: e.At, By: e.By, Entry: e}
		}
	}
	state(&p.Stands, AsListed, a.Listed)
	state(&p.Stands, AsFound, a.Found)
	state(&p.Stands, AsSet, a.Set)
	state(&p.SetTo, AsSet, a.Set)
	p.refer(e)
}

// after reports whether what is known was noted after an entry of the same instant, by
// the same station, that tells of the number in another way. The order of entries does
// not tell which of those came first.
func (s *Stated) after(e *Entry, as string) bool {
	was := s.Entry
	return was != nil && was != e && s.As != as && was.At.Equal(e.At) && was.Station == e.Station && was.Seq > e.Seq
}

// checkNew refuses an entry after which nobody could tell how the device stands.
func (a Addressed) checkNew() error {
	if a.Set != 0 && a.Found != 0 && a.Set != a.Found {
		return Errorf(Invalid, "write two entries, in the order in which it was", "a device that was set to %d and found at %d stands at one of them, and the entry does not say which came last", a.Set, a.Found)
	}
	return nil
}

// settleStated dates what a list said of a point when it was first written down by
// when that was noted: the entry itself is as old as the point.
func (p *Point) settleStated() {
	if s := &p.Stands; s.As == AsListed && s.At.Equal(p.Since) && !s.Entry.Noted.IsZero() {
		s.At = s.Entry.Noted
	}
}

// facts are what somebody decided. How a list or a look found it is no decision: the later
// one says how it was later.
func (a Addressed) facts() (said []FactSaid) {
	if a.Wanted != 0 {
		said = append(said, oneFact("the number that it should have", Addressed{Wanted: a.Wanted})...)
	}
	if a.Set != 0 {
		said = append(said, oneFact("the number that was set on it", Addressed{Set: a.Set, How: a.How})...)
	}
	return said
}
