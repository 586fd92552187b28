package demo

import "time"

// Truth is something that is so on the demo site, whether or not any of the
// files says it.
type Truth struct {
	Kind   TruthKind
	Points []string  // as panel.loop.number, in the order of the loop unless the kind says otherwise
	At     time.Time // when it happened or began; see the kind
	Text   string    // a sentence for people
}

// TruthKind sorts truths.
type TruthKind string

// The kinds of truth.
const (
	// DustyRoom is a room whose uncompensated smoke detectors rise together,
	// from handover on.
	DustyRoom TruthKind = "dusty room"
	// Cleaned is a cleaning that the events file records, on its day.
	Cleaned TruthKind = "cleaned"
	// CleanedUnrecorded is a cleaning that nobody wrote down: the level fell by
	// at least six standard deviations of its noise, at that instant.
	CleanedUnrecorded TruthKind = "cleaned, not recorded"
	// Swapped is two devices of one type that changed places unrecorded, at that
	// instant, when their levels were at least six standard deviations apart.
	Swapped TruthKind = "swapped, not recorded"
	// DuplicateNumber is one number that the schedule gives to two devices. It is
	// one point by name; no reading or event of either device is listed.
	DuplicateNumber TruthKind = "duplicate number"
	// UnsetNumber is a device that still carries the number it came with.
	UnsetNumber TruthKind = "number not set"
	// Noisy is a unit whose readings scatter several times as widely as those of
	// its type, from handover on.
	Noisy TruthKind = "noisy unit"
	// Stuck is a unit that shows one and the same value, from handover on.
	Stuck TruthKind = "stuck value"
	// Accelerating is a level that rises faster every year, from handover on.
	Accelerating TruthKind = "accelerating drift"
	// AgeingCell is a gas cell of the first fitting that was never replaced: it
	// sinks steadily, and passed the end of its service life at that instant.
	AgeingCell TruthKind = "ageing cell"
	// Forgotten is a point disabled on that day and never restored.
	Forgotten TruthKind = "disabled and forgotten"
	// NeverRead is a detector without one reading or test, since it was fitted.
	NeverRead TruthKind = "never read"
	// Slip is one reading written down at ten times its value, at that minute.
	Slip TruthKind = "typing slip"
	// NoBand is a type whose sheet states no band; its points are all there are.
	NoBand TruthKind = "type without a band"
	// Outside is a point whose level, free of noise, lies outside its band at the
	// end; it has been there since that day. Points that have no readings, or
	// whose number is not their own, are left out.
	Outside TruthKind = "outside its band"
	// Leaving is a point whose level, free of noise, is still inside its band at
	// the end and leaves it on that day, before the next visit is due. It leaves
	// out the same points as Outside.
	Leaving TruthKind = "leaving its band"
)

// TruthKinds lists the kinds in the order of the page for people.
func TruthKinds() []TruthKind {
	return []TruthKind{
		DustyRoom, Cleaned, CleanedUnrecorded, Swapped, DuplicateNumber, UnsetNumber, Noisy, Stuck,
		Accelerating, AgeingCell, Forgotten, NeverRead, Slip, NoBand, Outside, Leaving,
	}
}
