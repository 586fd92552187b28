package judge

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"sootline"
)

// explain adds to the deciding reason what else a technician would want to
// know, and lists the entries that all of it rests on.
func (s *study) explain() {
	if s.stands != "" && !strings.HasPrefix(s.Reasons[0], s.stands) {
		s.Reasons = append(s.Reasons, s.stands)
	}
	for _, note := range [...]func(*study) string{
		(*study).unsteady, (*study).odd, (*study).stuck, (*study).within, (*study).stepped, (*study).drifting, (*study).borrowed,
		(*study).curved, (*study).seasonal, (*study).leaving, (*study).toAlarm,
		(*study).oneSided, (*study).compensated, (*study).compensationLeft,
	} {
		if text := note(s); text != "" && text != s.Reasons[0] {
			s.Reasons = append(s.Reasons, text)
		}
	}
	if s.since = s.readings; s.latest() == nil {
		s.Judgement.latest = s.lastBefore()
	}
}

// standing says what was read and where that lies.
func (s *study) standing() string {
	if s.Verdict == NoReading {
		return ""
	}
	read := "read " + s.amount(s.Value) + " on " + date(s.ReadAt)
	low, high := s.limit(LowLimit), s.limit(HighLimit)
	switch {
	case s.Verdict == NoBand:
		return read
	case low == nil:
		return read + not(s.Verdict == Above) + "above its high limit of " + s.amount(*high)
	case high == nil:
		return read + not(s.Verdict == Below) + "below its low limit of " + s.amount(*low)
	}
	return read + ", " + string(s.Verdict) + " its band of " + number(*low) + " to " + s.amount(*high)
}

func not(so bool) string {
	if so {
		return ", "
	}
	return ", not "
}

// drifting says how the value drifts, or why that cannot be told.
func (s *study) drifting() string {
	if len(s.y) == 0 {
		return ""
	}
	over := visits(len(s.y))
	if len(s.y) > 1 {
		over += " over " + strconv.FormatFloat(s.span(), 'f', 1, 64) + " years"
	}
	if s.DriftPerYear == nil {
		return "too few readings to tell a drift: " + over + s.noHelp()
	}
	verb := "rises"
	if *s.DriftPerYear < 0 {
		verb = "falls"
	}
	text := verb + " by " + s.amount(math.Abs(*s.DriftPerYear)) + " a year"
	if s.DriftLow != nil && s.DriftHigh != nil {
		text += " (90 %: " + number(*s.DriftLow) + " to " + number(*s.DriftHigh) + ")"
	}
	switch s.DriftReal {
	case Yes:
		return text + ", more than chance: " + over
	case TooFew:
		return text + ", taken mostly from elsewhere: " + over
	}
	return text + ", which may be chance: " + over
}

// noHelp says why others could not help out.
func (s *study) noHelp() string {
	if kin := s.outlook.Kin.Total(); len(s.y) > 1 && kin < leastKin {
		return ", and " + strconv.Itoa(kin) + " others of its type to learn from"
	}
	return ""
}

// stepped says that the visits before a step do not count.
func (s *study) stepped() string {
	if s.visited.step == nil {
		return ""
	}
	return "its level changed at once between " + date(s.visited.step.from) + " and " + date(s.visited.step.to) +
		", and nobody wrote down why: only the visits since then tell its drift"
}

// borrowed says how much of the drift is not of its visits since the reset.
func (s *study) borrowed() string {
	if s.Borrowed == nil {
		return ""
	}
	var from []string
	if n := s.outlook.Earlier; n > 0 {
		from = append(from, "how it drifted before")
	}
	if kin := s.outlook.Kin; kin.Total() > 0 {
		from = append(from, strconv.Itoa(kin.Total())+" others of its type, "+strconv.Itoa(kin.SameArea)+" of them in its area")
	}
	return percent(*s.Borrowed) + " of what is known of its drift comes from " + strings.Join(from, " and from ")
}

// curved says that the path ahead is not straight.
func (s *study) curved() string {
	if !s.Curved {
		return ""
	}
	return "its drift speeds up: it is taken to go on speeding up, and the figure is that of its last visit"
}

// seasonal says how far the season moves the value.
func (s *study) seasonal() string {
	if !s.spoken || s.outlook.Season == (Season{}) {
		return ""
	}
	return "its type swings with the year in this area, by " + s.amount(s.outlook.Season.Swing()) + " to either side, which the figures allow for"
}

// leaving says when the line leaves the band, or why no day is given.
func (s *study) leaving() string {
	limit := string(s.Leaves)
	switch {
	case s.Leaves == NoLimit:
		return ""
	case s.beyond:
		return "its line is outside the " + limit + " limit already: no day is given"
	case s.away:
		return "its line moves away from the " + limit + " limit: no day is given"
	case s.LeavesEarliest == nil && s.capped.IsZero():
		return ""
	case s.LeavesEarliest == nil:
		return "no sign of leaving its band before " + date(s.capped) + "; the readings do not reach beyond"
	}
	text := "does not pass its " + limit + " limit before " + date(*s.LeavesEarliest)
	switch {
	case s.LeavesLikely == nil && s.LeavesLatest == nil && s.capped.IsZero():
		return text + "; a later day cannot be told yet"
	case s.LeavesLikely == nil && s.LeavesLatest == nil:
		return text + "; likely beyond " + date(s.capped)
	case s.LeavesLatest == nil:
		return text + "; likely on " + date(*s.LeavesLikely) + ", at the latest beyond " + date(s.capped)
	}
	return text + "; likely on " + date(*s.LeavesLikely) + ", at the latest on " + date(*s.LeavesLatest)
}

func (s *study) oneSided() string {
	high, low := s.limit(HighLimit), s.limit(LowLimit)
	if (high == nil) == (low == nil) {
		return ""
	}
	known := HighLimit
	if high == nil {
		known = LowLimit
	}
	return fmt.Sprintf("only the %s limit of its band is known: the other side is not judged", known)
}

func (s *study) compensated() string {
	if s.Sheet == nil || !s.Sheet.Compensated || s.latest() == nil {
		return ""
	}
	return "its drift is corrected in the device or panel: the value may stay flat until the correction is used up"
}

// lastBefore is the last reading from before the last reset, or nil.
func (s *study) lastBefore() *sootline.Reading {
	all := s.Judgement.Point.Readings
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Quantity == "" && all[i].At.Before(s.ResetAt) {
			return &all[i]
		}
	}
	return nil
}

// outBy is how far the value lies outside the band, 0 inside.
func (s *study) outBy() float64 {
	switch s.Verdict {
	case Above:
		return s.Value - *s.Band.High
	case Below:
		return *s.Band.Low - s.Value
	}
	return 0
}

// amount writes a value with the unit of its type.
func (s *study) amount(x float64) string {
	if s.Sheet == nil || s.Sheet.Unit == "" {
		return number(x)
	}
	return number(x) + " " + s.Sheet.Unit
}

// number writes a figure to four digits, without needless zeros.
func number(x float64) string {
	size := math.Abs(x)
	if x == math.Trunc(x) && size < 1e6 {
		return strconv.Itoa(int(x)) // as most are
	}
	if size < 1e-3 || size >= 1e6 {
		return strconv.FormatFloat(x, 'g', 4, 64)
	}
	decimals := 3
	for limit := 10.0; size >= limit && decimals > 0; limit *= 10 {
		decimals--
	}
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if decimals > 0 {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// percent writes a chance; no fit makes it certain.
func percent(p float64) string {
	return strconv.Itoa(int(min(99, max(1, math.Round(100*p))))) + " %"
}

func visits(n int) string {
	if n == 1 {
		return "1 visit"
	}
	return strconv.Itoa(n) + " visits"
}

// dated writes a day after some words, or nothing when nobody knows the day.
func dated(words string, t time.Time) string {
	if !t.After(sootline.LongAgo) {
		return ""
	}
	return words + date(t)
}
