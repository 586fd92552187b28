package circuit

import (
	"cmp"
	"fmt"
	"slices"
)

// Room says how many more of a device one place takes before some single fault is no longer borne.
type Room struct {
	Segment Segment // the cable into which they would go, evenly spaced
	More    int
	Reason  string // what stops the next one
}

// mostMore is where counting stops; no loop has numbers for so many.
const mostMore = 250

// Room tries a device in every cable of the ring and gives the places from the roomiest on. Each trial looks at
// the hardest of all single faults; the number is found by doubling and halving, since more load never raises a voltage.
// tried is told how far it has come; it may be nil.
func (l *Loop) Room(device Point, alarms Alarms, tried func(cables, of int)) ([]Room, error) {
	c, err := New(*l)
	if err != nil {
		return nil, err
	}
	var rooms []Room
	for k := range len(c.ring) + 1 {
		room, err := l.roomIn(c.segment(k), device, alarms)
		if err != nil {
			return nil, err
		}
		rooms = append(rooms, room)
		if tried != nil {
			tried(k+1, len(c.ring)+1)
		}
	}
	slices.SortStableFunc(rooms, func(a, b Room) int { return cmp.Compare(b.More, a.More) })
	return rooms, nil
}

func (l *Loop) roomIn(s Segment, device Point, alarms Alarms) (Room, error) {
	room := Room{Segment: s}
	fits := func(n int) (bool, error) {
		wider := l.With(n, device, s)
		ok, why, err := wider.bears(alarms.shifted(int(s), n))
		if !ok {
			room.Reason = why
		}
		return ok, err
	}
	high := 1
	for {
		ok, err := fits(high)
		if err != nil {
			return room, err
		}
		if !ok {
			break
		}
		room.More = high
		if high >= mostMore {
			room.Reason = fmt.Sprintf("counting stopped at %d", high)
			return room, nil
		}
		high = min(2*high, mostMore)
	}
	for room.More+1 < high {
		mid := (room.More + high) / 2
		ok, err := fits(mid)
		if err != nil {
			return room, err
		}
		if ok {
			room.More = mid
		} else {
			high = mid
		}
	}
	return room, nil
}

// bears reports whether every single fault, at its worst alarms, leaves every fed device with its least volts and asks no
// end for more than it can give; if not, or if that could not be shown, why.
func (l *Loop) bears(alarms Alarms) (ok bool, why string, err error) {
	c, err := New(*l)
	if err != nil {
		return false, "", err
	}
	worst, err := c.Hardest(alarms)
	if err != nil {
		return false, "", err
	}
	return worst.Works(l) && worst.Bounded && worst.Floor >= 0, c.Sentence(&worst), nil
}

// With gives the loop with n more devices spread evenly over one cable of the ring. Isolators stay at their points.
func (l *Loop) With(n int, device Point, s Segment) Loop {
	wider := l.clone()
	parts := float64(n + 1)
	share := func(c Cable) Cable {
		c.Metres, c.Plus, c.Minus = c.Metres/Metres(parts), c.Plus/Ohms(parts), c.Minus/Ohms(parts)
		return c
	}
	cable := l.Return
	if s < l.ReturnSegment() {
		cable = l.Points[s].Cable
	}
	added := make([]Point, n)
	for i := range added {
		added[i] = device
		added[i].Name = fmt.Sprintf("new %d", i+1)
		added[i].Spur = ""
		added[i].Cable = share(cable)
	}
	if s < l.ReturnSegment() {
		wider.Points[s].Cable = share(cable)
	} else {
		wider.Return = share(cable)
	}
	wider.Points = slices.Insert(wider.Points, int(s), added...)
	return wider
}

// shifted renumbers named points after n were put in before index s.
func (a Alarms) shifted(s, n int) Alarms {
	if a.Named == nil {
		return a
	}
	named := make([]int, len(a.Named))
	for i, p := range a.Named {
		if p >= s {
			p += n
		}
		named[i] = p
	}
	return Alarms{Named: named, Most: a.Most}
}
