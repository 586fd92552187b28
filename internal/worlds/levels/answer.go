package levels

import (
	"math"
	"time"

	"sootline"
)

// Answer is what a judge says of a point, from the log alone.
type Answer struct {
	Point sootline.ID
	// Outside is its verdict: outside now, or by the next visit.
	Outside bool
	// Chance is the probability of that, from 0 to 1; NaN where none is stated.
	Chance float64
	// Earliest, Likely and Latest bound the day on which the level leaves its band, nominally with 90 %.
	// Earliest zero: no days are stated. Latest zero: there is no latest day.
	Earliest, Likely, Latest time.Time
	Action                   string // one of [Actions]
	// Questions that are put to a person. One that is asked for many points at once stands at one of them.
	Questions []Question
}

// Question asks whether something happened.
type Question struct {
	Kind string // one of [Kinds]
	Day  time.Time
	// With are other points that it is asked about in one breath, as two that changed places.
	With []sootline.ID
}

// Unstated is the chance of an answer that states none.
func Unstated() float64 { return math.NaN() }
