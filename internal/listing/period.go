package listing

import (
	"errors"
	"strings"
	"time"
	"unicode"
)

// period is a heading that names a year or a part of one, and no day.
type period struct {
	year, month, months int // months from the first of month; a year of 0 was not written
	week                int // of the year by ISO 8601, whose days count on from Monday; 0: it is none
}

// periodWords name parts of a year. What means different parts in different languages (S1, Sem. 1, kw 1) is none of them.
const periodWords = `
3: q, quarter, quart, qtr, quartal, trimestre, trim, trimester, kwartaal
6: h, hy, half, half year, halbjahr, hj, semestre, semester, halfjaar
7: kw, cw, wk, w, week, woche, kalenderwoche, semaine, semana, settimana
`

// yearOnly are letters that name a part of a year only where the year stands beside them: T1 and H1 are many things.
const yearOnly = "htkw"

// splitPeriod reads "Jan 2024", "Mar-23", "Q2 2024", "1.Q 2026", "2024 T3", "H1 2026", "KW 20/2026", "2024".
func splitPeriod(s string) (period, bool) {
	if y, m, ok := splitMonth(s); ok {
		return period{year: y, month: m, months: 1}, true
	}
	if y, ok := yearAlone(s); ok {
		return period{year: y, month: 1, months: 12}, true
	}
	if p, ok := partOfYear(s); ok && p.year != 0 {
		return p, true
	}
	return period{}, false
}

// partOfYear reads a quarter, a half or a week, with its year or without.
func partOfYear(s string) (period, bool) {
	const longest = 30
	if s == "" || len(s) > longest || strings.ContainsAny(s, ":%") {
		return period{}, false
	}
	year, number, unit := 0, -1, ""
	parts := periodParts(s)
	for i, part := range parts {
		n, isNumber := wholeNumber(part)
		y, isYear := yearAlone(part)
		switch {
		case isYear && year == 0:
			year = y
		case isNumber && number < 0 && len(part) <= 2:
			number = n
		case isNumber && len(part) == 2 && year == 0 && i == len(parts)-1: // Q1/26, 1.Q 26
			year = fullYear(n, 2)
		case isNumber:
			return period{}, false
		case number >= 0 && unit == "" && isDateFiller(part): // 1er trimestre, 2nd quarter
		case unit == "":
			unit = fold(part)
		case unit == "half" && fold(part) == "year":
		default:
			return period{}, false
		}
	}
	return periodOf(year, number, unit)
}

// periodOf puts a part of a year together.
func periodOf(year, number int, unit string) (period, bool) {
	length := periodLengths[unit]
	switch {
	case number < 1 || length == 0 || year == 0 && len(unit) == 1 && strings.Contains(yearOnly, unit):
	case length == daysOfWeek && unit == "kw" && number <= 4: // a quarter to some
	case length == daysOfWeek && number <= weeksOf(year):
		return period{year: year, week: number}, true
	case length != daysOfWeek && number <= 12/length:
		return period{year: year, month: length*(number-1) + 1, months: length}, true
	}
	return period{}, false
}

const daysOfWeek = 7

// periodLengths gives the months of a part of a year by its word, 7 for a week.
var periodLengths = func() map[string]int {
	lengths := map[string]int{"t": 3, "k": 3}
	eachWord(periodWords, func(length, word string) { lengths[word] = int(length[0] - '0') })
	return lengths
}()

// weeksOf is 53 in years that have so many.
func weeksOf(year int) int {
	_, week := time.Date(year, 12, 28, 0, 0, 0, 0, time.UTC).ISOWeek()
	return week
}

// periodParts cuts a text between words, numbers and marks: "1.Q 2026" has three parts.
func periodParts(s string) (parts []string) {
	from := 0
	cut := func(to int) {
		if part := strings.Trim(s[from:to], " -/.,'’"); part != "" {
			parts = append(parts, part)
		}
		from = to
	}
	was := rune(0)
	for i, r := range s {
		if strings.ContainsRune(" -/.,'’", r) || i > 0 && unicode.IsDigit(r) != unicode.IsDigit(was) {
			cut(i)
		}
		was = r
	}
	cut(len(s))
	return parts
}

// yearAlone: a year of four digits that a visit may be of.
func yearAlone(s string) (int, bool) {
	y, ok := wholeNumber(strings.TrimSpace(s))
	return y, ok && len(strings.TrimSpace(s)) == 4 && y >= 1990 && y < 2100
}

// middle gives the day in the middle, which stands for all of it.
func (p period) middle() (Civil, error) {
	if p.year == 0 {
		return Civil{}, errors.New("its year is not given")
	}
	if p.week > 0 {
		y, m, d := time.Date(p.year, 1, 4, 0, 0, 0, 0, time.UTC).Date() // always in the first week
		first := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
		monday := first.AddDate(0, 0, -(int(first.Weekday())+6)%daysOfWeek)
		y, m, d = monday.AddDate(0, 0, daysOfWeek*(p.week-1)+daysOfWeek/2).Date()
		return newCivil(y, int(m), d)
	}
	from := time.Date(p.year, time.Month(p.month), 1, 0, 0, 0, 0, time.UTC)
	days := int(from.AddDate(0, p.months, 0).Sub(from).Hours() / 24)
	y, m, d := from.AddDate(0, 0, days/2).Date()
	return newCivil(y, int(m), d)
}
