package listing

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// Civil is a date and time as written, on the site's own clock unless HasOffset.
type Civil struct {
	Year, Month, Day     int
	Hour, Minute, Second int
	Nanosecond           int
	HasTime              bool // false: only a day was written
	HasOffset            bool // true: OffsetMinutes east of UTC was written
	OffsetMinutes        int
}

// DateOrder is the order of day, month and year where the month is a number and the year is not first.
type DateOrder string

// The orders; a year of four digits in front needs none.
const (
	DMY DateOrder = "dmy"
	MDY DateOrder = "mdy"
	YMD DateOrder = "ymd" // year of two digits in front, as in 25-01-31
)

var (
	errNotDate   = errors.New("not a date")
	errDateOrder = errors.New("the order of day and month is not known")
	errNoSuchDay = errors.New("there is no such day")
	errWeekday   = errors.New("it does not fall on the day of the week beside it")
	errClock     = errors.New("not a time of day")
)

// orders is a set of date orders that one value allows.
type orders uint8

const (
	canDMY orders = 1 << iota
	canMDY
	canYMD
	allOrders = canDMY | canMDY | canYMD
)

func (o orders) list() []DateOrder {
	var out []DateOrder
	for i, d := range []DateOrder{DMY, MDY, YMD} {
		if o&(1<<i) != 0 {
			out = append(out, d)
		}
	}
	return out
}

func (d DateOrder) set() orders {
	switch d {
	case DMY:
		return canDMY
	case MDY:
		return canMDY
	case YMD:
		return canYMD
	}
	return 0
}

// rawDate is a date split but not yet put in order.
type rawDate struct {
	n       [3]int
	digits  [3]int
	mark    byte
	fixed   bool // n is year, month, day already
	clock   string
	hasTime bool
	on      weekdays // that stand before it
}

// ParseDate reads a date with an optional time. Orders that need no telling (year first, month by
// name) ignore order; with order "" a value that two orders could read is an error.
func ParseDate(s string, order DateOrder) (Civil, error) {
	raw, ok := splitDate(strings.TrimSpace(s))
	if !ok {
		return Civil{}, errNotDate
	}
	c, err := raw.in(order)
	if err != nil || !raw.hasTime {
		return c, err
	}
	return c, c.setClock(raw.clock)
}

// in puts the three numbers in order.
func (r *rawDate) in(order DateOrder) (Civil, error) {
	if r.fixed {
		return r.on.held(newCivil(r.n[0], r.n[1], r.n[2]))
	}
	if order == "" {
		switch can := r.orders(); {
		case can == 0:
			return Civil{}, errNoSuchDay
		case can&(can-1) != 0:
			return Civil{}, errDateOrder
		default:
			order = can.list()[0]
		}
	}
	return r.on.held(newCivil(r.arrange(order)))
}

func (r *rawDate) arrange(order DateOrder) (y, m, d int) {
	switch order {
	case MDY:
		return fullYear(r.n[2], r.digits[2]), r.n[0], r.n[1]
	case YMD:
		return fullYear(r.n[0], r.digits[0]), r.n[1], r.n[2]
	}
	return fullYear(r.n[2], r.digits[2]), r.n[1], r.n[0]
}

// orders tells in which orders the value is a day of the calendar. A year of two digits in front is
// only common with dashes.
func (r *rawDate) orders() (can orders) {
	candidates := canDMY | canMDY
	if r.mark == '-' && r.digits[2] == 2 && r.digits[0] == 2 {
		candidates = allOrders
	}
	for i, order := range [...]DateOrder{DMY, MDY, YMD} {
		if candidates&(1<<i) == 0 {
			continue
		}
		if y, m, d := r.arrange(order); isDay(y, m, d) {
			can |= 1 << i
		}
	}
	return r.onWeekday(can)
}

// possible tells whether there is an order in which the value is a day of the calendar.
func (r *rawDate) possible() bool {
	if r.fixed {
		return isDay(r.n[0], r.n[1], r.n[2])
	}
	return r.orders() != 0
}

// splitDate finds the three parts of a date and what follows them.
func splitDate(s string) (rawDate, bool) {
	var r rawDate
	if on, rest := cutWeekday(s); on != 0 {
		if r, ok := splitDate(rest); ok {
			r.on = on
			return r, true
		}
	}
	if len(s) >= 10 && s[4] == '-' && s[7] == '-' && r.iso(s) {
		return r, true
	}
	if r.compact(s) {
		return r, true
	}
	if len(s) < 6 || len(s) > 64 {
		return r, false
	}
	if !isDigit(s[0]) || !r.numeric(s) {
		r = rawDate{}
		if !r.named(s) {
			return r, false
		}
	}
	return r, true
}

func (r *rawDate) iso(s string) bool {
	y, okY := wholeNumber(s[:4])
	m, okM := wholeNumber(s[5:7])
	d, okD := wholeNumber(s[8:10])
	r.n, r.fixed = [3]int{y, m, d}, true
	return okY && okM && okD && r.rest(s[10:])
}

// compact reads 20250131, alone or followed by a time.
func (r *rawDate) compact(s string) bool {
	if len(s) < 8 || (s[:2] != "19" && s[:2] != "20") {
		return false
	}
	y, okY := wholeNumber(s[:4])
	m, okM := wholeNumber(s[4:6])
	d, okD := wholeNumber(s[6:8])
	if !okY || !okM || !okD || !isDay(y, m, d) {
		return false
	}
	r.n, r.fixed = [3]int{y, m, d}, true
	if len(s) > 8 && isDigit(s[8]) && len(s) != 12 && len(s) != 14 {
		return false
	}
	return r.rest(s[8:])
}

// numeric reads a-b-c with one kind of mark; a year of four digits may stand first or last.
func (r *rawDate) numeric(s string) bool {
	i := 0
	for k := range 3 {
		start := i
		for i < len(s) && isDigit(s[i]) {
			i++
		}
		n, ok := wholeNumber(s[start:i])
		if !ok || i-start > 4 {
			return false
		}
		r.n[k], r.digits[k] = n, i-start
		if k == 2 {
			break
		}
		if i == len(s) || (k == 1 && s[i] != r.mark) {
			return false
		}
		if r.mark = s[i]; r.mark != '/' && r.mark != '.' && r.mark != '-' {
			return false
		}
		for i++; i < len(s) && s[i] == ' ' && r.mark == '.'; i++ {
		}
	}
	if r.digits[0] == 4 && r.digits[2] <= 2 {
		r.fixed = true
	} else if (r.digits[2] != 4 && r.digits[2] != 2) || r.digits[0] > 2 {
		return false
	}
	return r.digits[1] <= 2 && r.rest(s[i:])
}

// named reads a date whose month is a word: "31 Jan 2025", "Jan 31, 2025", "31. Januar 2025".
func (r *rawDate) named(s string) bool {
	day, month, year, i := 0, 0, -1, 0
	for i < len(s) && year < 0 {
		start := i
		switch {
		case isDigit(s[i]):
			for i < len(s) && isDigit(s[i]) {
				i++
			}
			n, _ := wholeNumber(s[start:i])
			if i-start == 4 || day != 0 {
				year = fullYear(n, i-start)
				if month == 0 || day == 0 {
					return false
				}
			} else if day = n; day == 0 {
				return false
			}
		case isLetter(s[i]):
			for i < len(s) && isLetter(s[i]) {
				i++
			}
			if m := monthNumber(s[start:i]); m != 0 && month == 0 {
				month = m
			} else if !isDateFiller(s[start:i]) && !(start == 0 && leadsDate(s[:i])) {
				return false
			}
		case strings.IndexByte(" .,-/", s[i]) >= 0:
			i++
		default:
			return false
		}
	}
	r.n, r.fixed = [3]int{year, month, day}, true
	return year >= 0 && r.rest(s[i:])
}

// rest keeps what follows the date as a time.
func (r *rawDate) rest(s string) bool {
	if s == "" {
		return true
	}
	for s != "" && (s[0] == ' ' || s[0] == ',' || s[0] == ';') {
		s = s[1:]
	}
	if s != "" && s[0]|0x20 == 't' {
		s = s[1:]
	}
	s = strings.TrimSpace(s)
	r.clock, r.hasTime = s, s != ""
	return s == "" || isDigit(s[0])
}

// fullYear reads two-digit years 70 to 99 as 19xx and 00 to 69 as 20xx, as POSIX strptime nearly does
// (it splits at 69; from memory).
func fullYear(y, digits int) int {
	switch {
	case digits == 4:
		return y
	case digits != 2:
		return -1
	case y >= 70:
		return 1900 + y
	}
	return 2000 + y
}

func isDay(y, m, d int) bool {
	return y >= 1000 && y <= 9999 && m >= 1 && m <= 12 && d >= 1 && d <= daysIn(y, m)
}

func daysIn(y, m int) int {
	switch m {
	case 2:
		if y%4 == 0 && (y%100 != 0 || y%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

func newCivil(y, m, d int) (Civil, error) {
	switch {
	case isDay(y, m, d):
		return Civil{Year: y, Month: m, Day: d}, nil
	case m < 1 || m > 12:
		return Civil{}, fmt.Errorf("%w: there is no month %d", errNoSuchDay, m)
	}
	return Civil{}, fmt.Errorf("%w: month %d of %d has no day %d", errNoSuchDay, m, y, d)
}

// fromSerial turns a spreadsheet's day number into a date, to the nearest second. In the 1900 system
// day 60 is 29 February 1900, which never was (ECMA-376 part 1, 18.17.4.1; from memory).
func fromSerial(serial float64, epoch1904 bool) (Civil, bool) {
	const lastDay = 2_958_465 // 31 December 9999
	seconds := math.Round(serial * 86400)
	days := int(seconds / 86400)
	if !(serial >= 0) || days > lastDay || (!epoch1904 && days == 60) {
		return Civil{}, false
	}
	rest := int(seconds) - days*86400
	since := days - 25569 // 1 January 1970
	switch {
	case epoch1904:
		since += 1462
	case days < 60:
		since++
	}
	c := civilFromDays(since)
	if rest != 0 {
		c.HasTime = true
		c.Hour, c.Minute, c.Second = rest/3600, rest/60%60, rest%60
	}
	return c, true
}

// civilFromDays turns days since 1 January 1970 into a date of the Gregorian calendar; years start in
// March so that the leap day comes last.
func civilFromDays(days int) Civil {
	days += 719468
	era := days / 146097
	if days < 0 {
		era = (days - 146096) / 146097
	}
	inEra := days - era*146097
	year := (inEra - inEra/1460 + inEra/36524 - inEra/146096) / 365
	inYear := inEra - (365*year + year/4 - year/100)
	m := (5*inYear + 2) / 153
	c := Civil{Year: year + era*400, Month: m + 3, Day: inYear - (153*m+2)/5 + 1}
	if c.Month > 12 {
		c.Month -= 12
		c.Year++
	}
	return c
}
