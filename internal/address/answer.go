package address

import (
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
	s := &scene{loop: l, walk: l.Walk(), place: make([]int, len(l.Devices)), answers: answers}
	top := max(l.Span.Last, 255) // what 8 switches can show
	for i, a := range answers {
		if a.Number < 1 || a.Number > mostNumber || a.Range < Sensors || a.Range > Modules {
			return nil, sootline.Errorf(sootline.Invalid, "mend the line or leave it out", "line %d: number %d is not one that a device can answer to", i+1, a.Number)
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
	}
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
// that is one of the loop's, else by its type, where both are known.
func (s *scene) agrees(device, answer int) bool {
	if s.heardIn(&s.answers[answer]) != s.loop.rangeOf(&s.loop.Devices[device]) {
		return false
	}
	if owner := s.owner[answer]; owner != nobody {
		return owner == device
	}
	d, a := s.deviceType[device], s.answerType[answer]
	return d == 0 || a == 0 || d == a
}
