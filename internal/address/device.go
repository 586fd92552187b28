package address

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"sootline"
)

// Loop is one loop: its rules and its devices in any order.
type Loop struct {
	Name      string // as people write it, such as 1.2
	Span      Span
	Devices   []Device
	Isolators []int // isolators in line, that take no number: the turn along the cable behind which each is
}

// Device is a point that takes numbers. Results name it by its index in the
// loop's Devices.
type Device struct {
	ID       sootline.ID // the caller's own
	Name     string      // what sentences call it
	Type     string
	Serial   string
	Range    Range // counts only where the span is Separate
	Width    int   // how many numbers it takes, from its first one; 0 counts as 1
	Order    int   // its turn along the cable; 0: unknown
	Spur     int   // 1 + the index of the device on the ring that its spur hangs from; 0: it is on the ring
	Isolates Isolates
	Pinned   bool // it must keep the number that it has
	Zone     string
	Area     string
	Location string
	Wanted   int               // the number it should have; 0: none
	Found    int               // the number at which it stands: by a list, a look or a setting; 0: nobody said
	Seen     bool              // somebody found it there or set it: Found is not the word of a list alone
	Wants    map[string]string // by all wishes
	Wishes   []sootline.Wished // the same, with whose wish each is and why
	Has      map[string]string
	Setter   Setter
}

func (d *Device) width() int { return max(d.Width, 1) }

// number is the one a device has on paper, else the one at which it stands.
func (d *Device) number() int { return cmp.Or(d.Wanted, d.Found) }

// rangeOf is the range whose numbers a device takes on this loop.
func (l Loop) rangeOf(d *Device) Range {
	if l.Span.Separate {
		return d.Range
	}
	return Sensors
}

// Walk lists the devices as one meets them: along the cable, those whose turn
// nobody wrote down last, by number.
func (l Loop) Walk() []int {
	type turn struct{ order, number, device int }
	turns := make([]turn, len(l.Devices))
	for i := range l.Devices {
		d := &l.Devices[i]
		turns[i] = turn{d.Order, d.number(), i}
		if d.Order <= 0 {
			turns[i].order = math.MaxInt
		}
	}
	slices.SortFunc(turns, func(a, b turn) int {
		return cmp.Or(cmp.Compare(a.order, b.order), cmp.Compare(a.number, b.number), cmp.Compare(a.device, b.device))
	})
	walk := make([]int, len(turns))
	for k, t := range turns {
		walk[k] = t.device
	}
	return walk
}

// Problems lists what makes the loop's own data doubtful before any number is
// planned or set: one sentence each, in walk order.
func (l Loop) Problems() []error {
	if err := l.Span.Check(); err != nil {
		return []error{err}
	}
	var problems []error
	if fit := l.fitOf(0); fit.Needed > fit.Numbers {
		problems = append(problems, fit.err(l))
	}
	at := map[string]int{}
	for _, i := range l.Walk() {
		d := &l.Devices[i]
		if n := d.number(); n != 0 && n != l.Span.Unset {
			if err := l.Span.Refuse(n, d.width()); err != nil {
				problems = append(problems, fmt.Errorf("%s: %w", d.Name, err))
			}
		}
		if first, known := at[d.Location]; known && d.Location != "" {
			problems = append(problems, sootline.Errorf(sootline.Conflict, "describe one of the two places more closely",
				"%s and %s have the same location text %q", l.Devices[first].Name, d.Name, clip(d.Location)))
			continue
		}
		at[d.Location] = i
	}
	return problems
}
