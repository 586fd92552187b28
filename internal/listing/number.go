package listing

import (
	"math"
	"strconv"
	"strings"
)

// Figure is a number that a listing may leave out.
type Figure struct {
	Value float64
	Known bool
}

// mark is what one written number tells of the decimal mark.
type mark uint8

const (
	markNone   mark = iota // no mark at all
	markPoint              // certainly a point
	markComma              // certainly a comma
	markOpen               // "1,234": could be either
	markBroken             // not a number's marks
)

// decimalMark finds what the marks in s can mean. A mark that splits off exactly three digits behind
// one to three that do not begin with 0 is open.
func decimalMark(s string) mark {
	point, comma := strings.IndexByte(s, '.'), strings.IndexByte(s, ',')
	switch {
	case point < 0 && comma < 0:
		return markNone
	case point >= 0 && comma >= 0:
		if strings.LastIndexByte(s, '.') > strings.LastIndexByte(s, ',') {
			return onlyOne(s, '.', markPoint)
		}
		return onlyOne(s, ',', markComma)
	case point >= 0:
		return oneMark(s, '.', point, markPoint, markComma)
	}
	return oneMark(s, ',', comma, markComma, markPoint)
}

// onlyOne refuses a decimal mark that is written twice.
func onlyOne(s string, c byte, m mark) mark {
	if strings.IndexByte(s, c) != strings.LastIndexByte(s, c) {
		return markBroken
	}
	return m
}

func oneMark(s string, c byte, at int, decimal, other mark) mark {
	if strings.LastIndexByte(s, c) != at {
		return other // "1,234,567": it groups thousands
	}
	head := strings.TrimLeft(s[:at], "+- ")
	tail := 0
	for tail < len(s)-at-1 && isDigit(s[at+1+tail]) {
		tail++
	}
	if tail == 3 && len(head) >= 1 && len(head) <= 3 && head[0] != '0' {
		return markOpen
	}
	return decimal
}

// parseNumber reads a number with the decimal mark '.' or ',', and the unit written behind it.
func parseNumber(s string, decimal byte) (v float64, unit string, ok bool) {
	s = strings.TrimSpace(s)
	if v, ok = plainNumber(s, decimal); ok {
		return v, "", true
	}
	end := len(s)
	for end > 0 && !isDigit(s[end-1]) {
		end--
	}
	unit = strings.TrimSpace(s[end:])
	if end == 0 || (unit != "" && !isUnit(unit)) {
		return 0, "", false
	}
	v, ok = longNumber(s[:end], decimal)
	return v, unit, ok
}

// plainNumber reads digits with at most one decimal mark; exact, because both the digits and the power
// of ten fit a float64 without rounding.
func plainNumber(s string, decimal byte) (float64, bool) {
	i, negative := 0, false
	if s != "" && (s[0] == '-' || s[0] == '+') {
		i, negative = 1, s[0] == '-'
	}
	if len(s)-i > 16 || i == len(s) {
		return 0, false
	}
	n, scale, digits := 0, 0.0, 0
	for ; i < len(s); i++ {
		switch c := s[i]; {
		case isDigit(c):
			n = n*10 + int(c-'0')
			scale *= 10
			digits++
		case c == decimal && scale == 0:
			scale = 1
		default:
			return 0, false
		}
	}
	v := float64(n)
	if scale > 1 {
		v /= scale
	}
	if negative {
		v = -v
	}
	return v, digits > 0 && digits <= 15
}

// longNumber reads what plainNumber leaves: grouped thousands, an exponent, a typeset minus.
func longNumber(s string, decimal byte) (float64, bool) {
	var b strings.Builder
	whole, fraction, hasFraction := strings.Cut(s, string(rune(decimal)))
	whole, ok := ungroup(strings.TrimSpace(strings.Replace(whole, "−", "-", 1)), decimal)
	if !ok {
		return 0, false
	}
	b.WriteString(whole)
	if hasFraction {
		b.WriteByte('.')
		b.WriteString(fraction)
	}
	clean := b.String()
	if strings.Trim(clean, "0123456789.eE+-") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(clean, 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// ungroup takes the thousands marks out of the whole part; each must stand before three digits.
func ungroup(s string, decimal byte) (string, bool) {
	groups := strings.FieldsFunc(s, func(r rune) bool {
		return r == '\'' || r == '’' || r == '\u00a0' || r == '\u202f' || (r == ',' && decimal == '.') || (r == '.' && decimal == ',')
	})
	if len(groups) < 2 {
		return s, len(groups) == 0 || len(groups[0]) == len(s)
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return "", false
		}
	}
	return strings.Join(groups, ""), len(strings.TrimLeft(groups[0], "+-")) <= 3
}

// isUnit tells whether a word behind a number is a unit that listings of this trade carry.
func isUnit(s string) bool {
	switch strings.ToLower(s) {
	case "%", "%/m", "% / m", "%/ft", "db/m", "db", "°c", "°", "k", "°f", "ma", "µa", "μa", "ua", "a", "mv", "v", "vdc", "v dc",
		"ω", "ohm", "kω", "kohm", "m", "metres", "meters", "mm", "s", "ms", "ppm", "min", "count", "counts", "digits", "bit",
		"years", "year", "y", "yr", "jahre", "jahr", "ans", "an", "años", "anos", "anni", "jaar":
		return true
	}
	return false
}

// toMilliamps and to metres: factors of the units that a cell or a heading may carry.
func unitFactor(field Field, unit string) float64 {
	unit = strings.ToLower(unit)
	switch field {
	case Standby, AlarmCurrent:
		switch unit {
		case "µa", "μa", "ua":
			return 1e-3
		case "a":
			return 1e3
		}
	case LeastVolts:
		if unit == "mv" {
			return 1e-3
		}
	case Metres:
		if unit == "mm" {
			return 1e-3
		}
	}
	return 1
}
