package address

import (
	"fmt"
	"slices"
)

// Held is a device that the order leaves where it stands, though another number is
// wanted for it.
type Held struct {
	Device int    // index in Loop.Devices
	Why    string // with the names of those in its way
}

// LoopOrder is the order of changes of a loop, with what it leaves out.
type LoopOrder struct {
	Moves []Move
	Order
	Held     []Held
	Unwanted int // devices at the number of one that nobody has set, for which none is wanted
}

// ChangeOrder finds the order in which the devices of a loop are set to the numbers
// that are wanted. Those that cannot have theirs are left where they stand, with the
// reason; the others are ordered all the same.
func (l Loop) ChangeOrder() (LoopOrder, error) {
	if err := l.Span.Check(); err != nil {
		return LoopOrder{}, err
	}
	o := LoopOrder{Moves: l.Moves(nil)}
	h := holder{loop: l, moves: o.Moves, held: make([]string, len(o.Moves))}
	h.unable()
	for h.clash() {
	}
	for i := range o.Moves {
		d := &l.Devices[i]
		if h.held[i] != "" {
			o.Held = append(o.Held, Held{i, h.held[i]})
		}
		if d.Wanted == 0 && l.Span.isUnset(d.Found) {
			o.Unwanted++
		}
	}
	var err error
	o.Order, err = ChangeOrder(l.Span, o.Moves)
	return o, err
}

// holder finds the devices that cannot be set to what is wanted of them.
type holder struct {
	loop  Loop
	moves []Move
	held  []string // why, by device; empty: it is not
}

// hold leaves a device where it stands.
func (h *holder) hold(i int, format string, args ...any) {
	h.held[i] = fmt.Sprintf("%s stays: number %d is wanted for it, and ", h.loop.Devices[i].Name, h.moves[i].To) + fmt.Sprintf(format, args...)
}

func (h *holder) moving(i int) bool {
	m := &h.moves[i]
	return h.held[i] == "" && m.To != 0 && m.To != m.From
}

// unable holds devices whose numbers the loop or their setters do not allow.
func (h *holder) unable() {
	for i := range h.moves {
		if m := &h.moves[i]; h.moving(i) {
			if err := h.loop.Span.Refuse(m.To, m.width()); err != nil {
				h.hold(i, "%v", err)
			} else if m.Most > 0 && m.To > m.Most {
				h.hold(i, "%d is the highest that can be set on it", m.Most)
			}
		}
		h.stay(i)
	}
}

// stay has a device that is held go nowhere.
func (h *holder) stay(i int) {
	if h.held[i] != "" {
		h.moves[i].To = 0
	}
}

// clash holds the devices that would end at the number of another, and reports whether
// there were any: what they then stay at may be in the way of more.
func (h *holder) clash() bool {
	ends := [2]map[int][]int{{}, {}} // by range and number: who ends there
	for i := range h.moves {
		m := &h.moves[i]
		n := m.From
		if h.moving(i) {
			n = m.To
		}
		if n == 0 || h.loop.Span.isUnset(n) {
			continue
		}
		for k := n; k < n+m.width(); k++ {
			ends[h.rangeOf(i)][k] = append(ends[h.rangeOf(i)][k], i)
		}
	}
	var late []int
	for i := range h.moves {
		if !h.moving(i) {
			continue
		}
		m := &h.moves[i]
		var others []string
		for k := m.To; k < m.To+m.width(); k++ {
			for _, other := range ends[h.rangeOf(i)][k] {
				if name := h.where(other); other != i && !slices.Contains(others, name) {
					others = append(others, name)
				}
			}
		}
		if len(others) > 0 {
			h.hold(i, "%s", listed(others))
			late = append(late, i)
		}
	}
	for _, i := range late {
		h.stay(i)
	}
	return len(late) > 0
}

func (h *holder) rangeOf(i int) Range { return h.loop.rangeOf(&h.loop.Devices[i]) }

// where says what another device has to do with a number.
func (h *holder) where(i int) string {
	if h.moves[i].To != 0 && h.moves[i].To != h.moves[i].From {
		return fmt.Sprintf("for %s too", h.loop.Devices[i].Name)
	}
	return h.loop.Devices[i].Name + " is there and stays"
}
