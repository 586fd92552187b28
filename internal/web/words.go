package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// words are the functions of the templates.
func (s *Server) words() template.FuncMap {
	return template.FuncMap{"asset": s.assetAddress, "count": count, "mark": mark, "thousands": grouped, "choices": choicesOf}
}

// choicesOf lists the choices of a field of a kind.
func choicesOf(kind, key string) []sootline.Choice {
	for _, field := range sootline.FieldsOf(sootline.Kind(kind)) {
		if field.Key == key {
			return field.Choices
		}
	}
	return nil
}

// count tells how many there are, with the word for one or for several.
func count(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return grouped(n) + " " + several
}

// grouped writes a number with a thin space between thousands.
func grouped(n int) string {
	text := strconv.Itoa(n)
	for at := len(text) - 3; at > 0; at -= 3 {
		text = text[:at] + "\u202f" + text[at:]
	}
	return text
}

// mark is the shape of a verdict or of what is to be done, so that neither
// needs a colour to be told.
func mark(word string) string {
	switch word {
	case string(app.Above), string(app.CleanNow):
		return "▲"
	case string(app.Below):
		return "▼"
	case string(app.Inside), string(app.Leave):
		return "○"
	case string(app.CleanAtVisit):
		return "△"
	case string(app.Replace):
		return "◆"
	case string(app.LookAgain):
		return "◎"
	case string(app.RowAdded), string(app.RowOfSheet):
		return "+"
	case string(app.RowSame):
		return "="
	case string(app.RowRepeated):
		return "↺"
	case string(app.RowLeft):
		return "×"
	}
	return "·"
}

// local writes an instant on a zone's clock, with the zone's short name.
func local(at time.Time, zone *time.Location) string {
	if !at.After(sootline.LongAgo) {
		return "since always"
	}
	return at.In(zone).Format("2006-01-02 15:04 MST")
}

// happened writes when an entry happened: the day alone, where no more is known.
func happened(e *sootline.Entry, zone *time.Location) string {
	if e.Day {
		return day(e.At, zone)
	}
	return local(e.At, zone)
}

// day writes the day of an instant on a zone's clock.
func day(at time.Time, zone *time.Location) string {
	if !at.After(sootline.LongAgo) {
		return "since always"
	}
	return at.In(zone).Format(time.DateOnly)
}

// number writes a figure without needless digits, and nothing when it is not
// known.
func number(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(math.Round(*x*1000)/1000, 'f', -1, 64)
}

// signed writes a slope with its sign and two digits that count.
func signed(x *float64) string {
	if x == nil {
		return ""
	}
	text := fmt.Sprintf("%+.2g", *x)
	if strings.Contains(text, "e+") { // no power of ten where whole numbers do
		text = fmt.Sprintf("%+.0f", *x)
	}
	return strings.Replace(text, "-", "−", 1)
}

func percent(x *float64) string {
	if x == nil {
		return ""
	}
	return strings.Replace(fmt.Sprintf("%.0f\u202f%%", 100**x), "-", "−", 1)
}

// withUnit puts a unit behind a figure.
func withUnit(figure, unit string) string {
	if figure == "" || unit == "" {
		return figure
	}
	return figure + "\u202f" + unit
}

// unitOf is the unit of a point's resting value, as its type sheet says.
func unitOf(j *app.Judgement) string {
	if j == nil || j.Sheet == nil {
		return ""
	}
	return j.Sheet.Unit
}

// bandOf writes the band of a point.
func bandOf(j *app.Judgement) string {
	if j == nil {
		return ""
	}
	return bandText(j.Band)
}

// bandText writes a band; an end that is not known is left open.
func bandText(b *sootline.Band) string {
	if b == nil {
		return ""
	}
	low, high := number(b.Low), number(b.High)
	switch {
	case low == "" && high == "":
		return ""
	case low == "":
		return "up to " + high
	case high == "":
		return "from " + low
	}
	return low + " to " + high
}

func settingLines(values map[string]string) []string {
	lines := make([]string, 0, len(values))
	for name, choice := range values {
		lines = append(lines, name+" "+choice)
	}
	slices.Sort(lines)
	return lines
}
