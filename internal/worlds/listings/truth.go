package listings

import "sootline"

// Listing is one listing about a site, as somebody hands it over.
type Listing struct {
	Seed      uint64
	Layout    string
	Language  string
	Format    string
	Spoilings []string
	Name      string // of the file
	Data      []byte
	Site      []sootline.Entry
	Truth     Truth
}

// Truth is what a careful clerk would be right to write from a listing, and what no clerk could know without
// asking.
type Truth struct {
	Points   []PointFact   `json:"points,omitempty"`
	Readings []ReadingFact `json:"readings,omitempty"`
	Events   []EventFact   `json:"events,omitempty"`
	Numbers  []NumberFact  `json:"numbers,omitempty"`
	Types    []TypeFact    `json:"types,omitempty"`
	Nothing  []Cell        `json:"nothing,omitempty"` // must write nothing: spare rows, decoys, totals
	Hidden   []Cell        `json:"hidden,omitempty"`  // must write nothing, and must be told of
	Open     []Open        `json:"open,omitempty"`    // must not be written without a question or a refusal
}

// Cell names a cell, row or column of a listing: its sheet and place, as "Loop 1!C7".
type Cell string

// Open is what several readings of the bytes fit equally, or what contradicts itself.
type Open struct {
	Cell     Cell     `json:"cell,omitempty"`
	Says     string   `json:"says"`
	Readings []string `json:"readings,omitempty"` // those possible; none: nothing fits
}

// Stated is what every fact has: which point it is of, and where it stands.
type Stated struct {
	Ref  string      `json:"ref"`            // panel.loop.number; the panel left out where nobody states it
	ID   sootline.ID `json:"-"`              // of a point that the site has; zero: known by its reference
	Cell Cell        `json:"cell,omitempty"` // where it stands
}

// PointFact says that a point is there. What is empty, the listing does not state.
type PointFact struct {
	Stated
	Types    []string          `json:"types,omitempty"` // the spellings that are right
	Zone     string            `json:"zone,omitempty"`
	Place    string            `json:"place,omitempty"`
	Serial   string            `json:"serial,omitempty"`
	Metres   *float64          `json:"metres,omitempty"`
	Settings map[string]string `json:"settings,omitempty"`
}

// ReadingFact says that a value was read.
type ReadingFact struct {
	Stated
	From     string   `json:"from"`         // the first day on which it may have been read, as 2026-01-15
	To       string   `json:"to,omitempty"` // the last; empty: From
	Value    float64  `json:"value"`
	Quantity []string `json:"quantity,omitempty"` // the names that are right; none: the type's own
	Beyond   bool     `json:"beyond,omitempty"`   // the cell says more than the value, as ">50" does
	Apart    string   `json:"apart,omitempty"`    // found, left, day, night: not a sample of one look with the others
}

// EventFact says that something happened.
type EventFact struct {
	Stated
	Kind     sootline.Kind          `json:"kind"`
	Day      string                 `json:"day"`
	Failed   bool                   `json:"failed,omitempty"`
	Cause    string                 `json:"cause,omitempty"`
	Category sootline.AlarmCategory `json:"category,omitempty"`
	Attended bool                   `json:"attended,omitempty"`
	Serial   string                 `json:"serial,omitempty"` // of the unit that was put in
}

// NumberFact says at which number a point was found.
type NumberFact struct {
	Stated
	Found int `json:"found"`
}

// TypeFact says what a list of types states of one.
type TypeFact struct {
	Name   string              `json:"name"`
	Device sootline.DeviceKind `json:"device,omitempty"`
	Low    *float64            `json:"low,omitempty"`
	High   *float64            `json:"high,omitempty"`
	Alarm  *float64            `json:"alarm,omitempty"`
	Cell   Cell                `json:"cell,omitempty"`
}

// fact is what a cell of a listing states.
type fact interface {
	// tell adds the fact to the truth, standing in a cell.
	tell(t *Truth, at Cell)
}

func (f PointFact) tell(t *Truth, at Cell)   { f.Cell = at; t.Points = append(t.Points, f) }
func (f ReadingFact) tell(t *Truth, at Cell) { f.Cell = at; t.Readings = append(t.Readings, f) }
func (f EventFact) tell(t *Truth, at Cell)   { f.Cell = at; t.Events = append(t.Events, f) }
func (f NumberFact) tell(t *Truth, at Cell)  { f.Cell = at; t.Numbers = append(t.Numbers, f) }
func (f TypeFact) tell(t *Truth, at Cell)    { f.Cell = at; t.Types = append(t.Types, f) }
func (f Open) tell(t *Truth, at Cell)        { f.Cell = at; t.Open = append(t.Open, f) }

// nothing is the fact that a cell states none.
type nothing struct{}

func (nothing) tell(t *Truth, at Cell) { t.Nothing = append(t.Nothing, at) }

// last is the last day on which a reading may have been made.
func (f ReadingFact) last() string {
	if f.To == "" {
		return f.From
	}
	return f.To
}

// Empty reports a truth that states nothing and leaves nothing open.
func (t *Truth) Empty() bool {
	return len(t.Points)+len(t.Readings)+len(t.Events)+len(t.Numbers)+len(t.Types)+len(t.Open)+len(t.Hidden) == 0
}
