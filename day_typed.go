package sootline

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// ParseDate reads a day as people type it, in no zone yet: the year first (2026-01-15, also with points or
// slashes), the month by name (15 Jan 2026), or the year last (15.01.2026, 15/01/2026) where only one order
// of day and month gives a day. One that both orders give is asked about, with the two ways to write it.
func ParseDate(text string) (year int, month time.Month, day int, err error) {
	text = strings.TrimSpace(text)
	days := daysTyped(text)
	switch len(days) {
	case 1:
		year, month, day = days[0].Date()
		return year, month, day, nil
	case 2:
		return 0, 0, 0, Errorf(Invalid, fmt.Sprintf("say which: %s or %s", days[0].Format(time.DateOnly), days[1].Format(time.DateOnly)),
			"%q may be %s or %s", clip(text), days[0].Format("2 January"), days[1].Format("2 January"))
	}
	return 0, 0, 0, Errorf(Invalid, "write year-month-day, for example 2026-01-15", "%q is not a date", clip(text))
}

// daysTyped lists the days that a text can mean: the one with the day before the month goes first.
func daysTyped(text string) (days []time.Time) {
	for _, layout := range []string{"2 Jan 2006", "2 January 2006", "Jan 2, 2006", "January 2, 2006"} {
		if at, err := time.Parse(layout, text); err == nil {
			return []time.Time{at}
		}
	}
	parts, ok := dateParts(text)
	if !ok {
		return nil
	}
	orders := [][3]string{{parts[2], parts[1], parts[0]}, {parts[2], parts[0], parts[1]}}
	if len(parts[0]) == 4 {
		orders = [][3]string{parts}
	}
	for _, o := range orders {
		at, err := time.Parse("2006-1-2", strings.Join(o[:], "-"))
		if err == nil && !slices.ContainsFunc(days, at.Equal) {
			days = append(days, at)
		}
	}
	return days
}

// dateParts cuts a date into its three numbers, which the same sign stands between. A year has four digits
// at one end: one of two is not clear, and with dashes it may stand at either.
func dateParts(text string) (parts [3]string, ok bool) {
	sign := strings.IndexAny(text, "-./")
	if sign < 0 {
		return parts, false
	}
	found := strings.Split(text, text[sign:sign+1])
	if len(found) != len(parts) {
		return parts, false
	}
	for i, part := range found {
		n, err := strconv.ParseUint(part, 10, 16)
		if err != nil || n == 0 || len(part) > 2 && len(part) != 4 {
			return parts, false
		}
		parts[i] = part
	}
	first, last := len(parts[0]) == 4, len(parts[2]) == 4
	return parts, first != last && len(parts[1]) <= 2
}
