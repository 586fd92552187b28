package address

import "sootline"

// Isolates says on which sides of a device an isolator opens towards a short.
type Isolates int

// The sides. A device with isolators on both, as in a base, is fed from whichever
// side is left.
const (
	Before Isolates = 1 << iota // towards the panel's OUT
	After                       // towards IN, or outwards on a spur
	Branch                      // towards the spur that hangs from the device
)

// isolatesOf reads what the register says of the isolator at a point.
func isolatesOf(r *sootline.Register, p *sootline.Point) Isolates {
	return map[string]Isolates{"base": Before | After, "before": Before, "after": After, "branch": Branch}[r.IsolatorAt(p)]
}

// hang says from which device of the ring each spur hangs.
func (l *Loop) hang(r *sootline.Register) {
	index := map[sootline.ID]int{}
	for i := range l.Devices {
		index[l.Devices[i].ID] = i
	}
	for i := range l.Devices {
		if from := r.SpurFrom(r.Point(l.Devices[i].ID)); from != nil {
			if at, known := index[from.ID]; known {
				l.Devices[i].Spur = at + 1
			}
		}
	}
}

// cable is what is known of where devices hang: a ring that is fed from both
// ends, spurs from it, and isolators.
type cable struct {
	ring      []int   // every device in the order in which the ring passes them, those of a spur where it hangs
	spurs     [][]int // the devices of each spur, outwards
	stretches [][]int // what a short between isolators takes; none where no isolator is known
}

// hung is a loop's devices by where they hang.
type hung struct {
	loop  Loop
	ring  []int         // on the ring itself, or on a spur from no device of it
	spurs map[int][]int // by the ring device
}

// cable lays the devices out along the ring.
func (l Loop) cable(walk []int) cable {
	h := hung{loop: l, spurs: map[int][]int{}}
	for _, i := range walk {
		if from := l.Devices[i].Spur - 1; from < 0 || from >= len(l.Devices) || l.Devices[from].Spur != 0 {
			h.ring = append(h.ring, i)
		} else {
			h.spurs[from] = append(h.spurs[from], i)
		}
	}
	var c cable
	for _, i := range h.ring {
		c.ring = append(append(c.ring, i), h.spurs[i]...)
		if spur := h.spurs[i]; len(spur) > 0 {
			c.spurs = append(c.spurs, spur)
		}
	}
	c.stretches = append(h.stretches(), h.ofSpurs()...)
	return c
}

// stretches cuts the ring at its isolators; the panel's ends are taken to have
// one each (common practice, no source).
func (h *hung) stretches() [][]int {
	var all [][]int
	var stretch []int
	isolated := false
	end := func() {
		all, stretch, isolated = append(all, stretch), nil, true
	}
	passed := 0
	for _, i := range h.ring {
		d := &h.loop.Devices[i]
		for _, turn := range h.loop.Isolators {
			if turn >= passed && turn < d.Order {
				end()
			}
		}
		passed = max(passed, d.Order)
		if d.Isolates&Before != 0 {
			end()
		}
		if d.Isolates&(Before|After) != Before|After {
			stretch = append(append(stretch, i), h.spurs[i]...)
		}
		if d.Isolates&After != 0 {
			end()
		}
	}
	if all = append(all, stretch); !isolated && len(h.loop.Isolators) == 0 {
		return nil
	}
	return all
}

// ofSpurs lists what a short on a spur takes, where it is not the ring too: the
// spur from its last isolator before the short on.
func (h *hung) ofSpurs() [][]int {
	var all [][]int
	for _, i := range h.ring {
		spur := h.spurs[i]
		if h.loop.Devices[i].Isolates&Branch != 0 {
			all = append(all, spur)
		}
		for k, on := range spur {
			switch side := h.loop.Devices[on].Isolates; {
			case side&After != 0:
				all = append(all, spur[k+1:])
			case side&Before != 0:
				all = append(all, spur[k:])
			}
		}
	}
	return all
}
