package address

import (
	"cmp"
	"fmt"
	"slices"

	"sootline"
)

// Answer is one line of what a panel, or somebody who walked the loop, found to
// answer.
type Answer struct {
	Number   int
	Type     string // as the register writes it; empty: not seen
	Serial   string // empty: not seen
	Range    Range  // counts only where the span is Separate
	Unstable bool   // the reply comes and goes, or the type changes
}

// Sign is a kind of difference between what answers and what should.
type Sign string

// The signs.
const (
	NoAnswer   Sign = "missing"         // a device that should answer does not
	Unexpected Sign = "unexpected"      // a number answers that no device should have
	WrongType  Sign = "wrong type"      // something else answers than what should
	OtherUnit  Sign = "another serial"  // what answers has the type that should, and a serial that the register does not know
	Flickering Sign = "unstable answer" // the reply is unstable
)

// Trace is one difference between what answers and what should.
type Trace struct {
	Sign   Sign
	Number int
	Device int // index in Loop.Devices; -1 for an unexpected one
	Answer int // index in the list of answers; -1 for a missing one
}

// scene is a loop and what answers on it.
type scene struct {
	loop       Loop
	walk       []int // devices in walk order
	place      []int // of each device in the walk
	answers    []Answer
	at         [2][][]int // the answers of a number, by range
	deviceType []int      // by device; types are counted from 1, 0 is none
	answerType []int      // by answer
	owner      []int      // by answer: the device whose serial it gives, or nobody
	types      int        // how many there are, none among them
	wanted     map[int]bool
	numbered   int // devices that should have a number
	cable      cable
}

// Unanswerable says why no device can answer to a number; it is empty where one can.
func Unanswerable(number int) string {
	if number >= 1 && number <= mostNumber {
		return ""
	}
	return fmt.Sprintf("no device answers to a number of %d; they go from 1 to %d", number, mostNumber)
}

// newScene lays a loop and a list of answers out.
func newScene(l Loop, answers []Answer) (*scene, error) {
	if err := l.Span.Check(); err != nil {
		return nil, err
	}
	l.Devices = slices.Clone(l.Devices)
	for i := range l.Devices {
		l.Devices[i].Wanted = l.Devices[i].number() // nobody planned another
	}
	s := &scene{loop: l, walk: l.Walk(), place: make([]int, len(l.Devices)), answers: answers, wanted: map[int]bool{}}
	top := max(l.Span.Last, 255) // what 8 switches can show
	for i, a := range answers {
		if why := Unanswerable(a.Number); why != "" || a.Range < Sensors || a.Range > Modules {
			return nil, sootline.Errorf(sootline.Invalid, "mend it or leave it out", "answer %d: %s", i+1, cmp.Or(why, "it is of no range"))
		}
		top = max(top, a.Number)
	}
	for k, i := range s.walk {
		d := &l.Devices[i]
		s.place[i] = k
		if d.Wanted < 0 || d.Wanted > mostNumber || d.Width > mostNumber {
			return nil, sootline.Errorf(sootline.Invalid, "", "%s cannot have number %d with %d numbers", d.Name, d.Wanted, d.width())
		}
		top = max(top, d.Wanted+d.width())
		if d.Wanted > 0 {
			s.wanted[d.Wanted], s.numbered = true, s.numbered+1
		}
	}
	s.cable = l.cable(s.walk)
	for r := range s.at {
		s.at[r] = make([][]int, top+2)
	}
	for i := range answers {
		r, n := s.heardIn(&answers[i]), answers[i].Number
		s.at[r][n] = append(s.at[r][n], i)
	}
	s.identify()
	return s, nil
}

// identify counts the types and finds the devices whose serials answer.
func (s *scene) identify() {
	types, serials := map[string]int{"": 0}, map[string]int{}
	number := func(name string) int {
		name = key(name)
		if _, known := types[name]; !known {
			types[name] = len(types)
		}
		return types[name]
	}
	for i := range s.loop.Devices {
		s.deviceType = append(s.deviceType, number(s.loop.Devices[i].Type))
		if serial := key(s.loop.Devices[i].Serial); serial != "" {
			serials[serial] = i
		}
	}
	for i := range s.answers {
		s.answerType = append(s.answerType, number(s.answers[i].Type))
		owner, known := serials[key(s.answers[i].Serial)]
		if !known {
			owner = nobody
		}
		s.owner = append(s.owner, owner)
	}
	s.types = len(types)
}

func (s *scene) heardIn(a *Answer) Range {
	if s.loop.Span.Separate {
		return a.Range
	}
	return Sensors
}

// agrees reports whether an answer may come from a device: by its serial where
// both are known, else by its type, where both are known.
func (s *scene) agrees(device, answer int) bool {
	if s.heardIn(&s.answers[answer]) != s.loop.rangeOf(&s.loop.Devices[device]) {
		return false
	}
	if owner := s.owner[answer]; owner != nobody {
		return owner == device
	}
	return !s.strange(device, answer) && s.sameType(device, answer)
}

// strange reports whether both serials are known and the answer's is no device's
// of the register.
func (s *scene) strange(device, answer int) bool {
	return s.owner[answer] == nobody && s.loop.Devices[device].Serial != "" && s.answers[answer].Serial != ""
}

// sameType reports whether an answer may come from a device by its type.
func (s *scene) sameType(device, answer int) bool {
	d, a := s.deviceType[device], s.answerType[answer]
	return d == 0 || a == 0 || d == a
}

// apart is how many places along the cable lie between two devices.
func (s *scene) apart(i, k int) int {
	d := s.place[i] - s.place[k]
	return max(d, -d)
}
