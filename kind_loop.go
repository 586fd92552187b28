package sootline

import (
	"fmt"
	"slices"
	"strings"
)

// LoopKind is the kind of [LoopFacts].
const LoopKind Kind = "loop"

// LoopFacts states the numbers that a loop allows. A later one replaces it.
type LoopFacts struct {
	Panel    string `json:"panel"`
	Loop     string `json:"loop"`
	First    int    `json:"first"`
	Last     int    `json:"last"`
	Unset    int    `json:"unset,omitempty"`
	Reserved []int  `json:"reserved,omitempty"`
	Separate bool   `json:"separate,omitempty"` // detectors and the other devices have a range each
}

// Kind is LoopKind.
func (LoopFacts) Kind() Kind { return LoopKind }

func (l LoopFacts) say() string {
	text := fmt.Sprintf("loop %s.%s takes numbers %d to %d", l.Panel, l.Loop, l.First, l.Last)
	return Joined(text, numberSaid("unset", l.Unset), rest(l, "panel", "loop", "first", "last", "unset"))
}

func (l LoopFacts) check() error {
	switch {
	case l.Loop == "" || l.Panel == "":
		return Errorf(Invalid, "", "a loop needs the name of its panel and its own")
	case l.First < 0 || l.Last > 9999 || l.First > l.Last:
		return Errorf(Invalid, "give the lowest number first, as 1-126", "numbers from %d to %d are not a span", l.First, l.Last)
	case len(l.Reserved) > 1000 || slices.ContainsFunc(l.Reserved, func(n int) bool { return n < 0 || n > 9999 }):
		return Errorf(Invalid, "", "a reserved number lies between 0 and 9999")
	case l.Unset < 0:
		return Errorf(Invalid, "", "an unset number is not below 0, found %d", l.Unset)
	}
	return nil
}

// checkNew refuses a loop that no reference could name.
func (l LoopFacts) checkNew() error { return checkLoopNamed(l.Panel, l.Loop) }

// checkLoopNamed refuses the name of a panel or loop that is not in its one
// spelling, so that a reference such as 1.2.073 would not find it.
func checkLoopNamed(panel, loop string) error {
	for _, name := range [...]string{panel, loop} {
		if name == "" || name != CleanName(name) || strings.ContainsAny(name, "./ ") {
			return Errorf(Invalid, "for example panel 1 and loop 2", "a panel and a loop have a name each, in capitals, without points or spaces, found %q", clip(name))
		}
	}
	return nil
}

func (l LoopFacts) fold(r *Register, _ *Entry) {
	id := LoopID{CleanName(l.Panel), CleanName(l.Loop)}
	r.loops[id] = &Loop{LoopID: id, First: l.First, Last: l.Last, Unset: l.Unset, Reserved: l.Reserved, Separate: l.Separate}
}

func (l LoopFacts) facts() []FactSaid { return oneFact("the numbers of loop "+l.Panel+"."+l.Loop, l) }
