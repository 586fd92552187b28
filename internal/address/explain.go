package address

import (
	"cmp"
	"context"
	"fmt"
	"slices"
)

// Mistake is a kind of explanation.
type Mistake int

// The kinds of explanation. How often each is met is in the table inHundred.
const (
	StillUnset   Mistake = iota // nobody has set the devices
	MisSet                      // the device is set to another number
	OtherFitted                 // another type of device is fitted
	Replaced                    // another unit of the type is fitted, and the register has the serial of the one before
	Silent                      // the device is not there, has no power or is faulty
	Stranger                    // a device answers that the register does not know
	DoubleNumber                // two devices answer to one number
	Exchange                    // two devices have each other's numbers
	Ring                        // three and more have each other's numbers
	ShiftedRun                  // a run of devices is set one number off
	AllMisread                  // every device of a type is set by the same misreading
	Short                       // what lies between two isolators does not answer: a short is there
	LostSpur                    // the end of a spur does not answer: it is open
	LostStretch                 // neighbours on the ring do not answer: it is open at two places
)

// Misplaced is a device and the number that it is thought to answer to.
type Misplaced struct {
	Device int // index in Loop.Devices
	Wanted int
	At     int // 0: it does not answer
}

// Explanation is one mistake that would account for some of the traces.
type Explanation struct {
	Kind    Mistake
	How     Misreading  // for MisSet, DoubleNumber and AllMisread where Misread
	Misread bool        // the numbers come of a misreading
	Moved   []Misplaced // the devices that are not as they should be
	Number  int         // the number where it shows first
	Range   Range       // of that number
	Clears  int         // traces that it accounts for
	Says    string      // what happened, as a sentence
	Prove   string      // how to make sure on site

	accounted []int // answers that it accounts for without moving a device
	odds      odds  // against it, before the list is seen
	traces    int   // as Clears, while it is not laid on a board
}

// Diagnosis is what a list of what answers tells.
type Diagnosis struct {
	Traces []Trace // what differs, by range and number
	// Mistakes together account for all traces, the one that accounts for most
	// first: the likeliest set that was found.
	Mistakes []Explanation
	Rivals   []Rival // what may be instead, the likeliest first
	Next     string  // the look that tells most of them apart; empty where there are none
}

// Rival is an explanation that would do in the place of one of the mistakes.
type Rival struct {
	Explanation
	Instead []int // indices in Mistakes of those that it would replace
	Far     int   // decibans by which it is less likely: 10 is ten times
}

// Likely puts into words how likely a rival is beside what it would replace.
func (r Rival) Likely() string {
	switch {
	case r.Far < 3:
		return "about as likely"
	case r.Far < 10:
		return "less likely"
	}
	return "much less likely"
}

// Explain compares what answers on a loop with the numbers its devices should
// have, and looks for the likeliest mistakes that account for all differences,
// by the odds of each kind and the number of ways in which it can happen. Sets
// that need a mistake of several devices are searched a few at a time and may be
// missed; what they leave is explained one by one with the least odds. Devices
// that should have no number are left out. It gives the error of the context
// where that ends first.
func Explain(ctx context.Context, l Loop, answers []Answer) (Diagnosis, error) {
	s, err := newScene(l, answers)
	if err != nil {
		return Diagnosis{}, err
	}
	b := belief{number: make([]int, len(l.Devices)), accounted: map[int]bool{}}
	for i, d := range s.loop.Devices {
		b.number[i] = d.Wanted
	}
	root := s.newTrail(b)
	d := Diagnosis{Traces: root.traces}
	if len(d.Traces) == 0 {
		return d, nil
	}
	best, others, err := s.seek(ctx, root)
	if err != nil {
		return Diagnosis{}, err
	}
	d.Mistakes = best.whole()
	if d.Rivals, err = s.rivals(ctx, b, d.Mistakes); err != nil {
		return Diagnosis{}, err
	}
	d.Rivals = append(d.Rivals, instead(best, others, d)...)
	slices.SortStableFunc(d.Rivals, func(a, b Rival) int { return cmp.Compare(a.Far, b.Far) })
	for i := range d.Mistakes {
		s.tell(&d.Mistakes[i])
	}
	for i := range d.Rivals {
		r := &d.Rivals[i]
		s.tell(&r.Explanation)
		r.Says = fmt.Sprintf("instead of %s, %s: %s", numbered(r.Instead), r.Likely(), r.Says)
	}
	d.Next = s.next(d)
	return d, nil
}

// bySign is the traces by sign.
type bySign struct{ missing, unexpected, wrong, flicker []Trace }

func sorted(traces []Trace) bySign {
	var by bySign
	for _, t := range traces {
		switch t.Sign {
		case NoAnswer:
			by.missing = append(by.missing, t)
		case Unexpected:
			by.unexpected = append(by.unexpected, t)
		case WrongType, OtherUnit:
			by.wrong = append(by.wrong, t)
		case Flickering:
			by.flicker = append(by.flicker, t)
		}
	}
	return by
}
