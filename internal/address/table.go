package address

import "slices"

// Standing is how a number of a loop stands.
type Standing string

// How numbers stand.
const (
	Free     Standing = "free"
	Taken    Standing = "taken"
	Clashing Standing = "clashing" // several devices answer to it
	Reserved Standing = "reserved" // no device may take it
	UnsetOne Standing = "unset"    // a device carries it before anyone sets it
)

// Slot is a run of numbers that one device takes, or that clash alike; any other
// number is a slot of its own.
type Slot struct {
	First, Last int
	Standing    Standing
	Devices     []int // indices in Loop.Devices of those that answer to it
}

// Table is how the numbers of one range of a loop stand. The number that counts
// is the one at which a device was found, else the one it should have, as in
// [Check].
type Table struct {
	Range   Range
	Slots   []Slot // every number of the loop, in order
	Outside []int  // devices at numbers that the loop does not have, in part or whole
	Unset   []int  // devices that carry the number of one nobody has set
	Without []int  // devices without a number
}

// Tables lays out the numbers of a loop: one table, or one a range where the span
// is Separate. Numbers of the span only; the span must pass its Check.
func (l Loop) Tables() []Table {
	ranges := []Range{Sensors}
	if l.Span.Separate {
		ranges = append(ranges, Modules)
	}
	tables := make([]Table, len(ranges))
	for i, r := range ranges {
		tables[i] = l.table(r)
	}
	return tables
}

func (l Loop) table(r Range) Table {
	t := Table{Range: r}
	at := map[int][]int{}
	for i := range l.Devices {
		d := &l.Devices[i]
		if l.rangeOf(d) != r {
			continue
		}
		first := d.answersTo()
		switch {
		case first == 0:
			t.Without = append(t.Without, i)
			continue
		case l.Span.Unset != 0 && first == l.Span.Unset:
			t.Unset = append(t.Unset, i)
			continue
		case first < l.Span.first() || first+d.width()-1 > l.Span.Last:
			t.Outside = append(t.Outside, i)
		}
		for n := first; n < first+d.width(); n++ {
			at[n] = append(at[n], i)
		}
	}
	for n := l.Span.first(); n <= l.Span.Last; n++ {
		t.add(Slot{n, n, l.Span.standing(n, at[n]), at[n]})
	}
	return t
}

// add puts a number at the end, into the slot before it where the same devices
// answer to both.
func (t *Table) add(s Slot) {
	if last := len(t.Slots) - 1; last >= 0 && len(s.Devices) > 0 && slices.Equal(t.Slots[last].Devices, s.Devices) && t.Slots[last].Standing == s.Standing {
		t.Slots[last].Last = s.Last
		return
	}
	t.Slots = append(t.Slots, s)
}

func (s Span) standing(n int, devices []int) Standing {
	switch {
	case len(devices) > 1:
		return Clashing
	case slices.Contains(s.Reserved, n):
		return Reserved
	case n == s.Unset:
		return UnsetOne
	case len(devices) == 1:
		return Taken
	}
	return Free
}

// answersTo is the number at which a device was found, else the one it should have.
func (d *Device) answersTo() int {
	if d.Found != 0 {
		return d.Found
	}
	return d.Wanted
}
