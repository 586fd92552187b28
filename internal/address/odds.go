package address

import "math"

// odds are decibans: ten times the decimal logarithm of the odds against. They
// add up where the odds multiply, so that 10 more is ten times less likely.
type odds int

// against turns one chance in n into odds.
func against(n int) odds {
	return odds(math.Round(10 * math.Log10(float64(max(n, 1)))))
}

// inHundred is how often each kind of mistake is met, of a hundred mistakes that
// show in a list of what answers. Common practice, no source: an order of
// likelihood by round figures, and none of them is fitted to anything.
var inHundred = map[Mistake]int{
	Silent: 18, MisSet: 11, DoubleNumber: 9, Exchange: 9, StillUnset: 9, Replaced: 9, OtherFitted: 8, Stranger: 6, Short: 6,
	LostSpur: 5, ShiftedRun: 4, AllMisread: 3, Ring: 2, LostStretch: 1,
}

// The odds that come in beside the kind. Common practice, no source.
const (
	oddsOneMore   odds = 6  // another mistake beside those there are: one loop in four
	oddsMisread   odds = 3  // that a wrong number comes of a misreading: half of them
	oddsByOne     odds = 9  // that it is one too high or too low: one in eight
	oddsAnyNumber odds = 6  // that it comes of nothing known: a quarter
	oddsNextTo    odds = 3  // that two devices exchanged are neighbours: half of them
	oddsHidden    odds = 3  // that two devices on one number give a steady reply: half of them
	oddsAllOfThem odds = 3  // that where several are unset, all there are are: half of them
	oddsNext      odds = 3  // which of two neighbours, or of two directions
	oddsStale     odds = 10 // that the register has the serial of a unit that was replaced: a device in ten
	oddsUnsteady  odds = 10 // that the reply of one device alone is unstable: one in ten
)

// kind gives the odds of a kind of mistake, before it is asked at which devices.
func (m Mistake) kind() odds {
	return oddsOneMore + odds(math.Round(10*math.Log10(100/float64(inHundred[m]))))
}

// anyDevice and anyNumber are the odds of just this device or number, where
// nothing tells it apart from the others.
func (s *scene) anyDevice() odds { return against(len(s.loop.Devices)) }
func (s *scene) anyNumber() odds { return against(s.loop.Span.Last - s.loop.Span.first() + 1) }

// anyOf are the odds of just these k devices: one in as many as there are ways to
// choose so many.
func (s *scene) anyOf(k int) odds {
	ways := 0.0
	for i := range k {
		ways += math.Log10(float64(len(s.loop.Devices)-i) / float64(i+1))
	}
	return odds(math.Round(10 * ways))
}

// ofSome are the odds of a group of devices: chosen one by one, or as a run
// along the cable.
func (s *scene) ofSome(moved []Misplaced) odds {
	each := s.anyOf(len(moved))
	first, last := len(s.walk), 0
	for _, m := range moved {
		first, last = min(first, s.place[m.Device]), max(last, s.place[m.Device])
	}
	if last-first+1 == len(moved) {
		each = min(each, s.anyDevice()+against(len(moved))+oddsNext)
	}
	return each
}

// rate writes down the odds of an explanation.
func (s *scene) rate(e Explanation) Explanation {
	e.odds = e.Kind.kind()
	switch e.Kind {
	case Silent, OtherFitted, LostSpur, Replaced:
		e.odds += s.anyDevice()
	case Stranger:
		e.odds += s.anyNumber()
	case MisSet, DoubleNumber:
		e.odds += s.anyDevice() + s.byNumber(e)
	case StillUnset:
		e.odds += s.ofUnset(e.Moved)
	case Exchange:
		e.odds += s.ofExchanged(e.Moved)
	case Ring:
		e.odds += s.ofSome(e.Moved)
	case ShiftedRun:
		e.odds += 2*s.anyDevice() + oddsNext
	case LostStretch:
		e.odds += 2*s.anyDevice() - oddsNext
	case Short:
		e.odds += s.anyDevice() - against(len(e.Moved))
	case AllMisread:
		e.odds += against(s.types) + against(2)
	}
	return e
}

// byNumber are the odds of the wrong number that a device was set to; a device
// that the register does not know came to its own number by any way.
func (s *scene) byNumber(e Explanation) odds {
	m := e.Moved[0]
	switch {
	case m.At == m.Wanted:
		return oddsHidden
	case e.Misread:
		return oddsMisread + against(len(s.loop.Devices[m.Device].misreadings(e.How)))
	case m.At == m.Wanted+1 || m.At == m.Wanted-1:
		return oddsByOne + oddsNext
	}
	if e.Kind == DoubleNumber {
		return oddsAnyNumber + s.anyDevice()
	}
	return oddsAnyNumber + s.anyNumber()
}

func (s *scene) ofUnset(moved []Misplaced) odds {
	if len(moved) == 1 {
		return s.anyDevice()
	}
	if len(moved) == s.numbered {
		return oddsAllOfThem
	}
	return oddsAllOfThem + s.ofSome(moved)
}

func (s *scene) ofExchanged(moved []Misplaced) odds {
	if s.apart(moved[0].Device, moved[1].Device) <= 1 {
		return oddsNextTo + s.anyDevice()
	}
	return oddsNextTo + 2*s.anyDevice() - oddsNext
}

// ofTraces are the odds of explaining traces one by one, counted and not yet
// looked at: a missing device together with an unexpected answer of its type is
// one mistake.
func (s *scene) ofTraces(t tally) odds {
	pairs, missing, unexpected := t.pairs()
	device, number := s.anyDevice(), s.anyNumber()
	return odds(pairs)*(MisSet.kind()+device+(oddsMisread+oddsAnyNumber+number)/2) +
		odds(missing)*(Silent.kind()+device) + odds(unexpected)*(Stranger.kind()+number) +
		odds(t.other)*(OtherFitted.kind()+device) + odds(t.swapped)*(Replaced.kind()+device) + odds(t.hidden)*oddsHidden
}
