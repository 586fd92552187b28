package address

import (
	"fmt"

	"sootline"
)

// Move is where a device answers now and where it is to answer.
type Move struct {
	From  int   // 0: it is not on the loop; the unset number of the loop: nobody has set it
	To    int   // 0: it stays where it is
	Width int   // 0 counts as 1
	Range Range // counts only where the span is Separate
	Most  int   // the highest number that can be set on it; 0: any
}

// Step is one thing to do with one device.
type Step struct {
	Device int // index of its Move
	Kind   StepKind
	From   int // 0: it is off the loop
	To     int // 0: it is off the loop after the step
}

// StepKind says what a step does.
type StepKind int

// The kinds of step.
const (
	Set       StepKind = iota // set to the number it is to have
	Park                      // set to a free number for the time being
	ParkUnset                 // set to the unset number for the time being
	Lift                      // take it off the loop for the time being
)

// String is a phrase for a table.
func (k StepKind) String() string {
	return [...]string{"set", "park at a free number", "park at the unset number", "take off the loop"}[min(max(k, Set), Lift)]
}

// Order is a list of steps after which every device answers to its number, and
// during which none comes to share a number with another.
type Order struct {
	Steps   []Step
	Moved   int // devices that change their number
	AtLeast int // no list of steps is shorter: Moved, and one for each ring of devices that wait for each other
}

// Shortest reports whether the list is proved to be the shortest there is; it
// always is when every device takes one number.
func (o Order) Shortest() bool { return len(o.Steps) == o.AtLeast }

// Moves gives the devices of a loop with where they answer now, 0 where nobody said,
// and where they are to answer: to holds a number a device, as Proposal.Numbers
// does; nil means the numbers they should have.
func (l Loop) Moves(to []int) []Move {
	moves := make([]Move, len(l.Devices))
	for i := range l.Devices {
		d := &l.Devices[i]
		moves[i] = Move{From: d.Found, To: d.Wanted, Width: d.width(), Range: l.rangeOf(d), Most: d.Setter.Most()}
		if to != nil {
			moves[i].To = to[i]
		}
	}
	return moves
}

// ChangeOrder finds in which order to set devices, one at a time, so that none
// ever comes to share a number with another; those that share one at the start
// are parted. Where devices wait for each other in a ring, one is parked: at a
// free number, else at the loop's unset number, else off the loop.
//
// With widths of one the list is the shortest there is; otherwise it takes at
// most two steps a device, and AtLeast bounds it from below. It returns an error
// when two devices are to have one number, or a number that they cannot have.
func ChangeOrder(s Span, moves []Move) (Order, error) {
	if err := s.Check(); err != nil {
		return Order{}, err
	}
	if err := s.checkMoves(moves); err != nil {
		return Order{}, err
	}
	j := newJuggler(s, moves)
	if err := j.claim(); err != nil {
		return Order{}, err
	}
	o := Order{Moved: len(j.moving), AtLeast: len(j.moving) + j.rings()}
	j.run()
	o.Steps = j.steps
	return o, nil
}

// checkMoves reports places that cannot be.
func (s Span) checkMoves(moves []Move) error {
	for i := range moves {
		m := &moves[i]
		if m.From < 0 || m.To < 0 || m.Width < 0 || m.From > mostNumber || m.Width > mostNumber || m.Range < Sensors || m.Range > Modules {
			return sootline.Errorf(sootline.Invalid, "", "device %d of the change cannot go from %d to %d with %d numbers", i+1, m.From, m.To, m.width())
		}
		if m.To == 0 || m.To == m.From {
			continue
		}
		if err := s.Refuse(m.To, m.width()); err != nil {
			return fmt.Errorf("device %d of the change: %w", i+1, err)
		}
		if m.Most > 0 && m.To > m.Most {
			return sootline.Errorf(sootline.Invalid, "plan another number for it",
				"number %d cannot be set on device %d of the change, %d is the highest", m.To, i+1, m.Most)
		}
	}
	return nil
}

func (m *Move) width() int { return max(m.Width, 1) }
