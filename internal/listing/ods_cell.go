package listing

import (
	"encoding/xml"
	"strconv"
	"strings"
)

// repeats reads how often an element counts, or how far it reaches: at least once.
func repeats(el xml.StartElement, name string) int {
	text := attr(el, name)
	if text == "" {
		return 1 // nearly always
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return 1
	}
	return min(n, 2*mostRows)
}

// isCollapsed: a row or column is hidden by hand or by a filter.
func isCollapsed(el xml.StartElement) bool {
	v := attr(el, "visibility")
	return v == "collapse" || v == "filter"
}

// odsText gathers the text of a cell.
type odsText struct {
	strings.Builder
	most       int
	paragraphs int // those that are open
	seen       int
	aside      int // how deep it is in a note or a drawing
}

func (t *odsText) start(el xml.StartElement) {
	switch local := el.Name.Local; {
	case t.aside > 0 || local == "annotation" || el.Name.Space == "draw" || local == "table":
		t.aside++
	case local == "p" || local == "h":
		if t.seen++; t.seen > 1 {
			t.WriteByte('\n')
		}
		t.paragraphs++
	case local == "s":
		t.WriteString(strings.Repeat(" ", min(repeats(el, "c"), 1000)))
	case local == "tab":
		t.WriteByte('\t')
	case local == "line-break":
		t.WriteByte('\n')
	}
}

func (t *odsText) add(text []byte) {
	if t.aside == 0 && t.paragraphs > 0 {
		t.Write(text)
	}
}

func (t *odsText) stop(name xml.Name) {
	switch {
	case t.aside > 0:
		t.aside--
	case t.paragraphs > 0 && (name.Local == "p" || name.Local == "h"):
		t.paragraphs--
	}
}

// odsValue gives a cell by the type of its value; shown is what people saw.
func odsValue(el xml.StartElement, shown string) cell {
	switch attr(el, "value-type") {
	case "float", "currency":
		return seen(plainText(attr(el, "value")), shown)
	case "percentage":
		return seenPercent(plainText(attr(el, "value")), shown)
	case "date":
		day := plainText(attr(el, "date-value"))
		if c, err := ParseDate(day, YMD); err == nil {
			return cell{text: c.text(), stored: day, kind: cellDate}
		}
	case "time":
		if c, ok := duration(attr(el, "time-value")); ok {
			return cell{text: c.clockText(), stored: plainText(attr(el, "time-value")), kind: cellDate}
		}
	case "boolean":
		return cell{text: strings.ToUpper(plainText(attr(el, "boolean-value")))}
	}
	if shown == "" {
		shown = plainText(attr(el, "string-value"))
	}
	return cell{text: shown}
}

// seen gives a number with the decimals, the unit, or the text in front that people saw with it.
func seen(raw, shown string) cell {
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil {
		return cell{text: shown}
	}
	first := strings.IndexAny(shown, "0123456789")
	last := strings.LastIndexAny(shown, "0123456789")
	if first < 0 {
		return cell{text: plainDigits(raw, v), kind: cellNumber}
	}
	if isName(shown[:first]) {
		return cell{text: shown, stored: raw, kind: cellShown}
	}
	f := cellFormat{decimals: decimalsShown(v, shown[first:last+1])}
	if unit := strings.TrimSpace(shown[last+1:]); isUnit(unit) {
		f.unit = unit
	}
	return f.dress(plainDigits(raw, v), raw)
}

func seenPercent(raw, shown string) cell {
	v, err := strconv.ParseFloat(raw, 64)
	if err != nil {
		return cell{text: shown}
	}
	f := cellFormat{percent: true, decimals: decimalsShown(v*100, strings.Trim(shown, " \u00a0%-+"))}
	return f.show(raw, false)
}

// decimalsShown counts the digits behind the mark of a number as people saw it, if its digits are those
// of the value: "1,234" of 1234 groups thousands.
func decimalsShown(v float64, shown string) int {
	at := strings.LastIndexAny(shown, ".,")
	if at < 0 || len(shown)-at > 16 {
		return 0
	}
	digits := func(s string) string {
		return strings.TrimLeft(strings.Map(func(r rune) rune {
			if r < '0' || r > '9' {
				return -1
			}
			return r
		}, s), "0")
	}
	n := len(shown) - at - 1
	if digits(strconv.FormatFloat(v, 'f', n, 64)) != digits(shown) {
		return 0
	}
	return n
}

// duration reads a time of day as a duration writes it, PT14H05M00S (XML Schema part 2, 3.2.6).
func duration(s string) (Civil, bool) {
	s, ok := strings.CutPrefix(s, "PT")
	if !ok {
		return Civil{}, false
	}
	c := Civil{HasTime: true}
	for _, part := range []struct {
		mark byte
		into *int
	}{{'H', &c.Hour}, {'M', &c.Minute}, {'S', &c.Second}} {
		number, rest, found := strings.Cut(s, string(rune(part.mark)))
		if !found {
			continue
		}
		whole, _, _ := strings.Cut(number, ".")
		n, err := strconv.Atoi(whole)
		if err != nil || n < 0 || n > 59 {
			return Civil{}, false
		}
		*part.into, s = n, rest
	}
	return c, s == "" && c.Hour < 24
}
