package judge

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// explain adds to the deciding reason what else a technician would want to
// know, and lists the entries that all of it rests on.
func (s *study) explain() {
	if s.stands != "" && !strings.HasPrefix(s.Reasons[0], s.stands) {
		s.Reasons = append(s.Reasons, s.stands)
	}
	for _, note := range [...]func(*study) string{
		(*study).unsteady, (*study).stuck, (*study).doubted, (*study).contradicted, (*study).within, (*study).happened, (*study).drifting, (*study).borrowed,
		(*study).curved, (*study).leaving, (*study).noTrip, (*study).toAlarm,
		(*study).oneSided, (*study).compensated, (*study).compensationLeft,
	} {
		if text := note(s); text != "" && text != s.Reasons[0] {
			s.Reasons = append(s.Reasons, text)
		}
	}
	if s.used = s.readings; s.latest() == nil {
		s.Judgement.latest = s.lastBefore()
	}
}

// standing says what was read and where that lies.
func (s *study) standing() string {
	if s.Verdict == NoReading {
		return ""
	}
	return s.readWhere() + s.alsoRead()
}

// alsoRead lists what else was read on the day of the latest reading since the last reset.
func (s *study) alsoRead() string {
	var also []string
	for i := range s.readings {
		y, ok := robust.Median(s.readings[i].Samples)
		if ok && y != s.Value && day(s.readings[i].At) == day(s.ReadAt) {
			also = append(also, number(y))
		}
	}
	if len(also) == 0 {
		return ""
	}
	return " (also read on that day: " + strings.Join(also, ", ") + ")"
}

func (s *study) readWhere() string {
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

// drifting says how the level drifts, and by what that is known.
func (s *study) drifting() string {
	n := len(s.looks) - s.since()
	if n == 0 || s.DriftPerYear == nil {
		return ""
	}
	over := visits(n)
	if n > 1 {
		over += " over " + strconv.FormatFloat(s.looks[len(s.looks)-1].t-s.looks[s.since()].t, 'f', 1, 64) + " years"
	}
	verb := "rises"
	if *s.DriftPerYear < 0 {
		verb = "falls"
	}
	text := verb + " by " + s.rough(math.Abs(*s.DriftPerYear)) + " a year"
	if s.DriftLow != nil && s.DriftHigh != nil {
		if s.DriftReal != Yes && *s.DriftLow < 0 && *s.DriftHigh > 0 && math.Abs(*s.DriftPerYear) < *s.DriftHigh-*s.DriftLow {
			text = "hardly drifts"
		}
		text += " (90 %: " + roughly(*s.DriftLow, *s.DriftHigh-*s.DriftLow) + " to " + roughly(*s.DriftHigh, *s.DriftHigh-*s.DriftLow) + ")"
	}
	switch s.DriftReal {
	case Yes:
		return text + ", more than chance: " + over
	case TooFew:
		return text + ", too few visits of its own to show it: " + over
	}
	return text + ", which may be chance: " + over
}

// rough writes an amount that is known no finer than the drift is.
func (s *study) rough(x float64) string {
	width := x
	if s.DriftLow != nil && s.DriftHigh != nil {
		width = *s.DriftHigh - *s.DriftLow
	}
	text := roughly(x, width)
	if s.Sheet == nil || s.Sheet.Unit == "" {
		return text
	}
	return text + " " + s.Sheet.Unit
}

// roughly writes a figure no finer than a tenth of how widely it is known.
func roughly(x, width float64) string {
	if !(width > 0) {
		return number(x)
	}
	step := math.Pow(10, math.Floor(math.Log10(width))-1)
	return number(math.Round(x/step) * step)
}

// happened says what likely happened since the last reset that nobody wrote down.
func (s *study) happened() string {
	at := s.happenedAt()
	if at == 0 {
		return ""
	}
	return "its level changed at once between " + date(s.looks[at-1].at) + " and " + date(s.looks[at].at) +
		", and nobody wrote down why: the visits since then tell its level"
}

// happenedAt is the look by which something likely happened that nobody wrote down, 0 where nothing did.
func (s *study) happenedAt() int {
	best, chance := suspected{}, likelySo
	for e, p := range s.ahead.events() {
		if (p > chance || p == chance && e.look > best.look) && p > likelySo && !s.first(e.look) && e.look > s.since() && (e.kind == AskCleaned || e.kind == AskHalfCleaned || e.kind == AskOtherDevice || e.kind == AskWorks) {
			best, chance = e, p
		}
	}
	return best.look
}

// borrowedWords is the least share from others that is worth words.
const borrowedWords = 0.3

// borrowed says how much of the drift is not of its visits since the reset.
func (s *study) borrowed() string {
	if s.Borrowed == nil || *s.Borrowed < borrowedWords || s.latest() == nil {
		return ""
	}
	n, here := s.past.others()
	return percent(*s.Borrowed) + " of what is known of its drift comes from " + strconv.Itoa(n) + " others of its type, " + strconv.Itoa(here) + " of them in its area"
}

// curved says that the path ahead is not straight.
func (s *study) curved() string {
	if !s.Curved {
		return ""
	}
	return "its drift speeds up: it is taken to go on speeding up, and the figure is that of now"
}

// leaving says when the level leaves the band, or why no day is given.
func (s *study) leaving() string {
	if s.ChanceNow == nil {
		return ""
	}
	if s.beyond {
		return "its level is outside already, with a chance of " + percent(*s.ChanceNow) + ": no day is given"
	}
	if s.LeavesEarliest == nil {
		return ""
	}
	if s.LeavesLikely == nil {
		return "does not leave its band before " + s.season(*s.LeavesEarliest)
	}
	text := "does not pass its " + string(s.Leaves) + " limit before " + s.season(*s.LeavesEarliest) + "; likely " + s.season(*s.LeavesLikely)
	if s.LeavesLatest == nil {
		return text + ", and perhaps never"
	}
	return text + ", at the latest " + s.season(*s.LeavesLatest)
}

// season writes a day no finer than it can be known: the nearer, the finer.
func (s *study) season(at time.Time) string {
	at = at.In(s.on.Location())
	switch months := at.Sub(s.on).Hours() / 24 / 30.44; {
	case months < 2:
		return date(at)
	case months < 24:
		return at.Format("2006-01")
	}
	return "about " + strconv.Itoa(at.Year())
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

// amount writes a value with the unit of its type.
func (s *study) amount(x float64) string {
	if s.Sheet == nil || s.Sheet.Unit == "" {
		return number(x)
	}
	return number(x) + " " + s.Sheet.Unit
}

// amountOf writes a value with the unit of its type.
func amountOf(sheet *sootline.TypeSheet, x float64) string {
	if sheet == nil || sheet.Unit == "" {
		return number(x)
	}
	return number(x) + " " + sheet.Unit
}

// date writes the day of an instant, in the zone that the register gives its times
// in.
func date(t time.Time) string {
	var text [len(time.DateOnly)]byte
	return string(t.AppendFormat(text[:0], time.DateOnly))
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
