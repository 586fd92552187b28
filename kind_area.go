package sootline

import "strings"

// AreaKind is the kind of [AreaFacts].
const AreaKind Kind = "area"

// AreaFacts states how large an area is and on which floor it lies. A later one
// of the same area replaces it whole. What is zero or empty is not known, and
// what a fault takes of it is then said to be not counted.
type AreaFacts struct {
	Area  string  `json:"area"`
	Floor string  `json:"floor,omitempty"`
	M2    float64 `json:"m2,omitempty"` // square metres that its detectors protect together
}

// Kind is AreaKind.
func (AreaFacts) Kind() Kind { return AreaKind }

func (a AreaFacts) say() string {
	return Joined("area "+a.Area, labelledText("floor", a.Floor), figure(a.M2, "m²"))
}

func (a AreaFacts) check() error {
	if areaKey(a.Area) == "" {
		return Errorf(Invalid, "", "facts of an area need its name")
	}
	if !finite(a.M2) || a.M2 < 0 {
		return Errorf(Invalid, "", "the square metres of an area are a number from 0, found %v", a.M2)
	}
	return nil
}

func (a AreaFacts) fold(r *Register, _ *Entry) { r.areas[areaKey(a.Area)] = &a }

// areaKey is the spelling by which areas are matched, as types are.
func areaKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

func (a AreaFacts) facts() []FactSaid { return oneFact("the area "+areaKey(a.Area), a) }
