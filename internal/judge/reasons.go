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
		(*study).failed, (*study).unsteady, (*study).stuck, (*study).doubted, (*study).contradicted, (*study).onSheetScale, (*study).within, (*study).happened, (*study).drifting, (*study).borrowed,
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
	return s.readWhere() + s.alsoRead() + s.age()
}

// age says that a reading is older than its term.
func (s *study) age() string {
	if !s.on.After(s.term()) {
		return ""
	}
	return ", longer ago than two visits"
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
	if value, changed := s.onSheet(); changed {
		read += ", which is about " + s.knownLevel(value) + " on the scale of its type sheet"
	}
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

// rough writes an amount that is known no finer than the drift is.
func (s *study) rough(x float64) string {
	width := x
	if s.DriftLow != nil && s.DriftHigh != nil {
		width = *s.DriftHigh - *s.DriftLow
	}
	return withUnit(s.Sheet, roughly(x, width))
}

// roughly writes a figure no finer than a tenth of how widely it is known.
func roughly(x, width float64) string {
	if !(width > 0) {
		return number(x)
	}
	step := math.Pow(10, math.Floor(math.Log10(width))-1)
	return number(math.Round(x/step) * step)
}

// tellable is how many times the noise of a look a level is taken to be known within, for the digits it is told with: no
// finer than the noise. Ours, no source.
const tellable = 10

// knownLevel writes a level that noise hides the last digits of.
func (s *study) knownLevel(y float64) string {
	return withUnit(s.Sheet, roughly(y, tellable*s.noiseSD()))
}

// borrowedWords is the least share from others that is worth words.
const borrowedWords = 0.3

// borrowed says how much of the drift is not of its visits since the reset.
func (s *study) borrowed() string {
	if s.Borrowed == nil || *s.Borrowed < borrowedWords || s.latest() == nil {
		return ""
	}
	what := "what is known of its drift"
	if s.DriftReal == Yes { // that it drifts, its own visits show
		what = "what is known of how fast it drifts now"
	}
	n, here := s.past.others()
	if n == 1 {
		return percent(*s.Borrowed) + " of " + what + " comes from one other of its type, " + [2]string{"elsewhere", "in its area"}[here]
	}
	return percent(*s.Borrowed) + " of " + what + " comes from " + strconv.Itoa(n) + " others of its type; in its own area: " + strconv.Itoa(here)
}

// curved says that the path ahead is not straight.
func (s *study) curved() string {
	if !s.Curved || s.driftKnown() != surely {
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
		return "the chance that its level is outside its band by now is " + percent(*s.ChanceNow) + s.otherwise() + ": no day is given"
	}
	if s.LeavesEarliest == nil {
		return ""
	}
	text := "does not leave its band before " + s.dayAhead(*s.LeavesEarliest)
	switch {
	case s.LeavesEarliest.Before(s.on.AddDate(0, 0, 1)):
		text = "may be outside its band already, with a chance of " + percent(*s.ChanceNow)
	case s.LeavesLikely != nil:
		text = "does not pass its " + string(s.Leaves) + " limit before " + s.dayAhead(*s.LeavesEarliest)
	}
	if s.LeavesLikely == nil {
		return text
	}
	text += "; likely " + s.whenAhead(*s.LeavesLikely)
	if s.LeavesLatest == nil {
		if s.driftKnown() == surely && (*s.DriftPerYear > 0) == (s.Leaves == HighLimit) {
			return text + ", and perhaps never where it slows down"
		}
		return text + ", and perhaps never"
	}
	return text + ", at the latest " + s.whenAhead(*s.LeavesLatest)
}

// mostly is the share of the chance to be inside after all from which its reason is told, and worthDoubt the chance. Ours.
const (
	mostly     = 0.5
	worthDoubt = 0.05
)

// otherwise says by what a level that is likely outside would be inside after all, where one thing is most of that.
func (s *study) otherwise() string {
	inside := 1 - *s.ChanceNow
	switch {
	case inside < worthDoubt:
	case s.odd > mostly*inside:
		return ", else that reading is not what was shown"
	case s.ahead.cleanedSince() > mostly*inside:
		return ", else it was cleaned since and nobody wrote it down, as happens on this site"
	}
	return ""
}

// dayAhead writes a day that is foretold no finer than it can be known.
func (s *study) dayAhead(at time.Time) string { return sootline.DayAhead(at, s.on, s.on.Location()) }

// whenAhead is the same after "likely".
func (s *study) whenAhead(at time.Time) string { return sootline.WhenAhead(at, s.on, s.on.Location()) }

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
	for i, all := len(s.Judgement.Point.Readings)-1, s.Judgement.Point.Readings; i >= 0 && !all[i].At.Before(s.ResetAt); i-- {
		if used, ok := robust.Median(all[i].Samples); all[i].Quantity == sootline.CompensationUsed && ok {
			if used >= wholeShare {
				return "its drift is corrected in the device or panel, and the correction is used up: the value itself moves from now on"
			}
			break
		}
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

// amountOf writes a value with the unit of its type.
func amountOf(sheet *sootline.TypeSheet, x float64) string { return withUnit(sheet, number(x)) }

func withUnit(sheet *sootline.TypeSheet, figure string) string {
	if sheet == nil || sheet.Unit == "" {
		return figure
	}
	return figure + " " + sheet.Unit
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
