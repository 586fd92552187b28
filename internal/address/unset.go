package address

import "slices"

// unset explains missing devices together by nobody having set them: all carry
// one number, and the panel hears them there as one.
func (b *board) unset(by bySign) []Explanation {
	n := b.loop.Span.Unset
	if n == 0 || n >= len(b.at[0]) {
		return nil
	}
	var any, fitting, deaf []Misplaced
	for _, t := range by.missing {
		if len(b.at[b.loop.rangeOf(&b.loop.Devices[t.Device])][n]) == 0 {
			continue // none of its range is unset
		}
		if n > b.loop.Devices[t.Device].Setter.shows() {
			deaf = append(deaf, b.misplaced(t.Device, 0)) // it cannot carry that from its box, but a number that nobody asks at
			continue
		}
		any = append(any, b.misplaced(t.Device, n))
		if b.mayAnswer(t.Device, n) {
			fitting = append(fitting, b.misplaced(t.Device, n))
		}
	}
	var all []Explanation
	add := func(moved []Misplaced) {
		if len(moved) > 1 {
			all = append(all, Explanation{Kind: StillUnset, Number: moved[0].Wanted, Moved: moved})
		}
	}
	if len(fitting) == 0 {
		return nil // what answers there is none of them
	}
	if len(deaf) > 0 && len(any)+len(deaf) == b.numbered {
		add(slices.Concat(any, deaf))
	}
	elsewhere := b.elsewhere(by)
	for _, moved := range [][]Misplaced{any, fitting} {
		add(moved)
		add(without(moved, elsewhere))
		if len(elsewhere) > 1 && len(elsewhere) <= mostElsewhere {
			for i := range elsewhere {
				add(without(moved, map[int]bool{i: true}))
			}
		}
	}
	return all
}

// mostElsewhere is of how many devices each is left out of the unset ones by
// itself.
const mostElsewhere = 20

// elsewhere finds the missing devices that may be what answers at another number
// where it should not.
func (b *board) elsewhere(by bySign) map[int]bool {
	devices := map[int]bool{}
	for _, t := range by.missing {
		for _, sign := range slices.Concat(by.unexpected, by.wrong, by.flicker) {
			if !b.loop.Span.isUnset(sign.Number) && b.together(t, sign) != nil {
				devices[t.Device] = true
			}
		}
	}
	return devices
}

// without leaves some devices out.
func without(moved []Misplaced, devices map[int]bool) []Misplaced {
	return slices.DeleteFunc(slices.Clone(moved), func(m Misplaced) bool { return devices[m.Device] })
}

// misSetBySerial explains a serial that answers at another's number, though
// something answers at its own too.
func (b *board) misSetBySerial(by bySign) []Explanation {
	var all []Explanation
	for _, t := range by.wrong {
		if i := b.owner[t.Answer]; i != nobody && b.number[i] != 0 {
			e := Explanation{Kind: DoubleNumber, Number: b.loop.Devices[i].Wanted, Moved: []Misplaced{b.misplaced(i, t.Number)}}
			e.How, e.Misread = b.loop.Devices[i].misreadingTo(t.Number)
			all = append(all, e)
		}
	}
	return all
}
