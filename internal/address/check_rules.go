package address

import (
	"fmt"
	"slices"
	"strconv"

	"sootline"
)

// twice finds numbers that several devices answer to. What the panel then shows
// is common practice, no source.
func (l *census) twice() []sootline.Finding {
	var findings []sootline.Finding
	for _, r := range shared(l.takers) {
		findings = append(findings, l.finding(Twice, sootline.Serious, r.takers, l.sharing(r), l.parted(r.takers)))
	}
	return findings
}

// sharing says how a number is shared: what is only wanted is not there yet.
func (l *census) sharing(r run) string {
	shown := "the panel may show a wrong type or an unstable reply there, or one of them as missing"
	var there, meant []taker
	for _, d := range r.takers {
		if d.Stands.Number != 0 {
			there = append(there, d)
		} else {
			meant = append(meant, d)
		}
	}
	number := sootline.Capital(numbers(r.first, r.last))
	switch {
	case len(meant) == 0:
		return fmt.Sprintf("%s on loop %s is taken by %d devices, %s: %s", number, l.LoopID, len(there), names(there), shown)
	case len(there) == 0:
		return fmt.Sprintf("%s on loop %s is wanted for %d devices, %s, and only one can have it; how they stand nobody said", number, l.LoopID, len(meant), names(meant))
	}
	return fmt.Sprintf("%s on loop %s is taken by %s and wanted for %s, of which nobody said how it stands: set so, %s", number, l.LoopID, names(there), names(meant), shown)
}

// parted tells how to part devices that share a number: the one that should
// have another goes there; where none should, somebody has to look.
func (l *census) parted(takers []taker) sootline.Ways {
	for _, d := range takers {
		if d.Wanted != 0 && d.Wanted != d.first {
			return l.setTo("set "+name(d), d)
		}
	}
	if !slices.ContainsFunc(takers, func(d taker) bool { return d.Stands.Number != 0 }) {
		return l.wantAnother("one of them", takers[len(takers)-1].width)
	}
	ways := l.setTo("set the other", takers[len(takers)-1])
	ways[0].Text = "find out on site which of them belongs there, and " + ways[0].Text
	return ways
}

// unset finds devices that carry the number of one nobody has set.
func (l *census) unset() []sootline.Finding {
	var findings []sootline.Finding
	for _, d := range l.devices {
		if !l.isUnset(d) {
			continue
		}
		reason := fmt.Sprintf("%s %s number %d, which a device carries before anyone sets it", name(d), standing(d), l.Unset)
		findings = append(findings, l.finding(Unset, sootline.Serious, []taker{d}, reason, l.numbered(d)))
	}
	return findings
}

// numbered tells how a device that nobody has set comes to its number.
func (l *census) numbered(d taker) sootline.Ways {
	ways := l.setTo("set the device", d)
	if d.Wanted == 0 || d.Wanted == l.Unset {
		ways = ways.Or("or plan the numbers of the loop").Do(sootline.PlanNumbers, l.LoopID.String())
	}
	return ways
}

// standing tells how it is known at which number a device is.
func standing(d taker) string {
	switch d.Stands.As {
	case sootline.AsListed:
		return "is listed at"
	case sootline.AsFound:
		return "was found at"
	case sootline.AsSet:
		return "was set to"
	}
	return "is meant to have"
}

// outside finds devices with a number that the loop does not have, wide ones
// that run past its end too.
func (l *census) outside() []sootline.Finding {
	var findings []sootline.Finding
	for _, d := range byNumber(l.devices) {
		if d.first == 0 || l.isUnset(d) || l.First <= d.first && d.last <= l.Last {
			continue
		}
		reason := fmt.Sprintf("%s has %s, and loop %s has the numbers %d to %d", name(d), numbers(d.first, d.last), l.LoopID, l.First, l.Last)
		if d.first >= l.First && d.first <= l.Last {
			reason = fmt.Sprintf("%s takes %s and so runs past %d, the last number of loop %s", name(d), numbers(d.first, d.last), l.Last, l.LoopID)
		}
		findings = append(findings, l.finding(Outside, sootline.Serious, []taker{d}, reason,
			l.setTo("set the device", d).Or("or state the span of the loop").Do(sootline.StateLoop, l.LoopID.String())))
	}
	return findings
}

// missing finds the devices of the loop that have no number at all. Isolators
// are left out: many take none (common practice, no source).
func (l *census) missing() []sootline.Finding {
	var without []taker
	for _, d := range l.devices {
		if d.first == 0 && d.kind != sootline.Isolator {
			without = append(without, d)
		}
	}
	if len(without) == 0 {
		return nil
	}
	reason := fmt.Sprintf("%d devices on loop %s have no number, neither wanted nor listed or found: %s", len(without), l.LoopID, names(without))
	if len(without) == 1 {
		reason = fmt.Sprintf("%s has no number, neither wanted nor listed or found", name(without[0]))
	}
	return []sootline.Finding{l.finding(Missing, sootline.Warning, without, reason,
		sootline.Out("take in a listing that gives the numbers").Do(sootline.TakeListings))}
}

// differs finds devices at another number than the one they should have; those
// still unset have a finding of their own.
func (l *census) differs() []sootline.Finding {
	var findings []sootline.Finding
	for _, d := range byNumber(l.devices) {
		if l.isUnset(d) || d.Stands.Number == 0 {
			continue
		}
		switch {
		case d.Wanted != 0 && d.Wanted != d.first:
			findings = append(findings, l.finding(Differs, sootline.Warning, []taker{d},
				fmt.Sprintf("%s should have number %d and %s %d", name(d), d.Wanted, standing(d), d.first), l.setTo("set the device", d)))
		case d.Wanted == 0 && d.Stands.As == sootline.AsFound && d.Listed != 0 && d.Listed != d.first && d.Listed != l.Unset:
			findings = append(findings, l.finding(Differs, sootline.Warning, []taker{d},
				fmt.Sprintf("%s is listed at number %d and was found at %d, and nobody wrote down which it should have", name(d), d.Listed, d.first),
				sootline.Out("say which number is wanted").Do(sootline.AddEntry, string(sootline.AddressedKind))))
		}
	}
	return findings
}

// setTo tells to which number a device is to be set. The number it should have
// comes first, unless another device answers to it at present: setting it then
// would make the number taken twice.
func (l *census) setTo(who string, d taker) sootline.Ways {
	noted := func(text string, number ...string) sootline.Ways {
		return sootline.Out(text+", and note it").Do(sootline.NoteNumber, append([]string{d.Ref().String()}, number...)...)
	}
	if d.Wanted != 0 && d.Wanted != d.first && l.fits(d) {
		for i := range d.width {
			for _, other := range l.takers[d.Wanted+i] {
				if other.Point != d.Point {
					return noted(inTheWay(other, d.Wanted+i)+fmt.Sprintf(", then %s to %d", who, d.Wanted), strconv.Itoa(d.Wanted))
				}
			}
		}
		return noted(fmt.Sprintf("%s to %d", who, d.Wanted), strconv.Itoa(d.Wanted))
	}
	if number, ok := l.free(d.width); ok {
		return noted(fmt.Sprintf("%s to a free number, the lowest is %d", who, number))
	}
	return l.full()
}

func (l *census) full() sootline.Ways {
	return sootline.Out(fmt.Sprintf("loop %s has no free number left for it: move a device to another loop", l.LoopID))
}

// inTheWay tells what to do with a device that answers to a number another one
// should have: move it, or, where it should have that number too, mend the list.
func inTheWay(d taker, number int) string {
	switch {
	case d.Stands.Number == 0:
		return fmt.Sprintf("%s should have %d too: give one of the two another number", name(d), number)
	case d.Wanted == d.first:
		return fmt.Sprintf("%s is at %d and should be: give one of the two another number in the list", name(d), number)
	case d.Stands.As == sootline.AsListed:
		return fmt.Sprintf("%s is listed at %d: move that one first", name(d), number)
	}
	return fmt.Sprintf("%s is at %d now: move that one first", name(d), number)
}

// fits reports whether the loop has the numbers that a device should have.
func (l *census) fits(d taker) bool {
	return l.First <= d.Wanted && d.Wanted+d.width-1 <= l.Last && d.Wanted != l.Unset
}

func (l *census) finding(code string, weight sootline.Weight, about []taker, reason string, wayOut sootline.Ways) sootline.Finding {
	points := make([]*sootline.Point, len(about))
	for i, d := range about {
		points[i] = d.Point
	}
	return sootline.Finding{Code: code, Weight: weight, Points: points, Loop: l.LoopID, Reason: reason, WayOut: wayOut}
}
