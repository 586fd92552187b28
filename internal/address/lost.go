package address

// lost explains missing devices by the cable. A ring is fed from both ends, so
// that one open place on it loses nobody; what is lost all together is what lies
// between two isolators that a short opened, the end of a spur behind an open
// place, or what lies between two open places.
func (b *board) lost(by bySign) []Explanation {
	silent := make([]bool, len(b.loop.Devices))
	for _, t := range by.missing {
		silent[t.Device] = true
	}
	// Something else may answer at the number of a device that is lost.
	for _, t := range by.wrong {
		silent[t.Device] = true
	}
	var all []Explanation
	add := func(kind Mistake, devices []int, least int) {
		var moved []Misplaced
		for _, i := range devices {
			if b.number[i] != 0 {
				moved = append(moved, b.misplaced(i, 0))
			}
		}
		if len(moved) >= least {
			all = append(all, Explanation{Kind: kind, Number: moved[0].Wanted, Moved: moved})
		}
	}
	for _, stretch := range b.cable.stretches {
		if b.allSilent(stretch, silent) {
			add(Short, stretch, 1)
		}
	}
	for _, spur := range b.cable.spurs {
		from := len(spur)
		for from > 0 && b.allSilent(spur[from-1:from], silent) {
			from--
		}
		add(LostSpur, spur[from:], 1)
	}
	from := 0
	for k := 0; k <= len(b.cable.ring); k++ {
		if k == len(b.cable.ring) || !b.allSilent(b.cable.ring[k:k+1], silent) {
			add(LostStretch, b.cable.ring[from:k], 2)
			from = k + 1
		}
	}
	return all
}

// allSilent reports whether none of some devices answers, those aside that have
// no number to answer at.
func (b *board) allSilent(devices []int, silent []bool) bool {
	for _, i := range devices {
		if b.number[i] != 0 && !silent[i] {
			return false
		}
	}
	return true
}
