package address

import "slices"

const (
	mostWrong  = 40 // wrong answers among which every pair is tried; of more, the nearest
	mostTurned = 12 // wrong answers among which rings are looked for by type
	mostRing   = 6  // devices of a ring that is looked for by type
	mostRings  = 200
)

// exchanged explains two wrong types by two devices having each other's numbers.
func (b *board) exchanged(by bySign) []Explanation {
	var all []Explanation
	for i, t := range by.wrong {
		best := nobody
		for k, u := range by.wrong[i+1:] {
			if !b.agrees(t.Device, u.Answer) || !b.agrees(u.Device, t.Answer) {
				continue
			}
			if len(by.wrong) <= mostWrong {
				all = append(all, b.turned([]int{t.Device, u.Device}, []int{u.Number, t.Number}))
			} else if best == nobody || b.apart(t.Device, u.Device) < b.apart(t.Device, by.wrong[best].Device) {
				best = i + 1 + k
			}
		}
		if best != nobody {
			u := by.wrong[best]
			all = append(all, b.turned([]int{t.Device, u.Device}, []int{u.Number, t.Number}))
		}
	}
	return all
}

// turned makes an explanation of devices that have each other's numbers.
func (b *board) turned(devices, at []int) Explanation {
	e := Explanation{Kind: Ring}
	if len(devices) == 2 {
		e.Kind = Exchange
	}
	for k, i := range devices {
		e.Moved = append(e.Moved, b.misplaced(i, at[k]))
	}
	e.Number = e.Moved[0].Wanted
	return e
}

// rings explains wrong answers by devices that have each other's numbers in a
// ring, by their serials and by their types.
func (b *board) rings(by bySign) []Explanation {
	all := b.ringsBySerial(by)
	if len(by.wrong) <= mostTurned {
		all = append(all, b.ringsByType(by.wrong)...)
	}
	return all
}

// ringsBySerial follows from each wrong answer whose device answers there, and
// who should. Where the last of a chain gives no serial, the chain is closed if
// the device that is left may be what answers where the chain began.
func (b *board) ringsBySerial(by bySign) []Explanation {
	at := map[int]int{} // by device: the number its serial answers at
	for _, t := range by.wrong {
		if owner := b.owner[t.Answer]; owner != nobody && b.number[owner] != 0 {
			at[owner] = t.Number
		}
	}
	belongs := map[int]int{} // by number: the device that should answer there
	for _, t := range by.wrong {
		belongs[t.Number] = t.Device
	}
	follows := map[int]bool{} // devices that stand where another is known to have gone from
	for _, n := range at {
		follows[belongs[n]] = true
	}
	var all []Explanation
	seen := map[int]bool{}
	for _, heads := range []bool{true, false} { // chains from their heads, then what is left: closed rings
		for _, t := range by.wrong {
			i := b.owner[t.Answer]
			if i == nobody || at[i] != t.Number || seen[i] || heads == follows[i] {
				continue
			}
			if e := b.follow(i, at, belongs, seen); len(e.Moved) > 1 {
				all = append(all, e)
			}
		}
	}
	return all
}

// follow goes from a device to the one whose number it has, and so on.
func (b *board) follow(first int, at, belongs map[int]int, seen map[int]bool) Explanation {
	var devices, numbers []int
	i := first
	for {
		n, known := at[i]
		if !known {
			n = b.number[first] // whoever is left stands where nobody is known to
			if !b.mayAnswer(i, n) {
				return Explanation{}
			}
		}
		if known && seen[i] {
			return Explanation{}
		}
		seen[i] = true
		devices, numbers = append(devices, i), append(numbers, n)
		if n == b.number[first] {
			return b.turned(devices, numbers)
		}
		i = belongs[n]
	}
}

// mayAnswer reports whether what answers at n may be a device, as far as its
// serial is not known to be another's.
func (b *board) mayAnswer(i, n int) bool {
	heard := b.at[b.loop.rangeOf(&b.loop.Devices[i])][n]
	return slices.ContainsFunc(heard, func(a int) bool { return b.agrees(i, a) && b.reaches(i, a) })
}

// reaches reports whether a device can be set to the number of an answer. A serial
// is stronger than what a type sheet says.
func (s *scene) reaches(device, answer int) bool {
	return s.owner[answer] == device || s.answers[answer].Number <= s.loop.Devices[device].Setter.shows()
}

// ringsByType looks for three and more devices each of which may be what
// answers at the number of the next.
func (b *board) ringsByType(wrong []Trace) []Explanation {
	var all []Explanation
	var path []int
	var walk func(k int)
	walk = func(k int) {
		path = append(path, k)
		for next := path[0]; next < len(wrong) && len(all) < mostRings; next++ {
			if !b.agrees(wrong[k].Device, wrong[next].Answer) {
				continue
			}
			if next == path[0] && len(path) > 2 {
				var devices, numbers []int
				for p, at := range path {
					devices = append(devices, wrong[at].Device)
					numbers = append(numbers, wrong[path[(p+1)%len(path)]].Number)
				}
				all = append(all, b.turned(devices, numbers))
			}
			if len(path) < mostRing && !slices.Contains(path, next) {
				walk(next)
			}
		}
		path = path[:len(path)-1]
	}
	for k := range wrong {
		walk(k)
	}
	return all
}
