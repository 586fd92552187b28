package sootline

import (
	"fmt"
	"strconv"
	"time"
)

// DayAhead writes a day that is foretold no finer than it can be known on another day: a day within two months, a
// month within eight, a season within two years, else about which year. Seasons are those of the weather, which turn with the half of the
// earth; where the clocks of a zone do not tell which half it is, for they never change, it is early, in the middle
// or late in the year. An estimate of ours, no source.
func DayAhead(at, on time.Time, zone *time.Location) string {
	at = at.In(zone)
	switch {
	case inPartOfYear(at, on):
		return partOfYear(at)
	case at.Before(on.AddDate(0, 2, 0)):
		return at.Format(time.DateOnly)
	case at.Before(on.AddDate(0, 8, 0)):
		return at.Format("2006-01")
	}
	return "about " + strconv.Itoa(at.Year())
}

// inPartOfYear reports whether a day is known to a part of a year.
func inPartOfYear(at, on time.Time) bool {
	return !at.Before(on.AddDate(0, 8, 0)) && at.Before(on.AddDate(2, 0, 0))
}

// WhenAhead is [DayAhead] as it stands in a sentence: in spring 2027.
func WhenAhead(at, on time.Time, zone *time.Location) string {
	text := DayAhead(at, on, zone)
	if inPartOfYear(at, on) {
		return "in " + text
	}
	return text
}

// partOfYear names the season of a day, or the third of the year where no season is known.
func partOfYear(at time.Time) string {
	summer := summerStarts(at)
	if summer == 0 {
		return [...]string{"early ", "mid-", "late "}[(at.Month()-1)/4] + strconv.Itoa(at.Year())
	}
	names := [...]string{"summer", "autumn", "winter", "spring"}
	name := names[(at.Month()-summer+12)%12/3]
	switch {
	case at.Month() == time.December:
		return fmt.Sprintf("%s %d/%02d", name, at.Year(), (at.Year()+1)%100)
	case at.Month() < time.March:
		return fmt.Sprintf("%s %d/%02d", name, at.Year()-1, at.Year()%100)
	}
	return fmt.Sprintf("%s %d", name, at.Year())
}

// summerStarts is the month in which summer begins, by the half of the year in which clocks are put forward; 0 where
// they are never changed.
func summerStarts(at time.Time) time.Month {
	offset := func(month time.Month) int {
		_, seconds := time.Date(at.Year(), month, 15, 12, 0, 0, 0, at.Location()).Zone()
		return seconds
	}
	switch january, july := offset(time.January), offset(time.July); {
	case july > january:
		return time.June
	case july < january:
		return time.December
	}
	return 0
}
