package judge

// What lies beyond the limit that no dirt leads to is worn, and so is what nobody cleans: a unit is thrown away only
// where that was shown.

// wornNow holds beyond the limit that dirt does not lead to, or for what nobody cleans.
func (s *study) wornNow() string {
	for side := range 2 {
		if side == worse && dirtSide(s.Sheet) != NoLimit {
			continue
		}
		if s.shownWorn(side) && s.until(side) >= s.losses.From(s.losses.Replace) {
			return s.goesOut(side) + ", and " + s.whyWorn(side)
		}
	}
	return ""
}

// wornAtOnce holds where it went there at once, and nobody said yet what happened: another unit needs no other one.
func (s *study) wornAtOnce() string {
	if at := s.happenedAt(); at == 0 || s.denied(at) || s.noted(at) {
		return ""
	}
	return s.wornNow()
}

// shownWorn reports whether a device may be thrown away for what its level does: it was read beyond that limit, or its
// drift is more than chance.
func (s *study) shownWorn(side int) bool {
	n := s.timesBeyond(side)
	return n >= twiceBeyond || n > 0 && n == len(s.z)-s.since() || s.DriftReal == Yes
}

// twiceBeyond is how many visits must have read a level beyond a limit that no dirt leads to, where earlier ones read
// it elsewhere: one against those is read again before a unit is thrown away. Ours, no source.
const twiceBeyond = 2

// whyWorn says why cleaning does not help: it aged, or went there at once.
func (s *study) whyWorn(side int) string {
	if at := s.happenedAt(); at > 0 {
		return "it went there at once after " + date(s.looks[at-1].at) + ", which no dirt does"
	}
	return s.noDirt(side)
}

// timesBeyond counts the last visits in a row at which it was read beyond a limit.
func (s *study) timesBeyond(side int) (n int) {
	for i := len(s.z) - 1; i >= s.since(); i-- {
		if side == worse && !(s.kin.scale.upper && s.z[i] > 0) || side == better && !(s.kin.scale.lower && s.z[i] < -1) {
			break
		}
		n++
	}
	return n
}

// wornPerhaps holds for a level that is likely beyond the limit of wear where nothing shows that it went there.
func (s *study) wornPerhaps() string {
	side := better
	if dirtSide(s.Sheet) == NoLimit && s.soonest.now[worse] > s.soonest.now[better] {
		side = worse
	}
	if s.latest() == nil || s.until(side) < s.losses.From(s.losses.Look) || s.shownWorn(side) {
		return ""
	}
	if s.timesBeyond(side) > 0 {
		return s.goesOut(side) + ", and all visits before read it elsewhere"
	}
	return s.goesOut(side) + ", yet its " + moving(s.limitOf(side), "rise", "fall") + " may be chance"
}

func (s *study) wornSoon() string {
	for side := range 2 {
		if side == worse && dirtSide(s.Sheet) != NoLimit {
			continue
		}
		if s.shownWorn(side) && s.soonest.over[side] >= s.losses.From(s.losses.Replace) {
			return s.outSoon(side) + ", and " + s.noDirt(side)
		}
	}
	return ""
}

// noDirt says why cleaning does not help beyond a limit. That it ages is said where its own visits show that it goes
// there.
func (s *study) noDirt(side int) string {
	limit := s.limitOf(side)
	if s.DriftReal == Yes && s.driftKnown() == surely && (*s.DriftPerYear > 0) == (limit == HighLimit) {
		return moving(limit, "rising", "falling") + " is ageing, not dirt"
	}
	return "no dirt leads there"
}
