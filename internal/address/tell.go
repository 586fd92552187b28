package address

import "fmt"

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
		e.Says = fmt.Sprintf("%s is still at number %d, which a device carries before anyone sets it", first, m.At)
		e.Prove = "open its base and look; taken off, number " + fmt.Sprint(m.At) + " must go"
	case MisSet:
		e.Says = fmt.Sprintf("%s is set to %d instead of %d%s", first, m.At, m.Wanted, how)
		e.Prove = fmt.Sprintf("test it: the panel must show %d; or open its base and read how it is set", m.At)
	case OtherFitted:
		e.Says = fmt.Sprintf("at %s another type is fitted than the register says", first)
		e.Prove = "read the type on the device; if it is right, test it: the panel must show this number, or two devices were exchanged"
	case Silent:
		e.Says = fmt.Sprintf("%s does not answer: it is not there, has no power, or is faulty", first)
		e.Prove = "look whether it is fitted; put one that works in its base, set to the same number: if that answers, the device was at fault, otherwise its base or cable"
	case LostStretch:
		e.Says = fmt.Sprintf("the %d devices from %s to %s along the cable do not answer: the cable is open or a base not in contact", len(e.Moved), first, rest)
		e.Prove = "measure at the first and at the last base of the stretch; find the place by halving"
	case Stranger:
		e.Says = fmt.Sprintf("a device answers at %d that the register does not know", e.Number)
		e.Prove = fmt.Sprintf("find it by halving: open a base or isolator and see whether %d still answers; then add it to the register or take it off", e.Number)
	case DoubleNumber:
		e.Says, e.Prove = s.tellDouble(e, first, how)
	case Exchange:
		e.Says = fmt.Sprintf("%s and %s have each other's numbers: they answer at %d and %d", first, rest, m.At, e.Moved[1].At)
		e.Prove = fmt.Sprintf("test %s: the panel must show %d", first, m.At)
	case ShiftedRun:
		e.Says = fmt.Sprintf("the %d devices from %s to %s are each set one number too %s", len(e.Moved), first, rest, upDown(m.At-m.Wanted))
		e.Prove = fmt.Sprintf("test the first: the panel must show %d; and the last: it must show %d", m.At, e.Moved[len(e.Moved)-1].At)
	case AllMisread:
		e.Says = fmt.Sprintf("the %d devices from %s to %s are all set by the same misreading%s", len(e.Moved), first, rest, how)
		e.Prove = fmt.Sprintf("test the first: the panel must show %d; then open its base and compare with its card", m.At)
	}
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
	case OneSwitch:
		return "one switch wrong"
	}
	return "one dial a position off"
}
