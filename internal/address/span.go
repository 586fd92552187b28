package address

import (
	"slices"
	"strconv"

	"sootline"
)

// mostNumber is the highest number that the log book can hold.
const mostNumber = 9999

// Span is what a loop allows.
type Span struct {
	First, Last int   // lowest and highest number that may be used
	Unset       int   // the number of a device that nobody has set; 0: unknown
	Reserved    []int // numbers of the span that no device may take
	Separate    bool  // sensors and modules have a range each: a clash is range and number
}

// Range tells apart the two sets of numbers of a loop whose span is Separate.
type Range int

// The ranges. Where a loop has only one, all devices share it.
const (
	Sensors Range = iota
	Modules
)

// String names the range.
func (r Range) String() string {
	if r == Modules {
		return "modules"
	}
	return "sensors"
}

// Check reports what makes a span impossible.
func (s Span) Check() error {
	if s.First < 0 || s.Last > mostNumber || s.First > s.Last || s.Last < 1 {
		return sootline.Errorf(sootline.Invalid, "give the lowest number first, as 1-126",
			"numbers from %d to %d are not a span", s.First, s.Last)
	}
	if s.Unset < 0 {
		return sootline.Errorf(sootline.Invalid, "", "an unset number is not below 0, found %d", s.Unset)
	}
	for _, n := range s.Reserved {
		if n < s.First || n > s.Last {
			return sootline.Errorf(sootline.Invalid, "leave it out, or widen the span",
				"reserved number %d is not among the numbers %d to %d of the loop", n, s.first(), s.Last)
		}
	}
	return nil
}

// first is the lowest number that a device can be given: 0 stands for "no
// number" in the log book.
func (s Span) first() int { return max(s.First, 1) }

// Refuse says why a device of that width cannot have number n on the loop, or
// gives nil when it can.
func (s Span) Refuse(n, width int) error {
	last := n + max(width, 1) - 1
	switch {
	case n < s.first() || n > s.Last:
		return sootline.Errorf(sootline.Invalid, "choose one of these numbers, or state the span of the loop anew",
			"number %d is not one of the loop's numbers %d to %d", n, s.first(), s.Last)
	case last > s.Last:
		return sootline.Errorf(sootline.Invalid, "the highest first number for it is "+strconv.Itoa(s.Last-width+1),
			"a device that takes %d numbers from %d needs number %d, and the loop ends at %d", width, n, last, s.Last)
	case s.Unset >= n && s.Unset <= last:
		return sootline.Errorf(sootline.Invalid, "choose another number",
			"number %d is the one that a device carries before anyone sets it", s.Unset)
	}
	for _, r := range s.Reserved {
		if r >= n && r <= last {
			return sootline.Errorf(sootline.Invalid, "choose another number", "number %d is reserved on this loop", r)
		}
	}
	return nil
}

// Numbers counts the numbers that devices can be given in one range.
func (s Span) Numbers() int {
	reserved := slices.Clone(s.Reserved)
	if s.Unset >= s.first() && s.Unset <= s.Last {
		reserved = append(reserved, s.Unset)
	}
	slices.Sort(reserved)
	reserved = slices.DeleteFunc(slices.Compact(reserved), func(n int) bool { return n < s.first() })
	return s.Last - s.first() + 1 - len(reserved)
}

// clip shortens text that goes into a sentence.
func clip(s string) string {
	const most = 40
	if runes := []rune(s); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return s
}
