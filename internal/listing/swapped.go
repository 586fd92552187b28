package listing

import "fmt"

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
	if day, _ := wholeNumber(cell[8:10]); day <= 12 {
		f.realLow++
	}
}

func isYearFirst(cell string) bool { return len(cell) >= 10 && cell[4] == '-' && cell[7] == '-' }

// exchanged puts the day of a date that is written year first in the place of its month.
func exchanged(cell string) string { return cell[:5] + cell[8:10] + "-" + cell[5:7] + cell[10:] }

// doubtSwapped asks where all real days are up to the 12th and all days written as text beyond it: a program that reads
// the month first has then turned all days that it could.
func (u *Understanding) doubtSwapped(c *Column, f *facts) {
	const enough = 2
	if u.profile.Swapped != "" || f.real < enough || f.text < enough || f.realLow < f.real || f.textHigh < f.text {
		return
	}
	u.askOnce(AskSwapped, fmt.Sprintf("All real days of column %q are up to the 12th of a month, and all that are text beyond it: a program may have exchanged day and month where it could. Are the real days as they stand?", u.columnName(c.Index)),
		Choice{string(DaysStand), "as they stand"}, Choice{string(DaysExchanged), "exchanged: what stands as the 3rd of April is the 4th of March"})
}
