package shape

import (
	"sootline"
	"sootline/internal/app"
)

// ValueMap says which value is of which point, and what it would do.
type ValueMap struct {
	Places string     `json:"places"` // as it is kept: CSV, to be handed in when the source is kept
	Heads  []MapHead  `json:"heads"`  // the columns that are taken
	Values []MapValue `json:"values"`
	Left   []string   `json:"left"`  // rows and columns that are not taken, with the reason
	Lacks  int        `json:"lacks"` // points of the register of which nothing would be read
}

// MapHead is a column that is taken.
type MapHead struct {
	Column  string `json:"column"`
	Heading string `json:"heading"`
}

// MapValue is a value that would be read.
type MapValue struct {
	Point    string  `json:"point"`
	Location string  `json:"location"`
	Source   string  `json:"source"`
	Unit     string  `json:"unit"`
	Scale    float64 `json:"scale"`
	Says     string  `json:"says"` // what is to be known of it
}

// OfMap shapes it.
func OfMap(m *app.MapRead) ValueMap {
	shape := ValueMap{Places: m.Places, Heads: []MapHead{}, Values: []MapValue{}, Left: append([]string{}, m.Left...), Lacks: m.Lacks}
	for _, h := range m.Heads {
		shape.Heads = append(shape.Heads, MapHead(h))
	}
	for _, v := range m.Values {
		shape.Values = append(shape.Values, MapValue(v))
	}
	return shape
}

// Again is what comes of reading again what was heard, by how its lines are read now.
type Again struct {
	Kept      bool         `json:"kept"`
	Lines     int          `json:"lines"`
	Same      int          `json:"same"`      // entries that say what they said
	Left      int          `json:"left"`      // entries that somebody amended: they stay as they are
	New       []string     `json:"new"`       // what was not written before
	Corrected []AgainEntry `json:"corrected"` // entries to which a correction is added
}

// AgainEntry is an entry that says something else now.
type AgainEntry struct {
	Entry string `json:"entry"`
	Was   string `json:"was"`
	Now   string `json:"now"`
}

// OfAgain shapes it.
func OfAgain(found *app.ReadAgain, kept bool) Again {
	shape := Again{Kept: kept, Lines: found.Lines, Same: found.Same, Left: found.Left, New: []string{}, Corrected: []AgainEntry{}}
	for _, e := range found.New {
		shape.New = append(shape.New, sootline.Say(e.Body))
	}
	for _, e := range found.Corrected {
		shape.Corrected = append(shape.Corrected, AgainEntry{e.ID.String(), sootline.Say(e.Body), found.Says[e.ID]})
	}
	return shape
}
