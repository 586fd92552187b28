package address

// unset explains missing devices together by nobody having set them: all carry
// one number, and the panel hears them there as one.
func (b *board) unset(by bySign) []Explanation {
	n := b.loop.Span.Unset
	if n == 0 || n >= len(b.at[0]) {
		return nil
	}
	var any, fitting []Misplaced
	for _, t := range by.missing {
		if len(b.at[b.loop.rangeOf(&b.loop.Devices[t.Device])][n]) == 0 {
			continue // none of its range is unset
		}
		any = append(any, b.misplaced(t.Device, n))
		if b.mayAnswer(t.Device, n) {
			fitting = append(fitting, b.misplaced(t.Device, n))
		}
	}
	var all []Explanation
	for _, moved := range [][]Misplaced{any, fitting} {
		if len(fitting) > 0 && len(moved) > 1 { // else what answers there is none of them
			all = append(all, Explanation{Kind: StillUnset, Number: moved[0].Wanted, Moved: moved})
		}
	}
	return all
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
