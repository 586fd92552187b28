package listing

import (
	"strings"
	"time"
)

// period is a heading that names a month, a quarter or a year, and no day.
type period struct{ year, month, months int }

// splitPeriod reads "Jan 2024", "Mar-23", "Q2 2024", "2024 T3", "2024".
func splitPeriod(s string) (period, bool) {
	if y, m, ok := splitMonth(s); ok {
		return period{y, m, 1}, true
	}
	if y, ok := yearAlone(s); ok {
		return period{y, 1, 12}, true
	}
	parts := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" -/.'’", r) })
	if len(parts) == 2 {
		for i, part := range parts {
			y, okYear := yearAlone(parts[1-i])
			if q := quarter(part); q > 0 && okYear {
				return period{y, 3*q - 2, 3}, true
			}
		}
	}
	return period{}, false
}

// yearAlone: a year of four digits that a visit may be of.
func yearAlone(s string) (int, bool) {
	y, ok := wholeNumber(strings.TrimSpace(s))
	return y, ok && len(strings.TrimSpace(s)) == 4 && y >= 1990 && y < 2100
}

// quarter reads Q2, T2, K2, 2Q, Q 2; 0 for none. The letters are those of the six languages.
func quarter(s string) int {
	if len(s) != 2 {
		return 0
	}
	letter, digit := s[0], s[1]
	if isDigit(letter) {
		letter, digit = digit, letter
	}
	if !strings.ContainsRune("QTKqtk", rune(letter)) || digit < '1' || digit > '4' {
		return 0
	}
	return int(digit - '0')
}

// middle gives the day in the middle, which stands for all of it.
func (p period) middle() (Civil, error) {
	from := time.Date(p.year, time.Month(p.month), 1, 0, 0, 0, 0, time.UTC)
	days := int(from.AddDate(0, p.months, 0).Sub(from).Hours() / 24)
	y, m, d := from.AddDate(0, 0, days/2).Date()
	return newCivil(y, int(m), d)
}
