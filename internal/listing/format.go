package listing

import (
	"strconv"
	"strings"
)

// cellFormat is what a number format shows.
type cellFormat struct {
	date, clock bool
	month       bool // of a day, only its month and year
	percent     bool
	decimals    int    // digits behind the point that the format always shows
	digits      int    // digits before the point that the format always shows
	before      string // text in front of the number, such as "L1-"
	unit        string // the unit behind the number, such as "mA"
}

// formatOf classifies a number format by its built-in number, else by its code (ECMA-376 part 1,
// 18.8.30).
func formatOf(id, code string) cellFormat {
	if code != "" {
		return formatOfCode(code)
	}
	n, _ := strconv.Atoi(id)
	switch {
	case n == 9 || n == 10:
		return cellFormat{percent: true, decimals: 2 * (n - 9)}
	case n == 2 || n == 4 || n == 7 || n == 8 || n == 39 || n == 40 || n == 44:
		return cellFormat{decimals: 2}
	case n == 17: // mmm-yy
		return cellFormat{date: true, month: true}
	case n >= 14 && n <= 16, n >= 27 && n <= 31, n == 36, n >= 50 && n <= 54, n == 57, n == 58:
		return cellFormat{date: true}
	case n == 22:
		return cellFormat{date: true, clock: true}
	case n >= 18 && n <= 21, n >= 32 && n <= 35, n >= 45 && n <= 47, n == 55, n == 56:
		return cellFormat{clock: true}
	}
	return cellFormat{}
}

// formatOfCode reads the first section of a code, which is that of positive numbers.
func formatOfCode(code string) cellFormat {
	bare, before, behind := splitCode(code)
	f := cellFormat{
		date:    strings.ContainsAny(bare, "yd"),
		clock:   strings.ContainsAny(bare, "hs"),
		percent: strings.Contains(bare, "%"),
	}
	if !f.clock && strings.Contains(bare, "m") {
		f.date = true
	}
	if f.date || f.clock {
		month := !f.clock && strings.Contains(bare, "m") && strings.Contains(bare, "y") && !strings.Contains(bare, "d")
		return cellFormat{date: f.date, clock: f.clock, month: month}
	}
	whole, fraction, _ := strings.Cut(bare, ".")
	f.decimals = len(fraction) - len(strings.TrimLeft(fraction, "0"))
	f.digits = strings.Count(whole, "0")
	f.before = before
	if unit := strings.TrimSpace(behind); isUnit(unit) && !f.percent {
		f.unit = unit
	}
	return f
}

// splitCode takes the first section of a code apart: what is left without quoted text, escapes, and
// brackets other than elapsed time, [h]; and the quoted text in front of the number and behind it.
func splitCode(code string) (bare, before, behind string) {
	var b, front, back strings.Builder
	text := func(s string) {
		if strings.ContainsAny(b.String(), "0#?") {
			back.WriteString(s)
		} else {
			front.WriteString(s)
		}
	}
	lower := strings.ToLower(code)
	if len(lower) != len(code) {
		lower = code
	}
	for i := 0; i < len(code); i++ {
		switch c := lower[i]; {
		case c == ';':
			return b.String(), front.String(), back.String()
		case c == '"':
			j := strings.IndexByte(code[i+1:], '"')
			if j < 0 {
				return b.String(), front.String(), back.String()
			}
			text(code[i+1 : i+1+j])
			i += j + 1
		case c == '\\' && i+1 < len(code):
			text(code[i+1 : i+2])
			i++
		case c == '\\' || c == '_' || c == '*':
			i++
		case c == '[':
			j := strings.IndexByte(code[i:], ']')
			if j < 0 {
				return b.String(), front.String(), back.String()
			}
			if inside := lower[i+1 : i+j]; strings.Trim(inside, "hms") == "" {
				b.WriteString(inside)
			}
			i += j
		case strings.HasPrefix(lower[i:], "general"):
			i += len("general") - 1
		default:
			b.WriteByte(c)
		}
	}
	return b.String(), front.String(), back.String()
}

// show turns a stored number into what a list should say, and tells what it was.
func (f cellFormat) show(raw string, epoch1904 bool) cell {
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil {
		return cell{text: raw}
	}
	switch {
	case f.date, f.clock && v >= 1:
		if c, ok := fromSerial(v, epoch1904); ok {
			c.HasTime = c.HasTime || f.clock
			if f.month && c.Day == 1 && !c.HasTime { // what a spreadsheet makes of a month that was typed
				return cell{text: c.text()[:len("2006-01")], stored: raw}
			}
			return cell{text: c.text(), stored: raw, kind: cellDate}
		}
	case f.clock:
		if c, ok := fromSerial(v, true); ok {
			return cell{text: c.clockText(), stored: raw, kind: cellDate}
		}
	case f.percent:
		text, kind := padDecimals(plainDigits(strconv.FormatFloat(v*100, 'g', 15, 64), v*100), f.decimals)
		return cell{text: text + " %", stored: raw, kind: kind | cellPercent}
	}
	return f.dress(plainDigits(raw, v), raw)
}

// dress adds what the format shows around a number.
func (f cellFormat) dress(number, raw string) cell {
	text, kind := padDecimals(number, f.decimals)
	if whole, _, _ := strings.Cut(text, "."); f.before != "" && isName(f.before) {
		text = f.before + strings.Repeat("0", max(0, min(f.digits-len(whole), 15))) + text
		return cell{text: text, stored: raw, kind: cellShown}
	}
	if f.unit != "" {
		return cell{text: text + " " + f.unit, stored: raw, kind: kind}
	}
	return cell{text: text, kind: kind}
}

// isName tells whether text in front of a number names something, as "L1-" does; a sign of a currency
// does not.
func isName(before string) bool {
	return strings.ContainsAny(strings.ToLower(before), "abcdefghijklmnopqrstuvwxyz")
}

// plainDigits writes a number without an exponent, and stored binary fractions such as
// 25.300000000000001 with the 15 digits that count.
func plainDigits(raw string, v float64) string {
	if !strings.ContainsAny(raw, "eE") && len(raw) <= 15 {
		return raw
	}
	if short := strconv.FormatFloat(v, 'g', 15, 64); !strings.Contains(short, "e") {
		return short
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// padDecimals adds the zeros that the format shows and the stored number lacks: 1.1 shown as 1.10 is
// loop 1, address 10, and no longer in doubt.
func padDecimals(raw string, decimals int) (string, cellKind) {
	_, fraction, hasPoint := strings.Cut(raw, ".")
	if decimals == 0 || len(fraction) > decimals || strings.Trim(raw, "-0123456789.") != "" {
		return raw, cellNumber
	}
	if !hasPoint {
		raw += "."
	}
	return raw + strings.Repeat("0", min(decimals-len(fraction), 15)), cellNumber | cellShown
}
