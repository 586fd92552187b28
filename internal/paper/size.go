package paper

import (
	"strings"

	"sootline"
)

// Size is a size of paper, in millimetres, upright.
type Size struct {
	Name          string
	Width, Height float64
}

// Sizes lists the sizes of paper: ISO 216 A4, and Letter as in ANSI/ASME Y14.1 (8.5
// by 11 inches), both from memory.
func Sizes() []Size { return []Size{{"A4", 210, 297}, {"Letter", 215.9, 279.4}} }

// FindSize finds a size by its name; an empty name means the first.
func FindSize(name string) (Size, error) {
	for _, s := range Sizes() {
		if name == "" || strings.EqualFold(s.Name, name) {
			return s, nil
		}
	}
	return Size{}, sootline.Errorf(sootline.Invalid, "say A4 or Letter", "%q is not a size of paper", name)
}
