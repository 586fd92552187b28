package listing

import (
	"fmt"
)

// SwappedDays is what a person said of days of which a program may have exchanged day and month.
type SwappedDays string

// What a person may say.
const (
	DaysStand     SwappedDays = "as they stand"
	DaysExchanged SwappedDays = "exchanged"
)

// realDay notes a day of the workbook, or one written year first.
func (f *facts) realDay(cell string) {
	if !isYearFirst(cell) {
		return
	}
	f.real++
	day, _ := wholeNumber(cell[8:10])
	if day <= 12 {
		f.realLow++
	}
	month, _ := wholeNumber(cell[5:7])
	if month < len(f.months) {
		f.months[month] = true
	}
	if f.real > 1 && f.sameDay != day {
		day = -1
	}
	f.sameDay = day
}

func isYearFirst(cell string) bool { return len(cell) >= 10 && cell[4] == '-' && cell[7] == '-' }

// exchanged puts the day of a date that is written year first in the place of its month.
func exchanged(cell string) string { return cell[:5] + cell[8:10] + "-" + cell[5:7] + cell[10:] }

// doubtSwapped asks where all real days are up to the 12th and all days written as text beyond it: a program that reads
// the month first has then turned all days that it could.
func (u *Understanding) doubtSwapped(c *Column, f *facts) {
	if u.doubtOneDay(c, f) {
		return
	}
	const enough = 2
	if u.profile.Swapped != "" || f.real < enough || f.text < enough || f.realLow < f.real || f.textHigh < f.text {
		return
	}
	u.askOnce(AskSwapped, fmt.Sprintf("All real days of column %q are up to the 12th of a month, and all that are text beyond it: a program may have exchanged day and month where it could. Are the real days as they stand?", u.columnName(c.Index)),
		Choice{string(DaysStand), "as they stand"}, Choice{string(DaysExchanged), "exchanged: what stands as the 3rd of April is the 4th of March"})
}

// doubtOneDay asks where all days are the same day of several months, as if they were several days of one month. Visits
// come on other days each time, and what is read or tested together in few months.
func (u *Understanding) doubtOneDay(c *Column, f *facts) bool {
	const enough, fewMonths = 4, 3
	months := 0
	for m := range f.months {
		if f.months[m] {
			months++
		}
	}
	if u.profile.Swapped != "" || f.real < enough || f.text > 0 || f.sameDay < 1 || f.sameDay > 12 || months < fewMonths {
		return false
	}
	u.askOnce(AskSwapped, fmt.Sprintf("All days of column %q are the %d. of a month, of %d months: a program may have exchanged day and month. Are they as they stand?", u.columnName(c.Index), f.sameDay, months),
		Choice{string(DaysStand), "as they stand"}, Choice{string(DaysExchanged), "exchanged: what stands as the 3rd of April is the 4th of March"})
	return true
}
