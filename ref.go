package sootline

import (
	"fmt"
	"strconv"
	"strings"
)

// Ref is how people name a point: panel, loop and number, written 1.2.073. The
// panel may be left out where a site has one. A Ref is what a point answers to
// at some time; its identity is its [ID].
type Ref struct {
	Panel, Loop string
	Number      int
}

// In reports whether the reference names the loop of another; what it leaves out is
// any.
func (r Ref) In(other Ref) bool {
	return (r.Panel == "" || r.Panel == other.Panel) && (r.Loop == "" || r.Loop == other.Loop)
}

// String writes panel.loop.number, the number with three digits; a panel that
// is not known is left out, and a number of zero is written as "-".
func (r Ref) String() string {
	number := "-"
	if r.Number != 0 {
		number = fmt.Sprintf("%03d", r.Number)
	}
	if r.Panel == "" {
		return r.Loop + "." + number
	}
	return r.Panel + "." + r.Loop + "." + number
}

// ParseRef reads 1.2.073 or 2.073, the one spelling that commands take. What
// listings hold is read more generously by the listing package.
func ParseRef(s string) (Ref, error) {
	parts := strings.Split(s, ".")
	if len(parts) != 2 && len(parts) != 3 {
		return Ref{}, badRef(s)
	}
	number, err := strconv.Atoi(parts[len(parts)-1])
	if err != nil || number < 1 {
		return Ref{}, badRef(s)
	}
	names := parts[:len(parts)-1]
	for i, name := range names {
		if names[i] = CleanName(name); names[i] == "" {
			return Ref{}, badRef(s)
		}
	}
	ref := Ref{Loop: names[len(names)-1], Number: number}
	if len(names) == 2 {
		ref.Panel = names[0]
	}
	return ref, nil
}

// NumberRange is one of the two ranges of numbers of a loop that has them separate;
// empty: nobody said which.
type NumberRange string

// The ranges, as the letter that a reference may end with: 1.2.073d, 1.2.073m.
const (
	DetectorRange NumberRange = "d" // detectors
	ModuleRange   NumberRange = "m" // call points, sounders, modules: all that is no detector
)

// CutRange takes the letter of a range off the end of a reference.
func CutRange(ref string) (rest string, of NumberRange) {
	last := len(ref) - 1
	if last < 1 || ref[last-1] < '0' || ref[last-1] > '9' {
		return ref, ""
	}
	switch letter := NumberRange(strings.ToLower(ref[last:])); letter {
	case DetectorRange, ModuleRange:
		return ref[:last], letter
	}
	return ref, ""
}

// RangeOf is the range that devices of a type take numbers of where a loop has two
// (common practice, no source). A type without a sheet counts as a detector.
func RangeOf(sheet *TypeSheet) NumberRange {
	if sheet != nil && !sheet.Kind.Judged() {
		return ModuleRange
	}
	return DetectorRange
}

func badRef(s string) error {
	return Errorf(Invalid, "write panel.loop.number, for example 1.2.073; the panel may be left out where a site has one",
		"point %q is not a reference", clip(s))
}

// CleanName gives a panel's or loop's name its one spelling: no spaces around
// it, capitals, and no leading zeros where it is a number.
func CleanName(s string) string {
	s = strings.ToUpper(strings.TrimSpace(s))
	if n, err := strconv.ParseUint(s, 10, 32); err == nil {
		return strconv.FormatUint(n, 10)
	}
	return s
}
