package judge

import (
	"fmt"
	"time"

	"sootline"
)

// rules is the whole table of what to do: first what forbids a conclusion, then what costs least. The first rule that
// holds decides; it gives its reason as a sentence, or nothing when it does not hold.
func rules() [18]rule {
	return [...]rule{
		{Replace, (*study).pastLife},
		{LookAgain, (*study).impossible},
		{LookAgain, (*study).contradicted},
		{LookAgain, (*study).unsteady},
		{Replace, (*study).dead},
		{LookAgain, (*study).stuckInside},
		{LookAgain, (*study).bandless},
		{LookAgain, (*study).doubted},
		{Read, (*study).unread},
		{Replace, (*study).wornNow},
		{LookAgain, (*study).wornPerhaps},
		{CleanNow, (*study).dirtyNow},
		{LookAgain, (*study).readOutside},
		{CleanAtVisit, (*study).dirtySoon},
		{Replace, (*study).wornSoon},
		{LookAgain, (*study).failed},
		{Read, (*study).stale},
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

// likelySo is the chance from which a story is told as what happened: more likely than not.
const likelySo = 0.5

// TooLikely is the chance of being outside by the next visit from which a point counts as leaving its band: a little
// less than even. Ours, and settled while looking at worlds (docs/methods/judging.md, Limits).
const TooLikely = 0.4

// plausible is that of a fault that steady air feigns.
const plausible = 0.85

func (s *study) stuck() string {
	if s.stuckFor <= plausible || len(s.readings) == 0 {
		return ""
	}
	first := &s.looks[s.stuckFrom]
	return fmt.Sprintf("%d visits since %s all gave exactly %s: check that it is the device that was read", len(s.looks)-s.stuckFrom, date(first.at), s.amount(first.y))
}

// dead holds where somebody wrote down that the value never moves, and it has not moved since.
func (s *study) dead() string {
	if len(s.readings) == 0 || len(s.looks) == 0 || len(s.looks)-max(s.stuckFrom, s.since()) < 2 {
		return ""
	}
	for _, d := range s.Judgement.Point.Defects {
		if d.Cause == stuckCause && d.State == sootline.DefectOpen && !d.Since.Before(s.looks[s.stuckFrom].at) {
			return fmt.Sprintf("its value never moves, as was written down on %s, and it has not moved since%s", date(d.Since.In(s.on.Location())), replaceIt)
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
	if s.Sheet != nil && len(s.Sheet.Others) > 0 {
		return fmt.Sprintf("no band is known for the resting value of type %s, and its type sheet has one of its %s: if that was read, name the quantity with the reading",
			name, s.Sheet.Others[0].Name)
	}
	return fmt.Sprintf("no band is known for type %s: take in its type sheet", name)
}

// contradicted holds where two readings of the last day, with nothing reset between, lie further apart than noise
// puts them: which of them is true, nobody can tell. A cleaning between them is told by who did it, not by the model.
func (s *study) contradicted() string {
	last := len(s.looks) - 1
	if s.latest() == nil || last < 1 || last == s.since() || last < s.since() || day(s.looks[last].at) != day(s.looks[last-1].at) {
		return ""
	}
	a, b := s.looks[last-1].y, s.looks[last].y
	text := fmt.Sprintf("the readings of %s contradict each other, %s and %s", date(s.looks[last].at), number(a), s.amount(b))
	events := s.ahead.events()
	if events[suspected{AskCleaned, last}]+events[suspected{AskHalfCleaned, last}] > likelySo {
		return text + ", unless it was cleaned between them: write that down, or read it again"
	}
	return text + ": read it again"
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
	switch s.oddKind {
	case AskTransposed, AskFactorTen:
		text += fmt.Sprintf("; %s may be meant", s.amount(s.meant(len(s.looks)-1, s.oddKind)))
	case AskNeighbour:
		if meant := s.meant(len(s.looks)-1, s.oddKind); meant != last.y {
			text += fmt.Sprintf("; its neighbour shows %s on that day: each may be written for the other", s.amount(meant))
		} else {
			text += "; its neighbour shows the same on that day"
		}
	}
	return text + ": read it again"
}

// readOutside holds for a value outside the band that is no reason to act: it is read again where that may well show
// it inside, or where cleaning it at the visit costs more. It is never left alone.
func (s *study) readOutside() string {
	if s.outside() == NoLimit {
		return ""
	}
	wrong := 1 - until(s.soonest.now[worse], s.soonest.next[worse])
	if wrong <= s.losses.From(s.losses.Look) && s.dirtySoon() != "" {
		return ""
	}
	if r := s.onOtherScale(); r != nil {
		return fmt.Sprintf("%s, yet all of its type went to about %s what they showed by %s: say whether the scale was changed, and take in the new sheet",
			s.stands, r.how(), date(s.instant(r.to)))
	}
	return fmt.Sprintf("%s, yet by all that was read its level is outside with a chance of %s only: read it again", s.stands, percent(s.soonest.now[worse]+s.soonest.now[better]))
}

// onOtherScale is the change of scale after which the last look was taken, where the type sheet speaks of the scale
// before; nil where there was none.
func (s *study) onOtherScale() *rescaled {
	for i := range s.kin.rescaled {
		if r := &s.kin.rescaled[i]; !r.sheetNew && len(s.looks) > 0 && s.looks[len(s.looks)-1].t >= r.to {
			return r
		}
	}
	return nil
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

// until is the chance to be beyond a limit over the time between two visits: the mean of that at its ends.
func until(from, to float64) float64 { return (from + to) / 2 }

func (s *study) dirtyNow() string {
	chance := until(s.soonest.now[worse], s.soonest.next[worse])
	if s.Quantity == sootline.CompensationUsed { // the value itself only begins to move when this is used up
		return ""
	}
	if dirtSide(s.Sheet) == NoLimit || chance < s.losses.From(s.losses.Trip) {
		return ""
	}
	return s.goesOut(worse) + s.again() + cleanIt
}

// again says that it was cleaned within the last two visits.
func (s *study) again() string {
	reset := s.Judgement.Point.LastReset()
	if reset.Why != "cleaned" || s.on.After(reset.At.AddDate(0, 2*s.register.Site.Rules.VisitMonths, 0)) {
		return ""
	}
	return " although it was cleaned" + dated(" on ", reset.At)
}

func (s *study) dirtySoon() string {
	if dirtSide(s.Sheet) == NoLimit || s.soonest.over[worse] < s.losses.From(s.losses.Clean) {
		return ""
	}
	return s.outSoon(worse) + cleanAtVisit
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
		percent(until(s.soonest.now[worse], s.soonest.next[worse])), percent(s.losses.From(s.losses.Trip)))
}

// goesOut says that the level is beyond a limit, or will be by the next visit.
func (s *study) goesOut(side int) string {
	limit := s.limitOf(side)
	over := moving(limit, "above", "below")
	switch {
	case s.outside() == limit:
		return s.stands
	case s.soonest.now[side] >= likelySo:
		return fmt.Sprintf("its level is likely %s the %s limit of %s by now, with a chance of %s", over, limit, s.amount(*s.limit(limit)), percent(s.soonest.now[side]))
	}
	return fmt.Sprintf("its level is %s the %s limit of %s by the next visit, %s, with a chance of %s", over, limit, s.amount(*s.limit(limit)), date(s.next), percent(s.soonest.next[side]))
}

func (s *study) outSoon(side int) string {
	limit := s.limitOf(side)
	if s.outside() == limit || s.soonest.now[side] >= likelySo {
		return s.goesOut(side)
	}
	return fmt.Sprintf("it passes its %s limit of %s before the visit after next, %s, with a chance of %s",
		limit, s.amount(*s.limit(limit)), date(s.overnext), percent(s.soonest.over[side]))
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
	if s.ReadAt.IsZero() || !s.on.After(s.term()) {
		return ""
	}
	return fmt.Sprintf("%s, longer ago than two visits: read it", s.stands)
}

func (s *study) well() string { return s.stands + leaveIt }
