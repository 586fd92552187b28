package listing

import (
	"strconv"
	"strings"
)

// cellFormat is what a number format shows.
type cellFormat struct {
	date, clock bool
	decimals    int // digits behind the point that the format always shows
}

// formatOf classifies a number format by its built-in number, else by its code (ECMA-376 part 1,
// 18.8.30).
func formatOf(id, code string) cellFormat {
	if code != "" {
		return formatOfCode(code)
	}
	n, _ := strconv.Atoi(id)
	switch {
	case n == 2 || n == 4 || n == 10 || n == 39 || n == 40:
		return cellFormat{decimals: 2}
	case n >= 14 && n <= 17, n >= 27 && n <= 31, n == 36, n >= 50 && n <= 54, n == 57, n == 58:
		return cellFormat{date: true}
	case n == 22:
		return cellFormat{date: true, clock: true}
	case n >= 18 && n <= 21, n >= 32 && n <= 35, n >= 45 && n <= 47, n == 55, n == 56:
		return cellFormat{clock: true}
	}
	return cellFormat{}
}

func formatOfCode(code string) cellFormat {
	code, _, _ = strings.Cut(bareCode(code), ";")
	f := cellFormat{
		date:  strings.ContainsAny(code, "yd"),
		clock: strings.ContainsAny(code, "hs"),
	}
	if !f.clock && strings.Contains(code, "m") {
		f.date = true
	}
	if i := strings.IndexByte(code, '.'); i >= 0 && !f.date && !f.clock {
		for _, c := range code[i+1:] {
			if c != '0' {
				break
			}
			f.decimals++
		}
	}
	return f
}

// bareCode drops quoted text, escapes, and brackets other than elapsed time, [h].
func bareCode(code string) string {
	var b strings.Builder
	code = strings.ToLower(code)
	for i := 0; i < len(code); i++ {
		switch c := code[i]; c {
		case '"':
			if j := strings.IndexByte(code[i+1:], '"'); j >= 0 {
				i += j + 1
			}
		case '\\', '_', '*':
			i++
		case '[':
			j := strings.IndexByte(code[i:], ']')
			if j < 0 {
				return b.String()
			}
			if inside := code[i+1 : i+j]; strings.Trim(inside, "hms") == "" {
				b.WriteString(inside)
			}
			i += j
		default:
			if strings.HasPrefix(code[i:], "general") {
				i += len("general") - 1
				continue
			}
			b.WriteByte(c)
		}
	}
	return b.String()
}

// show turns a stored number into what a list should say, and tells what it was.
func (f cellFormat) show(raw string, epoch1904 bool) (string, cellKind) {
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil {
		return raw, 0
	}
	switch {
	case f.date, f.clock && v >= 1:
		if c, ok := fromSerial(v, epoch1904); ok {
			c.HasTime = c.HasTime || f.clock
			return c.text(), cellDate
		}
	case f.clock:
		if c, ok := fromSerial(v, true); ok {
			return c.clockText(), cellDate
		}
	case f.decimals > 0 && strings.Trim(raw, "-0123456789.") == "":
		return padDecimals(raw, f.decimals)
	}
	if strings.ContainsAny(raw, "eE") || len(raw) > 15 {
		// Stored binary fractions such as 25.300000000000001 are shown with the 15 digits that count.
		raw = strconv.FormatFloat(v, 'f', -1, 64)
		if short := strconv.FormatFloat(v, 'g', 15, 64); !strings.Contains(short, "e") {
			raw = short
		}
	}
	return raw, cellNumber
}

// padDecimals adds the zeros that the format shows and the stored number lacks: 1.1 shown as 1.10 is
// loop 1, address 10, and no longer in doubt.
func padDecimals(raw string, decimals int) (string, cellKind) {
	_, fraction, hasPoint := strings.Cut(raw, ".")
	if len(fraction) > decimals {
		return raw, cellNumber
	}
	if !hasPoint {
		raw += "."
	}
	return raw + strings.Repeat("0", min(decimals-len(fraction), 15)), cellNumber | cellShown
}
