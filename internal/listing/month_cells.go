package listing

import (
	"fmt"
	"strconv"
)

// month notes a cell that names a month and no day, "Mar-23".
func (f *facts) month(cell string) {
	if _, _, ok := splitMonth(cell); ok && f.monthExample == "" {
		f.monthExample = cell
	}
}

// doubtMonths asks for the day that stands for months in a column of days. The other rows can be taken.
func (u *Understanding) doubtMonths(c *Column, f *facts) {
	year, month, ok := splitMonth(f.monthExample)
	if !ok || u.profile.DayOfMonth != "" {
		return
	}
	says := func(day int) string { return Civil{Year: year, Month: month, Day: day}.text() }
	const middle = 15
	n := len(u.Questions)
	u.askOnce(AskMonthDay, fmt.Sprintf("Column %q holds months and no day, such as %s. Which day of the month stands for them?", u.columnName(c.Index), f.monthExample),
		Choice{strconv.Itoa(middle), fmt.Sprintf("the %dth: %s is kept on %s, with a note that it was within that month", middle, f.monthExample, says(middle))},
		Choice{"1", fmt.Sprintf("the first: %s is kept on %s, with that note", f.monthExample, says(1))})
	if len(u.Questions) > n {
		u.Questions[n].Aside = true
	}
}

// dayOfMonth gives the day that stands for a month, where somebody said which.
func (r *rowReader) dayOfMonth(cell string) (Civil, bool) {
	year, month, ok := splitMonth(cell)
	day, err := strconv.Atoi(r.u.profile.DayOfMonth)
	if !ok || err != nil {
		return Civil{}, false
	}
	c, err := newCivil(year, month, min(day, daysIn(year, month)))
	return c, err == nil
}
