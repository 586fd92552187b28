package listing

import "strings"

// setClock reads a time of day: "14:05", "14:05:09.5", "2:05 pm", "14h05", "1405", "14.05", "14:05 Uhr",
// with an optional "Z" or "+01:00" behind.
func (c *Civil) setClock(s string) error {
	cl := clock{s: strings.TrimSpace(s)}
	if !cl.read() {
		return errClock
	}
	c.HasTime = true
	c.Hour, c.Minute, c.Second, c.Nanosecond = cl.hour, cl.minute, cl.second, cl.nano
	c.HasOffset, c.OffsetMinutes = cl.hasOffset, cl.offset
	return nil
}

type clock struct {
	s                          string
	hour, minute, second, nano int
	hasOffset                  bool
	offset                     int
}

func (cl *clock) read() bool {
	digits := cl.run()
	switch {
	case digits == 4 || digits == 6:
		cl.split(digits)
	case digits != 1 && digits != 2:
		return false
	default:
		cl.hour, _ = cl.number(digits)
		if !cl.parts() {
			return false
		}
	}
	return cl.half() && cl.zone() && cl.s == "" && cl.hour < 24 && cl.minute < 60 && cl.second < 60
}

// split reads 1405 or 140509.
func (cl *clock) split(digits int) {
	cl.hour, _ = cl.number(2)
	cl.minute, _ = cl.number(2)
	if digits == 6 {
		cl.second, _ = cl.number(2)
	}
	cl.fraction()
}

// parts reads ":05:09.5" after the hour, or "h", or nothing when am or pm follows.
func (cl *clock) parts() bool {
	if cl.s == "" {
		return false
	}
	mark := cl.s[0] | 0x20
	if cl.s[0] != ':' && cl.s[0] != '.' && mark != 'h' {
		return cl.s[0] == ' ' || mark == 'a' || mark == 'p' // "2 pm": half decides
	}
	cl.s = strings.TrimLeft(cl.s[1:], " ")
	if mark == 'h' && cl.run() == 0 {
		return true
	}
	ok := cl.run() == 2
	if !ok {
		return false
	}
	cl.minute, _ = cl.number(2)
	if cl.s != "" && (cl.s[0] == ':' || cl.s[0] == '.' || cl.s[0]|0x20 == 'm') && len(cl.s) > 2 && isDigit(cl.s[1]) {
		cl.s = cl.s[1:]
		if cl.run() != 2 {
			return false
		}
		cl.second, _ = cl.number(2)
		cl.fraction()
	}
	return true
}

// fraction reads parts of a second, down to a nanosecond.
func (cl *clock) fraction() {
	if len(cl.s) < 2 || (cl.s[0] != '.' && cl.s[0] != ',') || !isDigit(cl.s[1]) {
		return
	}
	cl.s = cl.s[1:]
	unit := 100_000_000
	for len(cl.s) > 0 && isDigit(cl.s[0]) {
		cl.nano += int(cl.s[0]-'0') * unit
		unit /= 10
		cl.s = cl.s[1:]
	}
}

// half reads am, pm or the word for "o'clock".
func (cl *clock) half() bool {
	cl.s = strings.TrimLeft(cl.s, " ")
	if cl.s == "" || isDigit(cl.s[0]) || strings.IndexByte("+-Zz", cl.s[0]) >= 0 {
		return true
	}
	word := strings.ToLower(strings.ReplaceAll(cl.s, ".", ""))
	switch {
	case word == "uhr" || word == "h":
	case word == "utc" || word == "gmt":
		cl.hasOffset = true
	case (word == "am" || word == "a m") && cl.hour >= 1 && cl.hour <= 12:
		cl.hour %= 12
	case (word == "pm" || word == "p m") && cl.hour >= 1 && cl.hour <= 12:
		cl.hour = cl.hour%12 + 12
	default:
		return false
	}
	cl.s = ""
	return true
}

// zone reads Z, +01:00, +0100 or +01.
func (cl *clock) zone() bool {
	if cl.s == "" {
		return true
	}
	sign := 1
	switch cl.s[0] {
	case 'Z', 'z':
		cl.s, cl.hasOffset = cl.s[1:], true
		return true
	case '-':
		sign = -1
	case '+':
	default:
		return false
	}
	cl.s = cl.s[1:]
	hours, ok := cl.number(2)
	if !ok {
		return false
	}
	cl.s = strings.TrimPrefix(cl.s, ":")
	minutes := 0
	if cl.s != "" {
		if minutes, ok = cl.number(2); !ok {
			return false
		}
	}
	cl.hasOffset, cl.offset = true, sign*(hours*60+minutes)
	return hours <= 14 && minutes < 60
}

// run counts the digits in front.
func (cl *clock) run() int {
	n := 0
	for n < len(cl.s) && isDigit(cl.s[n]) {
		n++
	}
	return n
}

func (cl *clock) number(digits int) (int, bool) {
	if len(cl.s) < digits {
		return 0, false
	}
	n, ok := wholeNumber(cl.s[:digits])
	if ok {
		cl.s = cl.s[digits:]
	}
	return n, ok
}
