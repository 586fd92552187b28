// Package instruments is a world of people and instruments. What lies in the chambers drifts by itself: it
// rises by the sum of a pace that wanders and changes by spells, or is pulled to a level of rest, or feeds on
// itself, or fills up. But most of what makes a log hard to read here is made by those who keep it: handsets
// and panel interfaces with offsets, gains and rounding of their own; technicians who note a cleaning late, on
// a wrong day or never, who do half of it, slip with a digit, write a neighbour's value or last year's; and
// firmware that shows a type on another scale from a day on.
//
// All parameters are ours, drawn for variety and not fitted to any site; where one has a reason, it stands
// beside it. Levels are worked in rooms: 0 is a clean unit, 1 the limit of the band on the side to which dirt
// moves the value. A level has no season in it; readings have. What a compensation hides is not in the level
// either: it is what would be shown.
//
// A judge that does not answer as well as whoever knows the levels of the last visit is to be expected here:
// the test of foresight says how far that goes.
package instruments
