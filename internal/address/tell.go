package address

import (
	"fmt"
	"slices"
	"strings"
)

// tell puts an explanation into words.
func (s *scene) tell(e *Explanation) {
	first, rest := "", ""
	m := Misplaced{}
	if len(e.Moved) > 0 {
		m = e.Moved[0]
		first, rest = s.nameOf(m.Device), s.nameOf(e.Moved[len(e.Moved)-1].Device)
	}
	how := ""
	if e.Misread {
		how = ": " + e.How.words(m.Wanted, m.At)
	}
	switch e.Kind {
	case StillUnset:
		e.Says, e.Prove = s.tellUnset(e, first, rest)
	case MisSet:
		e.Says = fmt.Sprintf("%s is set to %d instead of %d%s", first, m.At, m.Wanted, how)
		e.Prove = fmt.Sprintf("test it: the panel must show %d; or open its base and read how it is set", m.At)
	case OtherFitted:
		e.Says, e.Prove = s.tellOther(e, first)
	case Replaced:
		serial := clip(s.answers[e.accounted[0]].Serial)
		e.Says = fmt.Sprintf("at %s a unit of its type answers with serial %s, which the register does not know: it was replaced and nobody wrote it down, or exchanged with one whose serial nobody knows", first, serial)
		e.Prove = "read the serial on the device, and write down which unit it is"
	case Silent:
		e.Says = fmt.Sprintf("%s does not answer: it is not there, has no power, or is faulty", first)
		e.Prove = "look whether it is fitted; put one that works in its base, set to the same number: if that answers, the device was at fault, otherwise its base or cable"
	case Short, LostSpur, LostStretch:
		e.Says, e.Prove = s.tellLost(e, first, rest)
	case Stranger:
		e.Says, e.Prove = s.tellStranger(e)
	case DoubleNumber:
		e.Says, e.Prove = s.tellDouble(e, first, how)
	case Exchange:
		e.Says = fmt.Sprintf("%s and %s have each other's numbers: they answer at %d and %d", first, rest, m.At, e.Moved[1].At)
		e.Prove = fmt.Sprintf("test %s: the panel must show %d", first, m.At)
	case Ring:
		e.Says = fmt.Sprintf("%d devices have each other's numbers in a ring: %s", len(e.Moved), s.whereTo(e.Moved))
		e.Prove = fmt.Sprintf("test %s: the panel must show %d; then the one that belongs there, and so on round", first, m.At)
	case ShiftedRun:
		e.Says = fmt.Sprintf("the %d devices from %s to %s are each set one number too %s", len(e.Moved), first, rest, upDown(m.At-m.Wanted))
		e.Prove = fmt.Sprintf("test the first: the panel must show %d; and the last: it must show %d", m.At, e.Moved[len(e.Moved)-1].At)
	case AllMisread:
		e.Says = fmt.Sprintf("the %d devices from %s to %s are all set by the same misreading%s", len(e.Moved), first, rest, how)
		e.Prove = fmt.Sprintf("test the first: the panel must show %d; then open its base and compare with its card", m.At)
	}
}

// whereTo lists devices with the numbers that they answer to.
func (s *scene) whereTo(moved []Misplaced) string {
	var all []string
	for _, m := range moved {
		all = append(all, fmt.Sprintf("%s answers at %d", s.nameOf(m.Device), m.At))
	}
	return listed(all)
}

// listed joins the first few of a list as a sentence does.
func listed(all []string) string {
	if more := len(all) - mostNamed; more > 0 {
		all = append(all[:mostNamed:mostNamed], fmt.Sprintf("%d more", more))
	}
	if len(all) == 1 {
		return all[0]
	}
	last := len(all) - 1
	return strings.Join(all[:last], ", ") + " and " + all[last]
}

// numbered lists mistakes by their place, counted from 1.
func numbered(places []int) string {
	var all []string
	for _, i := range places {
		all = append(all, fmt.Sprint(i+1))
	}
	return listed(all)
}

// tellUnset: a panel hears all that are unset as one.
func (s *scene) tellUnset(e *Explanation, first, last string) (says, prove string) {
	n := e.Moved[0].At
	if all := len(e.Moved); e.Moved[all-1].At == 0 { // those that cannot carry it come last
		heard := slices.IndexFunc(e.Moved, func(m Misplaced) bool { return m.At == 0 })
		return fmt.Sprintf("none of the %d devices has been set, as far as the list shows: only number %d answers, which a device carries before anyone sets it; %d cannot be set to it and answer nowhere (one device unset on a loop that is dead otherwise gives the same list)", all, n, all-heard),
			fmt.Sprintf("open the bases of %s and %s and look: neither must stand at its own number; where one does, the loop is dead there", first, last)
	}
	switch {
	case len(e.Moved) == 1:
		return fmt.Sprintf("%s is still at number %d, which a device carries before anyone sets it", first, n),
			fmt.Sprintf("open its base and look; taken off, number %d must go", n)
	case len(e.Moved) == s.numbered:
		return fmt.Sprintf("none of the %d devices has been set, as far as the list shows: only number %d answers, which a device carries before anyone sets it (one of them unset on a loop that is dead otherwise gives the same list)", len(e.Moved), n),
			fmt.Sprintf("open the bases of %s and %s and look: both must stand at %d; where one stands at its own number, the loop is dead there", first, last, n)
	}
	var names []string
	for _, m := range e.Moved {
		names = append(names, s.nameOf(m.Device))
	}
	return fmt.Sprintf("%d devices are still at number %d, which a device carries before anyone sets it, and answer there as one: %s", len(e.Moved), n, listed(names)),
		fmt.Sprintf("open the bases of %s and %s and look; with one of them taken off, number %d must still answer", first, last, n)
}

// tellOther does not call a unit of the same type another type.
func (s *scene) tellOther(e *Explanation, first string) (says, prove string) {
	a := e.accounted[0]
	if owner := s.owner[a]; owner != nobody {
		return fmt.Sprintf("at %s the unit answers that the register has at %s: its serial is %s", first, s.nameOf(owner), clip(s.answers[a].Serial)),
			"read the serial on the device; if it is that one, the two were fitted in each other's place, or the register has it wrongly"
	}
	return fmt.Sprintf("at %s another type is fitted than the register says", first),
		"read the type on the device; if it is right, test it: the panel must show this number, or two devices were exchanged"
}

func (s *scene) tellStranger(e *Explanation) (says, prove string) {
	n := e.Number
	if len(e.accounted) == 1 {
		if a := e.accounted[0]; s.owner[a] != nobody {
			return fmt.Sprintf("at %d the serial %s answers, which the register has at %s", n, clip(s.answers[a].Serial), s.nameOf(s.owner[a])),
				"read the serial on the device; if it is that one, it is set to this number, or the register has the serial wrongly"
		}
	}
	if s.loop.Span.isUnset(n) {
		return fmt.Sprintf("a device answers at %d, which a device carries before anyone sets it, and by its serial, its type or how its number is set none that is missing can be it: one is fitted that the register does not know, or of another type than it says", n),
			fmt.Sprintf("find it by halving: open a base or isolator and see whether %d still answers; then add it to the register and set it, or take it off", n)
	}
	return fmt.Sprintf("a device answers at %d that the register does not know", n),
		fmt.Sprintf("find it by halving: open a base or isolator and see whether %d still answers; then add it to the register or take it off", n)
}

// tellLost says what a ring that is fed from both ends shows of its cable.
func (s *scene) tellLost(e *Explanation, first, last string) (says, prove string) {
	who := first + " does not answer"
	if heard := s.heardElsewhere(e.Moved); len(e.Moved) > 1 && heard != "" {
		who = fmt.Sprintf("the devices from %s to %s along the cable do not answer at their numbers (%s)", first, last, heard)
	} else if len(e.Moved) > 1 {
		who = fmt.Sprintf("the %d devices from %s to %s along the cable do not answer", len(e.Moved), first, last)
	}
	switch {
	case e.Kind == Short:
		return who + ", and nothing else hangs between the isolators around: a short is there, which they have cut off (or the cable is open at both ends of it, which is rarer)",
			"with the loop off, measure between the cores of the stretch, away from the isolators: a few ohms are a short; find the place by halving"
	case e.Kind == LostSpur:
		return who + ", to the end of the spur: the spur is open before it",
			fmt.Sprintf("measure the voltage at %s and at the device before it; none at the first is an open cable between them", first)
	case len(s.cable.stretches) == 0:
		return who + ": one open place on a ring loses nobody, so the cable is open at two, or there is a short between isolators that the register does not know, or bases are not in contact",
			"measure at the first and at the last base of the stretch, for voltage, and with the loop off between the cores; find the place by halving"
	}
	return who + ", and the stretch does not end at isolators: the cable is open at two places (one alone loses nobody on a ring), or bases are not in contact",
		"measure at the first and at the last base of the stretch; find the places by halving"
}

// heardElsewhere lists devices whose serials answer all the same; empty where none does.
func (s *scene) heardElsewhere(moved []Misplaced) string {
	var all []string
	for a, owner := range s.owner {
		if owner != nobody && slices.ContainsFunc(moved, func(m Misplaced) bool { return m.Device == owner }) {
			all = append(all, fmt.Sprintf("the serial of %s answers at %d", s.nameOf(owner), s.answers[a].Number))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return listed(all)
}

// tellDouble tells of two devices at one number. The symptoms are common
// practice, no source.
func (s *scene) tellDouble(e *Explanation, first, how string) (says, prove string) {
	m := e.Moved[0]
	if m.At == m.Wanted {
		return fmt.Sprintf("another device answers at %d beside %s: the reply is unstable", m.At, first),
			fmt.Sprintf("take %s off: number %d must still answer, and steadily", first, m.At)
	}
	return fmt.Sprintf("%s answers at %d, where another device belongs%s: %d is missing, and %d may show a wrong type or an unstable reply", first, m.At, how, m.Wanted, m.At),
		fmt.Sprintf("take %s off: number %d must still answer, and steadily, with the type that belongs there", first, m.At)
}

func (s *scene) nameOf(i int) string { return s.loop.Devices[i].Name }

func upDown(by int) string {
	if by > 0 {
		return "high"
	}
	return "low"
}

// words tells of a misreading that made one number of another.
func (m Misreading) words(wanted, at int) string {
	switch m {
	case Exchanged:
		return fmt.Sprintf("tens and units exchanged, as %d for %d", at, wanted)
	case Inverted:
		return fmt.Sprintf("on taken for off, as %d for %d", at, wanted)
	case Reversed:
		return fmt.Sprintf("the first switch taken for the last, as %d for %d", at, wanted)
	case UpsideDown:
		return fmt.Sprintf("the row of switches read upside down, as %d for %d", at, wanted)
	case OneSwitch:
		return "one switch wrong"
	}
	return "one dial or digit a step off"
}
