package address

import (
	"fmt"
	"strings"
)

// Steps says in the fewest steps how a device that carries one number comes to
// another: which switches to move, which dials to turn. It is nil where nothing is
// to be moved, or where nobody wrote down how the number is set. From 0: what it
// carries is not known, and every switch is looked at.
func (s Setter) Steps(from, to int) []string {
	if from == to || to < 1 || to > s.Most() || s.Check() != nil {
		return nil
	}
	switch s.How {
	case Switches:
		return s.switchSteps(from, to)
	case Dials:
		return s.dialSteps(from, to)
	case Electronic:
		return []string{fmt.Sprintf("set it to %d once, with the setter or from the panel", to)}
	case CodedBase:
		return []string{fmt.Sprintf("put the coded part for %d into the base", to)}
	}
	return nil
}

func (s Setter) switchSteps(from, to int) []string {
	known := from > 0 && from <= s.Most()
	was, want := s.Positions(from), s.Positions(to)
	var on, off []string
	for i := range want {
		switch {
		case known && was[i] == want[i]:
		case want[i]:
			on = append(on, fmt.Sprint(i+1))
		default:
			off = append(off, fmt.Sprint(i+1))
		}
	}
	return append(switched("on", on), switched("off", off)...)
}

func switched(to string, which []string) []string {
	switch len(which) {
	case 0:
		return nil
	case 1:
		return []string{"switch " + which[0] + " " + to}
	}
	return []string{"switches " + strings.Join(which, ", ") + " " + to}
}

func (s Setter) dialSteps(from, to int) []string {
	tens, units, _ := s.Digits(to)
	wasTens, wasUnits, known := s.Digits(from)
	known = known && from > 0
	var steps []string
	if !known || wasTens != tens {
		steps = append(steps, fmt.Sprintf("tens to %d", tens))
	}
	if !known || wasUnits != units {
		steps = append(steps, fmt.Sprintf("units to %d", units))
	}
	return steps
}
