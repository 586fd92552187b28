package judge

import (
	"fmt"
	"time"

	"sootline"
)

// rules is the whole table of what to do: first what forbids a conclusion, then what costs least. The first rule that
// holds decides; it gives its reason as a sentence, or nothing when it does not hold.
func rules() [25]rule {
	return [...]rule{
		{Replace, replaceIt, (*study).pastLife},
		{LookAgain, readAgain, (*study).impossible},
		{LookAgain, "write that down, or read it again", (*study).cleanedBetween},
		{LookAgain, readAgain, (*study).contradicted},
		{LookAgain, readAgain, (*study).unsteady},
		{Replace, replaceIt, (*study).dead},
		{LookAgain, "check that it is the device that was read", (*study).stuckInside},
		{LookAgain, "if that was read, name the quantity with the reading", (*study).bandOfAnother},
		{LookAgain, "take in a listing that gives its type", (*study).typeless},
		{LookAgain, "take in its type sheet", (*study).bandless},
		{LookAgain, readAgain, (*study).doubted},
		{Read, readIt, (*study).unread},
		{LookAgain, "say what happened, before it is replaced", (*study).wornAtOnce},
		{Replace, replaceIt, (*study).wornNow},
		{LookAgain, readAgain, (*study).wornPerhaps},
		{Read, "read it before it is cleaned", (*study).dirtyLongAgo},
		{CleanNow, "clean it now", (*study).dirtyNow},
		{LookAgain, "say whether the scale was changed, and take in the new sheet", (*study).outsideOnOtherScale},
		{LookAgain, readAgain, (*study).readOutside},
		{CleanAtVisit, "clean it at this visit", (*study).dirtySoon},
		{Replace, replaceIt, (*study).wornSoon},
		{LookAgain, "test it again", (*study).failed},
		{Read, readIt, (*study).stale},
		{Leave, "leave it, and take in the new sheet", (*study).onNewScale},
		{Leave, "leave it", (*study).well},
	}
}

// What several rules tell people to do.
const (
	readAgain = "read it again"
	readIt    = "read it"
	replaceIt = "replace it"
)

type rule struct {
	action Action
	advice string
	holds  func(*study) string
}

func (s *study) decide() {
	for _, rule := range rules() {
		if reason := rule.holds(s); reason != "" {
			s.Action, s.Advice = rule.action, rule.advice
			s.Reasons = append(s.Reasons, reason)
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
		return fmt.Sprintf("it failed its test on %s, and was not tested since it was mended", date(d.Seen[len(d.Seen)-1].At.In(s.on.Location())))
	}
	return fmt.Sprintf("it failed its test on %s, and has not passed one since", date(d.Seen[len(d.Seen)-1].At.In(s.on.Location())))
}

func (s *study) pastLife() string {
	p := s.Judgement.Point
	if s.Sheet == nil || s.Sheet.LifeYears == nil {
		return ""
	}
	if end, known := p.LifeEnds(*s.Sheet.LifeYears); !known || !s.on.After(end) {
		return ""
	}
	return fmt.Sprintf("fitted on %s, it is past its service life of %s years", date(p.UnitSince), number(*s.Sheet.LifeYears))
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
	return fmt.Sprintf("the reading of %s holds a number that no device gives", date(s.ReadAt))
}

func (s *study) unsteady() string {
	if !s.Unsteady {
		return ""
	}
	return "the value is unsteady: " + s.UnsteadyWhy
}

// likelySo is the chance from which a story is told as what happened: more likely than not.
const likelySo = 0.5

// TooLikely is the chance of being outside by the next visit from which a point counts as leaving its band: a little
// less than even. Ours, and settled while looking at worlds (docs/methods/judging.md, Limits).
const TooLikely = 0.4

// steadyAir is how many times as much a look for nothing counts where steady air feigns the fault: by the defaults it is
// gone to from a chance of 85 % on.
const steadyAir = 17.0 / 3

func (s *study) stuck() string {
	if s.stuckFor <= s.losses.From(steadyAir*s.losses.Look) || len(s.readings) == 0 {
		return ""
	}
	first := &s.looks[s.stuckFrom]
	return fmt.Sprintf("%d visits since %s all gave exactly %s", len(s.looks)-s.stuckFrom, date(first.at), s.amount(first.y))
}

// dead holds where somebody wrote down that the value never moves, and it has not moved since.
func (s *study) dead() string {
	if len(s.readings) == 0 || len(s.looks) == 0 || len(s.looks)-max(s.stuckFrom, s.since()) < 2 {
		return ""
	}
	for _, d := range s.Judgement.Point.Defects {
		if d.Cause == stuckCause && d.State == sootline.DefectOpen && !d.Since.Before(s.looks[s.stuckFrom].at) {
			return fmt.Sprintf("its value never moves, as was written down on %s, and it has not moved since", date(d.Since.In(s.on.Location())))
		}
	}
	return ""
}

// stuckInside leaves a value that is stuck outside its band to the rules below: somebody goes there anyway.
func (s *study) stuckInside() string {
	if s.outside() != NoLimit {
		return ""
	}
	return s.stuck()
}

// bandOfAnother holds where the type sheet has a band of another quantity alone.
func (s *study) bandOfAnother() string {
	if s.Verdict != NoBand || s.quantity != "" || s.Sheet == nil || len(s.Sheet.Bands) > 0 || len(s.Sheet.Others) == 0 {
		return ""
	}
	return fmt.Sprintf("no band is known for the resting value of type %s, and its type sheet has one of its %s", s.Judgement.Point.Type, s.Sheet.Others[0].Name)
}

func (s *study) typeless() string {
	if s.Verdict != NoBand || s.quantity != "" || sootline.TypeKey(s.Judgement.Point.Type) != "" {
		return ""
	}
	return "no band is known, for nobody said which type it is"
}

func (s *study) bandless() string {
	name := s.Judgement.Point.Type
	switch {
	case s.Verdict != NoBand:
		return ""
	case s.quantity != "":
		return fmt.Sprintf("no band is known for the %s of type %s", s.quantity, name)
	case s.Sheet != nil && len(s.Sheet.Bands) > 0 && s.Band == nil:
		return fmt.Sprintf("no band is known for type %s with the settings of this point", name)
	}
	return fmt.Sprintf("no band is known for type %s", name)
}

// contradicted holds where two readings of the last day, with nothing reset between, lie further apart than noise
// puts them: which of them is true, nobody can tell.
func (s *study) contradicted() string {
	last := len(s.looks) - 1
	if s.latest() == nil || last <= s.since() || day(s.looks[last].at) != day(s.looks[last-1].at) {
		return ""
	}
	return fmt.Sprintf("the readings of %s contradict each other, %s and %s", date(s.looks[last].at), number(s.looks[last-1].y), s.amount(s.looks[last].y))
}

// cleanedBetween is the same where a cleaning between them is likely: that is told by who did it, not by the model.
func (s *study) cleanedBetween() string {
	text, events, last := s.contradicted(), s.ahead.events(), len(s.looks)-1
	if text == "" || events[suspected{AskCleaned, last}]+events[suspected{AskHalfCleaned, last}] <= likelySo {
		return ""
	}
	return text + ", unless it was cleaned between them"
}

// doubted holds for a last reading that is likelier not what was shown.
func (s *study) doubted() string {
	if s.latest() == nil { // a cleaning of the day of the last look comes after it in the log
		return ""
	}
	if s.odd <= s.losses.From(s.losses.Look) {
		return s.unexplained()
	}
	last := &s.looks[len(s.looks)-1]
	text := s.farOffLine(s.levelAt(last.t))
	meant, _ := s.meant(len(s.looks)-1, s.oddKind)
	switch s.oddKind {
	case AskTransposed, AskFactorTen:
		text += fmt.Sprintf("; %s may be meant", s.amount(meant))
	case AskNeighbour:
		if meant != last.y {
			text += fmt.Sprintf("; its neighbour shows %s on that day: each may be written for the other", s.amount(meant))
		} else {
			text += "; its neighbour shows the same on that day"
		}
	}
	return text
}

// readOutside holds for a value outside the band that is no reason to act: it is read again where that may well show
// it inside, or where cleaning it at the visit costs more. It is never left alone.
func (s *study) readOutside() string {
	if s.outside() == NoLimit {
		return ""
	}
	wrong := 1 - s.until(worse)
	if wrong <= s.losses.From(s.losses.Look) && s.dirtySoon() != "" {
		return ""
	}
	return fmt.Sprintf("%s, yet by all that was read its level is outside with a chance of %s only", s.stands, percent(s.soonest.now[worse]+s.soonest.now[better]))
}

// outsideOnOtherScale is the same where all of the type went to other values.
func (s *study) outsideOnOtherScale() string {
	r := s.onOtherScale()
	if s.readOutside() == "" || r == nil || r.oneVisit || r.noted {
		return ""
	}
	return fmt.Sprintf("%s, yet all of its type %s by %s", s.stands, r.how(), date(s.instant(r.to)))
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

// until is the chance to be beyond a limit over the time until the next visit: the mean of that at its ends.
func (s *study) until(side int) float64 { return (s.soonest.now[side] + s.soonest.next[side]) / 2 }

func (s *study) dirtyNow() string {
	chance := s.until(worse)
	if s.Quantity == sootline.CompensationUsed { // the value itself only begins to move when this is used up
		return ""
	}
	if dirtSide(s.Sheet) == NoLimit || chance < s.losses.From(s.losses.Trip) {
		return ""
	}
	return s.goesOut(worse) + s.again()
}

// again says that it was cleaned within the last two visits.
func (s *study) again() string {
	reset := s.Judgement.Point.LastReset()
	if reset.Why != "cleaned" || s.on.After(reset.At.AddDate(0, 2*s.register.Site.Rules.VisitMonths, 0)) {
		return ""
	}
	return " although it was cleaned" + dated(" on ", reset.At)
}

// dirtyLongAgo holds for what is to be cleaned by a reading that is older than its term.
func (s *study) dirtyLongAgo() string {
	if s.dirtyNow() == "" && s.dirtySoon() == "" {
		return ""
	}
	return s.stale()
}

func (s *study) dirtySoon() string {
	if dirtSide(s.Sheet) == NoLimit || s.soonest.over[worse] < s.losses.From(s.losses.Clean) {
		return ""
	}
	return s.outSoon(worse)
}

// noTrip says why what is cleaned at a visit is not worth a trip before.
func (s *study) noTrip() string {
	switch {
	case s.Action != CleanAtVisit:
		return ""
	case s.Quantity == sootline.CompensationUsed:
		return s.noTripForShare()
	}
	return fmt.Sprintf("until the next visit it is outside with a chance of %s over that time, and a trip for it alone pays from %s on",
		percent(s.until(worse)), percent(s.losses.From(s.losses.Trip)))
}

// goesOut says that the level is beyond a limit until the next visit.
func (s *study) goesOut(side int) string {
	limit := s.limitOf(side)
	if s.readBeyond(side) {
		return s.stands
	}
	return fmt.Sprintf("over the time until the next visit, %s, its level is %s the %s limit of %s with a chance of %s",
		date(s.next), moving(limit, "above", "below"), limit, s.amount(*s.limit(limit)), percent(s.until(side)))
}

// readBeyond reports whether the last look lies beyond a limit on the scale of which its sheet speaks: on another one
// that it was read there is no reason to act.
func (s *study) readBeyond(side int) bool {
	return s.outside() == s.limitOf(side) && (s.onOtherScale() == nil || s.timesBeyond(side) > 0)
}

// outSoon says that it is so before the visit after next.
func (s *study) outSoon(side int) string {
	limit := s.limitOf(side)
	if s.readBeyond(side) {
		return s.stands
	}
	verb := "it passes its"
	if s.soonest.now[side] >= likelySo {
		verb = "it is likely beyond its"
	}
	return fmt.Sprintf("%s %s limit of %s before the visit after next, %s, with a chance of %s",
		verb, limit, s.amount(*s.limit(limit)), date(s.overnext), percent(s.soonest.over[side]))
}

// moving chooses the word for a value that goes towards a limit.
func moving(limit Limit, up, down string) string {
	if limit == HighLimit {
		return up
	}
	return down
}

// term is how long a reading speaks for a point: two visits, and a month since nobody comes on the day.
func (s *study) term() time.Time {
	return s.ReadAt.AddDate(0, 2*s.register.Site.Rules.VisitMonths+1, 0)
}

// stale holds for a reading that is older than its term: nothing is left on it.
func (s *study) stale() string {
	if s.ReadAt.IsZero() || s.age() == "" {
		return ""
	}
	return s.stands
}

func (s *study) well() string { return s.stands }
