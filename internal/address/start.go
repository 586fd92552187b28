package address

// Start says what is known of the numbers before the first step of an order: where they
// are shared, no order of steps keeps devices apart from the beginning.
type Start struct {
	Sharing int // devices that stand at a number at which another one stands too, the unset one among them
	Unknown int // devices of which nobody said where they stand, so that they may share a number unseen
}

// StartOf looks at where the devices stand before they move.
func StartOf(s Span, moves []Move) Start {
	at := map[[2]int][]int{} // the devices at each number of each range
	var start Start
	for i := range moves {
		m := &moves[i]
		if m.From == 0 {
			start.Unknown++
			continue
		}
		for n := m.From; n < m.From+s.standWidth(m); n++ {
			key := [2]int{s.rangeIn(m), n}
			at[key] = append(at[key], i)
		}
	}
	sharing := map[int]bool{}
	for _, devices := range at {
		if len(devices) > 1 {
			for _, i := range devices {
				sharing[i] = true
			}
		}
	}
	start.Sharing = len(sharing)
	return start
}

// standWidth is how many numbers a device takes where it stands: at the unset number
// nobody counts on more than that one.
func (s Span) standWidth(m *Move) int {
	if s.isUnset(m.From) {
		return 1
	}
	return m.width()
}

// rangeIn tells the ranges of a loop apart, where it has two. The unset number belongs to
// no range: all devices that nobody set stand at it.
func (s Span) rangeIn(m *Move) int {
	if !s.Separate || s.isUnset(m.From) {
		return 0
	}
	return int(m.Range) + 1
}
