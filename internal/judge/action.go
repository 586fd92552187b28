package judge

import (
	"fmt"
	"time"

	"sootline"
)

// TooLikely is the chance of having left the band by the next visit from which a
// point is not left alone until then. A detector outside its band unseen is worse
// than two cleaned too early: a judgement of ours, whose cost docs/methods/score.md
// shows.
const TooLikely = 0.3

// rules is the whole table of what to do. The first rule that holds decides; it
// gives its reason as a sentence, or nothing when it does not hold.
func rules() [17]rule {
	return [...]rule{
		{Replace, (*study).pastLife},
		{Read, (*study).unread},
		{LookAgain, (*study).impossible},
		{LookAgain, (*study).unsteady},
		{LookAgain, (*study).odd},
		{LookAgain, (*study).stuck},
		{LookAgain, (*study).bandless},
		{LookAgain, (*study).barelyOutside},
		{Replace, (*study).dirtyAgain},
		{Replace, (*study).below},
		{CleanNow, (*study).above},
		{CleanNow, (*study).risesOut},
		{Replace, (*study).fallsOut},
		{CleanAtVisit, (*study).risesSoon},
		{Replace, (*study).fallsSoon},
		{LookAgain, (*study).fallsPerhaps},
		{Leave, (*study).well},
	}
}

type rule struct {
	action Action
	holds  func(*study) string
}

func (s *study) decide() {
	for _, rule := range rules() {
		if reason := rule.holds(s); reason != "" {
			s.Action = rule.action
			s.Reasons = append(s.Reasons, reason)
			return
		}
	}
}

func (s *study) pastLife() string {
	p := s.Judgement.Point
	if s.Sheet == nil || s.Sheet.LifeYears == nil || !p.UnitSince.After(sootline.LongAgo) {
		return ""
	}
	years := min(*s.Sheet.LifeYears, 1000) // longer than any unit lasts, and within the calendar
	whole := int(years)
	part := time.Duration((years - float64(whole)) * 365.25 * 24 * float64(time.Hour))
	if !s.on.After(p.UnitSince.AddDate(whole, 0, 0).Add(part)) {
		return ""
	}
	return fmt.Sprintf("fitted on %s, it is past its service life of %s years: replace it", date(p.UnitSince), number(*s.Sheet.LifeYears))
}

func (s *study) unread() string {
	if s.latest() != nil {
		return ""
	}
	reset := s.Judgement.Point.LastReset()
	since := "since it was " + reset.Why + dated(" on ", reset.At)
	before := s.lastBefore()
	switch {
	case reset.Entry == nil:
		return "never read"
	case before == nil:
		return "never read " + since
	}
	return fmt.Sprintf("not read %s; the last reading is of %s, before that", since, date(before.At))
}

func (s *study) impossible() string {
	if !s.broken {
		return ""
	}
	return fmt.Sprintf("the reading of %s holds a number that no device gives: read it again", date(s.ReadAt))
}

func (s *study) unsteady() string {
	if !s.Unsteady {
		return ""
	}
	return "the value is unsteady: " + s.UnsteadyWhy
}

func (s *study) bandless() string {
	if s.Verdict != NoBand {
		return ""
	}
	name := s.Judgement.Point.Type
	switch {
	case sootline.TypeKey(name) == "":
		return "no band is known, for nobody said which type it is: take in a listing that gives its type"
	case s.Sheet != nil && len(s.Sheet.Bands) > 0 && s.Band == nil:
		return fmt.Sprintf("no band is known for type %s with the settings of this point: take in its type sheet", name)
	}
	return fmt.Sprintf("no band is known for type %s: take in its type sheet", name)
}

// barelyOutside holds for a value that noise alone may have put outside, unless
// the line through all readings is outside too.
func (s *study) barelyOutside() string {
	if s.outBy() <= 0 || s.outBy() >= s.outlook.Wide || s.beyond {
		return ""
	}
	return fmt.Sprintf("%s, but by %s only, less than the usual noise of %s: read it again",
		s.stands, s.amount(s.outBy()), s.amount(s.outlook.Wide))
}

// dirtyAgain holds for a value that is above the band within two visits of a
// cleaning.
func (s *study) dirtyAgain() string {
	reset := s.Judgement.Point.LastReset()
	soon := reset.At.AddDate(0, 2*s.register.Site.Rules.VisitMonths, 0)
	if s.Verdict != Above || reset.Why != "cleaned" || s.ReadAt.After(soon) {
		return ""
	}
	return fmt.Sprintf("%s although it was cleaned on %s: replace it", s.stands, date(reset.At))
}

func (s *study) below() string {
	if s.Verdict != Below {
		return ""
	}
	return s.stands + ": falling is ageing, not dirt, so replace it"
}

func (s *study) above() string {
	if s.Verdict != Above {
		return ""
	}
	return s.stands + ": clean it now"
}

func (s *study) risesOut() string {
	if s.rises < TooLikely {
		return ""
	}
	return "its line is above the high limit of " + s.amount(*s.Band.High) + " by the next visit, " + date(s.next) +
		", with a chance of " + percent(s.rises) + ": clean it now"
}

func (s *study) fallsOut() string {
	if s.falls < TooLikely || s.DriftReal != Yes {
		return ""
	}
	return fmt.Sprintf("its line is below the low limit of %s by the next visit, %s, with a chance of %s, and falling is ageing, not dirt: replace it",
		s.amount(*s.Band.Low), date(s.next), percent(s.falls))
}

func (s *study) risesSoon() string {
	if s.Leaves != HighLimit || !s.soon() {
		return ""
	}
	return "it may pass its high limit of " + s.amount(*s.Band.High) + " from " + date(*s.LeavesEarliest) +
		" on, before the visit after next, " + date(s.overnext) + ": clean it at this visit"
}

// fallsSoon asks for a drift that is real, since a device is not thrown away on
// what may be noise.
func (s *study) fallsSoon() string {
	if s.Leaves != LowLimit || !s.soon() || s.DriftReal != Yes {
		return ""
	}
	return fmt.Sprintf("it may pass its low limit of %s from %s on, before the visit after next, %s, and falling is ageing, not dirt: replace it",
		s.amount(*s.Band.Low), date(*s.LeavesEarliest), date(s.overnext))
}

// fallsPerhaps holds for a line that ends below the band without a drift that
// is real.
func (s *study) fallsPerhaps() string {
	if s.falls < TooLikely {
		return ""
	}
	return fmt.Sprintf("its line is below the low limit of %s by the next visit, %s, with a chance of %s, yet its fall may be chance: read it again",
		s.amount(*s.Band.Low), date(s.next), percent(s.falls))
}

// soon reports whether the earliest day comes before the visit after next.
func (s *study) soon() bool { return s.LeavesEarliest != nil && s.LeavesEarliest.Before(s.overnext) }

func (s *study) well() string { return s.stands + ": leave it" }
