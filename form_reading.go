package sootline

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
)

// unitSpellings are how a unit is written behind a reading, with what it comes to in the base unit of its kind.
var unitSpellings = []struct {
	text, kind string
	times      float64
}{
	{"megohms", "ohm", 1e6},
	{"megohm", "ohm", 1e6},
	{"gigohm", "ohm", 1e9},
	{"kilohm", "ohm", 1e3},
	{"Gohm", "ohm", 1e9},
	{"GΩ", "ohm", 1e9},
	{"GΩ", "ohm", 1e9},
	{"Mohm", "ohm", 1e6},
	{"MOhm", "ohm", 1e6},
	{"MΩ", "ohm", 1e6},
	{"MΩ", "ohm", 1e6},
	{"kohm", "ohm", 1e3},
	{"kOhm", "ohm", 1e3},
	{"kΩ", "ohm", 1e3},
	{"kΩ", "ohm", 1e3},
	{"ohms", "ohm", 1},
	{"ohm", "ohm", 1},
	{"Ohm", "ohm", 1},
	{"Ω", "ohm", 1},
	{"Ω", "ohm", 1},
	{"mV", "V", 1e-3},
	{"volts", "V", 1},
	{"V", "V", 1},
	{"v", "V", 1},
	{"mA", "A", 1e-3},
	{"ma", "A", 1e-3},
	{"A", "A", 1},
	{"°C", "C", 1},
	{"C", "C", 1},
	{"%", "%", 1},
}

// unitsOf gives the kind of a field's unit, and what one of it comes to.
func unitsOf(unit string) (kind string, times float64) {
	for _, u := range unitSpellings {
		if u.text == unit {
			return u.kind, u.times
		}
	}
	return "", 1
}

// reading takes a number as a meter shows it, its unit behind it: 2.1, "2.1 ohm", "2 kohm".
func (f Field) reading(text string) (json.RawMessage, error) {
	kind, times := unitsOf(f.Unit)
	number, factor := text, 1.0
	for _, u := range unitSpellings {
		if before, ok := strings.CutSuffix(text, u.text); ok && u.kind == kind {
			number, factor = strings.TrimSpace(before), u.times/times
			break
		}
	}
	x, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if err != nil || !finite(x) {
		expected := "a number such as 24.5, with or without " + f.Unit + " behind it"
		if f.Over != "" {
			expected += ", or >500 where the meter was over its range"
		}
		return nil, f.mistyped(text, expected)
	}
	if factor != 1 {
		x = math.Round(x*factor*1e9) / 1e9 // 2 mV are 0.002 V and not 0.0020000000000000005
	}
	return appendNumber(nil, x), nil
}

// overMarks are written before what is over the range of a meter.
var overMarks = []string{">=", "≥", ">", "over ", "more than ", "at least "}

// overRange cuts off what says that the meter was over its range: at least so much.
func (f Field) overRange(text string) (rest string, over bool) {
	if f.Over == "" {
		return text, false
	}
	text = strings.TrimSpace(text)
	for _, mark := range overMarks {
		if rest, ok := strings.CutPrefix(text, mark); ok {
			return strings.TrimSpace(rest), true
		}
	}
	return text, false
}

// Typed is the pattern of what [Field.reading] takes, for a face that asks before the log does: a regular expression that Go
// and browsers read alike. Empty: the field is no reading.
func (f Field) Typed() string {
	if f.Unit == "" {
		return ""
	}
	kind, _ := unitsOf(f.Unit)
	var units []string
	for _, u := range unitSpellings {
		if u.kind == kind {
			units = append(units, u.text)
		}
	}
	number, over := `\d+(?:[.,]\d+)?`, ""
	if kind == "C" { // all else that a meter shows of a loop is none or more
		number = "-?" + number
	}
	if f.Over != "" {
		over = "(?:(?:" + strings.Join(overMarks, "|") + `)\s*)?`
	}
	return `^\s*` + over + number + `\s*(?:` + strings.Join(units, "|") + `)?\s*$`
}
