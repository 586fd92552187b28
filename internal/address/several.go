package address

import (
	"cmp"
	"slices"
)

// shifted explains a run of numbers by every device of it being set one number
// up or down. At one end of such a run a device is missing; just beyond the
// other something answers that should not.
func (b *board) shifted(by bySign) []Explanation {
	var all []Explanation
	for _, r := range []Range{Sensors, Modules} {
		run := b.byNumber(r)
		signs := slices.Concat(by.unexpected, by.wrong, by.flicker)
		for _, t := range by.missing {
			at := slices.Index(run, t.Device)
			for _, sign := range signs {
				if at < 0 || b.heardIn(&b.answers[sign.Answer]) != r {
					continue
				}
				end := slices.IndexFunc(run, func(i int) bool { return b.number[i] >= sign.Number })
				if end < 0 {
					end = len(run)
				}
				if sign.Number > t.Number && end-at > 1 {
					all = b.addShift(all, run[at:end], 1)
				}
				if end < len(run) && b.number[run[end]] == sign.Number {
					end++
				}
				if sign.Number < t.Number && at+1-end > 1 {
					all = b.addShift(all, run[end:at+1], -1)
				}
			}
		}
	}
	return all
}

// addShift adds the shift of a run, unless more than a quarter of its devices
// would then not be heard.
func (b *board) addShift(all []Explanation, run []int, by int) []Explanation {
	deaf := 0
	for _, i := range run {
		if !b.mayAnswer(i, b.number[i]+by) {
			if deaf++; 4*deaf > len(run) {
				return all
			}
		}
	}
	e := Explanation{Kind: ShiftedRun, Number: b.number[run[0]]}
	for _, i := range run {
		e.Moved = append(e.Moved, b.misplaced(i, b.number[i]+by))
	}
	return append(all, e)
}

// byNumber lists the devices of a range that are thought to answer, by number.
func (b *board) byNumber(r Range) []int {
	var run []int
	for i := range b.loop.Devices {
		d := &b.loop.Devices[i]
		if b.number[i] > 0 && b.loop.rangeOf(d) == r {
			run = append(run, i)
		}
	}
	slices.SortStableFunc(run, func(i, k int) int { return cmp.Compare(b.number[i], b.number[k]) })
	return run
}

// allMisread explains the numbers of all devices of a type, or of all there
// are, by one misreading of whoever set them.
func (b *board) allMisread() []Explanation {
	groups := map[string][]int{}
	var names []string
	for _, i := range b.walk {
		d := &b.loop.Devices[i]
		for _, name := range []string{"of type " + key(d.Type), ""} {
			if groups[name] == nil {
				names = append(names, name)
			}
			groups[name] = append(groups[name], i)
		}
	}
	var all []Explanation
	for _, name := range names {
		for m := Exchanged; m <= UpsideDown; m++ {
			for k := range 3 {
				if e := b.misreadBy(groups[name], m, k); len(e.Moved) > 1 {
					all = append(all, e)
				}
			}
		}
	}
	return all
}

// misreadBy moves every device of a group to where a misreading on its k-th
// setter leads.
func (b *board) misreadBy(group []int, m Misreading, k int) Explanation {
	e := Explanation{Kind: AllMisread, How: m, Misread: true}
	for _, i := range group {
		d := &b.loop.Devices[i]
		setters := d.setters(m)
		if k >= len(setters) || b.number[i] == 0 {
			continue
		}
		for _, n := range setters[k].misread(b.number[i], m) {
			if n != b.number[i] {
				e.Moved = append(e.Moved, b.misplaced(i, n))
			}
		}
	}
	if !slices.ContainsFunc(e.Moved, func(m Misplaced) bool { return b.mayAnswer(m.Device, m.At) }) {
		return Explanation{} // that none of them is heard shows no misreading
	}
	e.Number = e.Moved[0].Wanted
	return e
}
