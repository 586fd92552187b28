package address

import (
	"cmp"
	"slices"
)

// doubled explains a missing device by its being at the number of another: one
// that shows a sign of it, or to which a misreading or a slip by one leads.
func (b *board) doubled(by bySign) []Explanation {
	var all []Explanation
	for _, t := range by.missing {
		add := func(at int, how Misreading, misread bool) {
			all = append(all, Explanation{Kind: DoubleNumber, How: how, Misread: misread, Number: t.Number, Moved: []Misplaced{b.misplaced(t.Device, at)}})
		}
		d := &b.loop.Devices[t.Device]
		for _, sign := range slices.Concat(by.wrong, by.flicker) {
			if sign.Sign == Flickering || b.agrees(t.Device, sign.Answer) {
				add(sign.Number, 0, false)
			}
		}
		for m := Exchanged; m <= OneDial; m++ {
			for _, n := range d.misreadings(m) {
				if b.answering(d, n) {
					add(n, m, true)
				}
			}
		}
		for _, n := range []int{d.Wanted - 1, d.Wanted + 1} {
			if b.answering(d, n) {
				add(n, 0, false)
			}
		}
	}
	return all
}

// answering reports whether something answers at n and some other device is
// thought to be there.
func (b *board) answering(d *Device, n int) bool {
	r := b.loop.rangeOf(d)
	return n > 0 && n < len(b.at[r]) && len(b.at[r][n]) > 0 && len(b.own[r][n])+len(b.wide[r][n]) > 0
}

// exchanged explains two wrong types by two devices having each other's
// numbers; of several partners the nearest along the cable is taken.
func (b *board) exchanged(by bySign) []Explanation {
	var all []Explanation
	for i, t := range by.wrong {
		best := nobody
		for k, u := range by.wrong[i+1:] {
			if !b.agrees(t.Device, u.Answer) || !b.agrees(u.Device, t.Answer) {
				continue
			}
			if best == nobody || b.apart(t.Device, u.Device) < b.apart(t.Device, by.wrong[best].Device) {
				best = i + 1 + k
			}
		}
		if best != nobody {
			u := by.wrong[best]
			all = append(all, Explanation{Kind: Exchange, Number: t.Number, Moved: []Misplaced{
				b.misplaced(t.Device, u.Number), b.misplaced(u.Device, t.Number),
			}})
		}
	}
	return all
}

// apart is how many places along the cable lie between two devices.
func (b *board) apart(i, k int) int {
	d := b.place[i] - b.place[k]
	return max(d, -d)
}

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
	e := Explanation{Kind: ShiftedRun, Number: b.number[run[0]]}
	deaf := 0
	for _, i := range run {
		to := b.number[i] + by
		e.Moved = append(e.Moved, b.misplaced(i, to))
		if heard := b.at[b.loop.rangeOf(&b.loop.Devices[i])][to]; !slices.ContainsFunc(heard, func(a int) bool { return b.agrees(i, a) }) {
			if deaf++; 4*deaf > len(run) {
				return all
			}
		}
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

// lost explains missing devices that are neighbours along the cable by one
// open place.
func (b *board) lost(by bySign) []Explanation {
	missing := map[int]bool{}
	for _, t := range by.missing {
		missing[t.Device] = true
	}
	var all []Explanation
	var run []Misplaced
	for k, i := range b.walk {
		if missing[i] {
			run = append(run, b.misplaced(i, 0))
		}
		if last := k == len(b.walk)-1; len(run) > 1 && (last || !missing[i]) {
			all = append(all, Explanation{Kind: LostStretch, Number: b.number[run[0].Device], Moved: run})
		}
		if !missing[i] {
			run = nil
		}
	}
	return all
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
		for m := Exchanged; m <= Reversed; m++ {
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
	if len(e.Moved) > 0 {
		e.Number = e.Moved[0].Wanted
	}
	return e
}
