package levels

import (
	"time"

	"sootline"
)

// World draws invented sites. The same seed and scenario give the same site, byte for byte.
type World interface {
	Name() string
	Scenarios() []string
	// Make draws a site of a scenario, one of [World.Scenarios].
	Make(seed uint64, scenario string) Site
}

// Horizon is how many years ahead a world says when a level leaves its band.
const Horizon = 10

// Site is a drawn site: what is written of it, and what is true of it.
type Site struct {
	Name     string
	Scenario string
	Entries  []sootline.Entry // a legal log, sealed
	// Now is the instant at which it is judged; no entry that counts is later.
	Now time.Time
	// NextVisit is when somebody comes again.
	NextVisit time.Time
	Points    []Truth // of every point that the log says is fitted at Now
}

// Ends is the last instant of which its truths speak.
func (s *Site) Ends() time.Time { return s.Now.AddDate(Horizon, 0, 0) }

// Truth is what is true of a point. Its level is what a clean instrument in a calm minute would show, in
// the unit and on the scale of the type sheet that holds at Now: without noise, rounding, offset of the
// visit, or season of the room (unless a world says that the season is in the level). Of one that is stuck
// it is the value at which it is stuck.
type Truth struct {
	Point sootline.ID
	Ref   string // panel.loop.number, as the register writes it
	// Outside: the level is outside the band at Now. Bands are inclusive.
	Outside bool
	// OutsideByNext: it is outside at some time from Now to the next visit; so also where Outside.
	OutsideByNext bool
	// Leaves is the first time from Now on at which the level is outside, if nobody does anything: Now itself
	// where it is outside already. Zero: not within the horizon.
	Leaves time.Time
	// Level holds for any time since the device was fitted, up to the horizon.
	Level func(t time.Time) float64
	// Events are what truly happened, in order of days.
	Events []Happened
	// Healthy: it is not outside by the next visit, works as it should, and wants to be left alone.
	Healthy bool
	// Wants is what somebody who knew the truth would do: one of [Actions].
	Wants string
}

// Happened is something that truly happened to a point.
type Happened struct {
	Kind string // one of [Kinds]
	// Day is the day on which it happened, or began.
	Day time.Time
	// Noted: the log tells of it, as it was and on its day. One that is noted on another day was not noted.
	Noted bool
}

// What can happen to a point.
const (
	Cleaned          = "cleaned"
	HalfCleaned      = "half-cleaned" // part of the dirt stayed
	Swapped          = "swapped"      // another unit
	Slip             = "slip"         // of the pen: a value that was never shown
	Neighbour        = "neighbour's value"
	Rescaled         = "rescaled"          // the type shows the same on another scale from then on
	Works            = "works"             // building works in the area
	Stuck            = "stuck"             // it shows one value, whatever lies in its chamber
	Noisy            = "noisy"             // it has become unsteady
	CompensationUsed = "compensation-used" // it hid its drift until then
	InstrumentOffset = "instrument-offset" // all values of a visit are shifted alike
)

// Kinds lists what can happen, in the order in which reports show it.
func Kinds() []string {
	return []string{Cleaned, HalfCleaned, Swapped, Slip, Neighbour, Rescaled, Works, Stuck, Noisy, CompensationUsed, InstrumentOffset}
}

// What can be done with a point.
const (
	Leave     = "leave"
	LookAgain = "look again" // what is written of it is old or wrong
	Clean     = "clean"      // at the next visit: it leaves its band by then, or before the one after
	CleanNow  = "clean now"  // it does not wait for that
	Replace   = "replace"
)

// Actions lists what can be done, the least first.
func Actions() []string { return []string{Leave, LookAgain, Clean, CleanNow, Replace} }
