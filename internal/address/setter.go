package address

import (
	"fmt"
	"math/bits"
	"strconv"
	"strings"

	"sootline"
)

// How names the way in which the number of a device is set.
type How int

// The ways.
const (
	Unknown    How = iota // nobody wrote it down
	Switches              // a row of binary switches
	Dials                 // a dial of tens and a dial of units
	Electronic            // with a hand-held setter, or from the panel
	CodedBase             // a coded part in the base: it stays when the head is swapped
)

// Setter is how the number of a type of device is set. The zero Setter is one
// that nobody described; it is taken to reach every number.
type Setter struct {
	How       How
	Switches  int  // 7 or 8
	HighFirst bool // switch 1 has the greatest weight; otherwise the last one has
	OnIsZero  bool // a switch that is on counts nothing; otherwise one that is off
	TensTo    int  // the highest position of the dial of tens: 9 or 15
	From, To  int  // the numbers that the type may have, where they are fewer than can be set; 0: all
}

// Check reports what makes a setter impossible.
func (s Setter) Check() error {
	switch {
	case s.How < Unknown || s.How > CodedBase:
		return sootline.Errorf(sootline.Invalid, "", "way of setting %d is not known", s.How)
	case s.How == Switches && s.Switches != 7 && s.Switches != 8:
		return sootline.Errorf(sootline.Invalid, "", "a device has 7 or 8 switches for its number, found %d", s.Switches)
	case s.From < 0 || s.To < 0 || s.To > mostNumber || s.To > 0 && s.Least() > s.Most():
		return sootline.Errorf(sootline.Invalid, "give the lowest number first, as 1-99", "numbers from %d to %d cannot be set", s.From, s.To)
	case s.How == Dials && s.TensTo != 9 && s.TensTo != 15:
		return sootline.Errorf(sootline.Invalid, "", "a dial of tens goes to 9 or 15, found %d", s.TensTo)
	}
	return nil
}

// Shows is the highest number that can be set: 127, 255, 99 or 159; the highest
// of all for the other ways.
func (s Setter) Shows() int {
	switch s.How {
	case Switches:
		return 1<<s.Switches - 1
	case Dials:
		return 10*s.TensTo + 9
	}
	return mostNumber
}

// Most is the highest number that may be set: what can be, or less where only part
// of it is allowed.
func (s Setter) Most() int {
	if s.To > 0 {
		return min(s.To, s.Shows())
	}
	return s.Shows()
}

// Least is the lowest number that may be set, 1 where nothing is said.
func (s Setter) Least() int { return max(s.From, 1) }

// Positions gives where the switches stand for number n, switch 1 first; true
// is on. It is nil when the device has no switches or they cannot show n.
func (s Setter) Positions(n int) []bool {
	if s.How != Switches || n < 0 || n > s.Shows() {
		return nil
	}
	on := make([]bool, s.Switches)
	for i := range on {
		on[i] = n>>s.weight(i)&1 == 1 != s.OnIsZero
	}
	return on
}

// ReadSwitches gives the number that switches in these positions stand for.
func (s Setter) ReadSwitches(on []bool) int {
	n := 0
	for i := range on {
		if on[i] != s.OnIsZero {
			n |= 1 << s.weight(i)
		}
	}
	return n
}

// weight is the power of two that switch i+1 counts.
func (s Setter) weight(i int) int {
	if s.HighFirst {
		return s.Switches - 1 - i
	}
	return i
}

// Digits gives the positions of the two dials for number n; ok is false when
// the device has no dials or they cannot show n.
func (s Setter) Digits(n int) (tens, units int, ok bool) {
	if s.How != Dials || n < 0 || n > s.Shows() {
		return 0, 0, false
	}
	return n / 10, n % 10, true
}

// Misreading is a way of reading a setter wrongly.
type Misreading int

// The misreadings, the likelier one first.
const (
	Exchanged  Misreading = iota // tens and units exchanged
	Inverted                     // on taken for off: polarity
	Reversed                     // the first switch taken for the last: bit order
	UpsideDown                   // both: the row read upside down
	OneSwitch                    // one switch wrong
	OneDial                      // one dial a position off, or one digit a step
)

// misread gives the numbers that come of a misreading when n is meant: one for
// the first four, several for the others, none where it does not apply.
func (s Setter) misread(n int, m Misreading) []int {
	if n < 0 || n > s.Shows() {
		return nil
	}
	switch {
	case s.How == Switches && m == Inverted:
		return []int{s.Shows() - n}
	case s.How == Switches && m == Reversed:
		return []int{int(bits.Reverse8(uint8(n)) >> (8 - s.Switches))}
	case s.How == Switches && m == UpsideDown:
		return []int{s.Shows() - s.misread(n, Reversed)[0]}
	case s.How == Switches && m == OneSwitch:
		var all []int
		for i := range s.Switches {
			all = append(all, n^1<<i)
		}
		return all
	case s.How == Dials && m == Exchanged && n < 100:
		return []int{n%10*10 + n/10}
	case s.How == Dials && m == OneDial:
		return s.oneDial(n)
	}
	return nil
}

// oneDial gives the numbers with either dial a position off.
func (s Setter) oneDial(n int) []int {
	tens, units, turns := n/10, n%10, s.TensTo+1
	return []int{
		tens*10 + (units+1)%10, tens*10 + (units+9)%10,
		(tens+1)%turns*10 + units, (tens+turns-1)%turns*10 + units,
	}
}

// String writes a setter as [ParseSetter] reads it.
func (s Setter) String() string {
	text := "unknown"
	switch s.How {
	case Switches:
		text = fmt.Sprint("switches ", s.Switches)
		if s.HighFirst {
			text += " high-first"
		}
		if s.OnIsZero {
			text += " on-is-zero"
		}
	case Dials:
		text = fmt.Sprint("dials ", s.TensTo)
	case Electronic:
		text = "electronic"
	case CodedBase:
		text = "base"
	}
	if s.From > 0 || s.To > 0 {
		text += fmt.Sprintf(" %d-%d", s.Least(), s.Most())
	}
	return text
}

// ParseSetter reads "switches 7", "switches 8 high-first on-is-zero", "dials 9",
// "dials 15", "electronic", "base" or "unknown", each with the numbers that the
// type may have where they are fewer than can be set, as "electronic 1-99".
func ParseSetter(text string) (Setter, error) {
	words := strings.Fields(strings.ToLower(text))
	bad := sootline.Errorf(sootline.Invalid, "write for example: switches 7 high-first on-is-zero, dials 15, electronic, base",
		"%q does not say how a number is set", clip(text))
	if len(words) == 0 {
		return Setter{}, bad
	}
	s, rest := Setter{}, words[1:]
	switch words[0] {
	case "switches", "dials":
		if len(rest) == 0 {
			return Setter{}, bad
		}
		count, err := strconv.Atoi(rest[0])
		if err != nil {
			return Setter{}, bad
		}
		rest = rest[1:]
		s = Setter{How: Dials, TensTo: count}
		if words[0] == "switches" {
			s = Setter{How: Switches, Switches: count}
		}
	case "electronic":
		s.How = Electronic
	case "base":
		s.How = CodedBase
	case "unknown":
	default:
		return Setter{}, bad
	}
	for _, word := range rest {
		switch {
		case word == "high-first" && s.How == Switches:
			s.HighFirst = true
		case word == "on-is-zero" && s.How == Switches:
			s.OnIsZero = true
		case !s.within(word):
			return Setter{}, bad
		}
	}
	return s, s.Check()
}

// within reads the numbers that a type may have, as 1-99.
func (s *Setter) within(word string) bool {
	from, to, ok := strings.Cut(word, "-")
	if !ok || s.To > 0 {
		return false
	}
	var err1, err2 error
	s.From, err1 = strconv.Atoi(from)
	s.To, err2 = strconv.Atoi(to)
	if err1 != nil || err2 != nil || s.From < 0 || s.To < 1 {
		return false
	}
	s.From = s.Least()
	s.To = s.Most()
	return s.From <= s.To
}
