package sootline

import (
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"
)

// What meters cannot have shown is refused with what it is, and what to do.
func TestMeasuredRefused(t *testing.T) {
	for reason, m := range map[string]Measured{
		"-23 V at OUT is reversed polarity":           {OutVolts: new(-23.0)},
		"-21.5 V at the far end is reversed polarity": {OutVolts: new(23.0), FarVolts: new(-21.5)},
		"flows the other way":                         {RestMA: new(-3.0)},
		"dangerous":                                   {OutVolts: new(240.0)},
		"0 ohm":                                       {PlusOhms: new(0.0)},
	} {
		m.Panel, m.Loop = "1", "1"
		at := time.Date(2026, 1, 20, 9, 0, 0, 0, time.UTC)
		e := Entry{ID: DerivedID(at, []byte("m")), Site: DerivedID(at, []byte("s")), At: at, Noted: at, Station: "laptop", Body: m}
		if err := e.CheckNew(); err == nil || !strings.Contains(err.Error(), reason) || ErrorHint(err) == "" {
			t.Errorf("%s: %v", reason, err)
		}
	}
}

// Readings are typed as a meter shows them: with their unit, and as more than its range, which is kept as at least that.
func TestReadingsAsMetersShowThem(t *testing.T) {
	for _, c := range []struct{ key, typed, json string }{
		{"plus_ohms", "2.1 ohm", `"plus_ohms":2.1`},
		{"plus_ohms", "2,1Ω", `"plus_ohms":2.1`},
		{"minus_ohms", "2 kohm", `"minus_ohms":2000`},
		{"minus_ohms", "> 2000", `"minus_ohms":2000,"minus_over":true`},
		{"plus_earth_mohm", ">500", `"plus_earth_mohm":500,"plus_earth_over":true`},
		{"plus_earth_mohm", ">500 MΩ", `"plus_earth_mohm":500,"plus_earth_over":true`},
		{"minus_earth_mohm", "800 kohm", `"minus_earth_mohm":0.8`},
		{"minus_earth_mohm", "over 1 Gohm", `"minus_earth_mohm":1000,"minus_earth_over":true`},
		{"out_volts", "24.1 V", `"out_volts":24.1`},
		{"rest_ma", "0.0124 A", `"rest_ma":12.4`},
		{"celsius", "-5 °C", `"celsius":-5`},
	} {
		body, err := BodyOf(MeasuredKind, Form{"panel": "1", "loop": "1", c.key: c.typed})
		if err != nil {
			t.Errorf("%s %q: %v", c.key, c.typed, err)
			continue
		}
		raw, err := appendBody(nil, body)
		if err != nil || !strings.Contains(strings.ReplaceAll(string(raw), ": ", ":"), c.json) {
			t.Errorf("%s %q: %s, %v", c.key, c.typed, raw, err)
		}
		form, err := FormOf(body)
		if err != nil {
			t.Fatal(err)
		}
		if again, err := BodyOf(MeasuredKind, form); err != nil || !reflect.DeepEqual(again, body) {
			t.Errorf("%s %q is %q typed again: %v", c.key, c.typed, form[c.key], err)
		}
	}
	for key, typed := range map[string]string{"rest_ma": ">5", "out_volts": "24 ohm", "plus_ohms": "OL", "plus_earth_mohm": ">"} {
		if _, err := BodyOf(MeasuredKind, Form{"panel": "1", "loop": "1", key: typed}); err == nil {
			t.Errorf("%s %q is taken", key, typed)
		}
	}
}

// The pattern by which a face asks takes what the log takes, and nothing else; readings that are dangerous are left to the log.
func TestReadingsByTheirPattern(t *testing.T) {
	numbers := []string{"2", "2.1", "2,1", "0,05", "-5", "-23", "", ".", "x", "2 2", "2.", "1,2,3"}
	units := []string{"", " ohm", "Ω", " kohm", " Mohm", " V", "mV", " mA", "A", " °C", "C", " %", " m"}
	taken := 0
	for _, field := range FieldsOf(MeasuredKind) {
		if field.Unit == "" {
			continue
		}
		pattern := regexp.MustCompile(field.Typed())
		for _, mark := range []string{"", ">", "> ", "over ", "<"} {
			for _, number := range numbers {
				for _, unit := range units {
					text := mark + number + unit
					if strings.TrimSpace(text) == "" || strings.HasSuffix(number, ".") && number != "." {
						continue
					}
					_, err := BodyOf(MeasuredKind, Form{"panel": "1", "loop": "1", field.Key: text})
					if matches := pattern.MatchString(text); matches != (err == nil) {
						t.Errorf("%s %q: the pattern says %v, the log %v", field.Key, text, matches, err)
					} else if matches {
						taken++
					}
				}
			}
		}
		if is := field.Danger; is != 0 && (is != DangerousVolts || field.Unit != "V") {
			t.Errorf("%s is dangerous from %v %s", field.Key, is, field.Unit)
		}
	}
	if taken < 100 {
		t.Errorf("only %d readings were taken", taken)
	}
}
