package judge

import (
	"fmt"

	"sootline"
)

// TooLikely is the chance of having left the band by the next visit from which a
// point is not left alone until then. A detector outside its band unseen is worse
// than two cleaned too early: a judgement of ours, whose cost docs/methods/score.md
// shows.
const TooLikely = 0.3

// rules is the whole table of what to do. The first rule that holds decides; it
// gives its reason as a sentence, or nothing when it does not hold.
func rules() [18]rule {
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
		{Replace, (*study).worn},
		{CleanNow, (*study).dirty},
		{CleanNow, (*study).dirtyByVisit},
		{Replace, (*study).wornByVisit},
		{CleanAtVisit, (*study).dirtySoon},
		{Replace, (*study).wornSoon},
		{LookAgain, (*study).wornPerhaps},
		{LookAgain, (*study).failed},
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
			if failed := s.failed(); failed != "" && failed != reason {
				s.Reasons = append(s.Reasons, failed)
			}
			return
		}
	}
}

// failed: a device that did not act when it was tested is not left alone, however
// well it rests.
func (s *study) failed() string {
	d := s.Judgement.Point.FailedTest()
	switch {
	case d == nil:
		return ""
	case d.MendedBy != nil:
		return fmt.Sprintf("it failed its test on %s, and was not tested since it was mended: test it again", date(d.Seen[len(d.Seen)-1].At.In(s.on.Location())))
	}
	return fmt.Sprintf("it failed its test on %s, and has not passed one since: test it again", date(d.Seen[len(d.Seen)-1].At.In(s.on.Location())))
}

func (s *study) pastLife() string {
	p := s.Judgement.Point
	if s.Sheet == nil || s.Sheet.LifeYears == nil {
		return ""
	}
	if end, known := p.LifeEnds(*s.Sheet.LifeYears); !known || !s.on.After(end) {
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
	case s.quantity != "":
		return fmt.Sprintf("no band is known for the %s of type %s: take in its type sheet", s.quantity, name)
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

// outside is the limit beyond which the value lies.
func (s *study) outside() Limit {
	switch s.Verdict {
	case Above:
		return HighLimit
	case Below:
		return LowLimit
	}
	return NoLimit
}

// dirtyAgain holds for a value that dirt has moved out of the band within two
// visits of a cleaning.
func (s *study) dirtyAgain() string {
	reset := s.Judgement.Point.LastReset()
	soon := reset.At.AddDate(0, 2*s.register.Site.Rules.VisitMonths, 0)
	if s.outside() == NoLimit || s.outside() != dirtSide(s.Sheet) || reset.Why != "cleaned" || s.ReadAt.After(soon) {
		return ""
	}
	return fmt.Sprintf("%s although it was cleaned on %s: replace it", s.stands, date(reset.At))
}

func (s *study) worn() string {
	if s.outside() == NoLimit || s.outside() == dirtSide(s.Sheet) {
		return ""
	}
	return s.stands + ": " + noDirt(s.outside()) + ", so replace it"
}

func (s *study) dirty() string {
	if s.outside() == NoLimit || s.outside() != dirtSide(s.Sheet) {
		return ""
	}
	return s.stands + ": clean it now"
}

func (s *study) dirtyByVisit() string {
	dirt := dirtSide(s.Sheet)
	if dirt == NoLimit || s.chanceBeyond(dirt) < TooLikely {
		return ""
	}
	return s.outByVisit(dirt) + ": clean it now"
}

// wornByVisit asks for a drift that is real, since a device is not thrown away on
// what may be noise.
func (s *study) wornByVisit() string {
	for _, limit := range s.wearSides() {
		if s.chanceBeyond(limit) >= TooLikely && s.DriftReal == Yes {
			return s.outByVisit(limit) + ", and " + noDirt(limit) + ": replace it"
		}
	}
	return ""
}

func (s *study) dirtySoon() string {
	if s.Leaves == NoLimit || s.Leaves != dirtSide(s.Sheet) || !s.soon() {
		return ""
	}
	return s.outSoon() + ": clean it at this visit"
}

// wornSoon asks for a drift that is real, as wornByVisit does.
func (s *study) wornSoon() string {
	if s.Leaves == NoLimit || s.Leaves == dirtSide(s.Sheet) || !s.soon() || s.DriftReal != Yes {
		return ""
	}
	return s.outSoon() + ", and " + noDirt(s.Leaves) + ": replace it"
}

// wornPerhaps holds for a line that ends outside the band without a drift that
// is real.
func (s *study) wornPerhaps() string {
	for _, limit := range s.wearSides() {
		if s.chanceBeyond(limit) >= TooLikely {
			return s.outByVisit(limit) + ", yet its " + moving(limit, "rise", "fall") + " may be chance: read it again"
		}
	}
	return ""
}

// wearSides are the limits that dirt does not drive the value beyond.
func (s *study) wearSides() []Limit {
	switch dirtSide(s.Sheet) {
	case HighLimit:
		return []Limit{LowLimit}
	case LowLimit:
		return []Limit{HighLimit}
	}
	return []Limit{LowLimit, HighLimit}
}

// chanceBeyond is the chance that the line is beyond a limit by the next visit.
func (s *study) chanceBeyond(limit Limit) float64 {
	if limit == HighLimit {
		return s.rises
	}
	return s.falls
}

func (s *study) outByVisit(limit Limit) string {
	return fmt.Sprintf("its line is %s the %s limit of %s by the next visit, %s, with a chance of %s",
		moving(limit, "above", "below"), limit, s.amount(*s.limit(limit)), date(s.next), percent(s.chanceBeyond(limit)))
}

func (s *study) outSoon() string {
	return fmt.Sprintf("it may pass its %s limit of %s from %s on, before the visit after next, %s",
		s.Leaves, s.amount(*s.limit(s.Leaves)), date(*s.LeavesEarliest), date(s.overnext))
}

// noDirt says why cleaning does not help beyond a limit.
func noDirt(limit Limit) string { return moving(limit, "rising", "falling") + " is ageing, not dirt" }

// moving chooses the word for a value that goes towards a limit.
func moving(limit Limit, up, down string) string {
	if limit == HighLimit {
		return up
	}
	return down
}

// soon reports whether the earliest day comes before the visit after next.
func (s *study) soon() bool { return s.LeavesEarliest != nil && s.LeavesEarliest.Before(s.overnext) }

func (s *study) well() string { return s.stands + leaveIt }

const leaveIt = ": leave it"
