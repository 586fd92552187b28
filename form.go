package sootline

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Field is one field of the form that says what an entry says. Each key of a
// kind's JSON is one field, so that a form loses nothing.
type Field struct {
	Key     string   // of the body's JSON
	Label   string   // what people read beside it
	Input   Input    // how it is typed
	Choices []Choice // for a Choice input
	Needed  bool     // the entry says nothing without it
	Seldom  bool     // it is hardly ever typed: a form keeps it out of the way
	Unit    string   // of a number that a meter shows; it may be typed behind it
	Danger  float64  // of such a number: from this one nobody goes on; 0: none
	Over    string   // the key that says of such a number that the meter was over its range; empty: there is none
}

// Choice is one of several that a field can have.
type Choice struct{ Value, Says string }

// Input says how the text of a field is typed.
type Input string

// The inputs. Everything but a flag is text; an empty text leaves the key out.
const (
	TextInput     Input = "text"     // words
	WholeInput    Input = "whole"    // a whole number
	NumberInput   Input = "number"   // a number, with a point
	SamplesInput  Input = "samples"  // numbers with spaces between them
	FlagInput     Input = "flag"     // "yes", or empty
	ChoiceInput   Input = "choice"   // one of Choices, or empty
	OutcomeInput  Input = "outcome"  // "passed" or "failed": an empty form must not tell of a pass
	SettingsInput Input = "settings" // a line each: name=choice
	LinesInput    Input = "lines"    // a line each
	EntryInput    Input = "entry"    // the id of an entry
	PhotoInput    Input = "photo"    // the hash of a picture
	DayInput      Input = "day"      // 2026-01-15
	PlainInput    Input = "json"     // JSON, where no form would do
)

// Form is what is typed into the fields of a kind, by key.
type Form map[string]string

// FieldsOf lists the fields of a kind, in order; none for amendments, which are
// made of the entry that they name.
func FieldsOf(kind Kind) []Field {
	row, ok := findKind(kind)
	if !ok || row.kind == CorrectedKind || row.kind == WithdrawnKind {
		return nil
	}
	return row.fields()
}

// FormOf gives the form that says what the body says.
func FormOf(body Body) (Form, error) {
	raw, err := appendBody(nil, body)
	if err != nil {
		return nil, err
	}
	var said map[string]json.RawMessage
	if err := json.Unmarshal(raw, &said); err != nil {
		return nil, err
	}
	form := Form{}
	for _, field := range FieldsOf(body.Kind()) {
		value, ok := said[field.Key]
		if ok || field.Input == OutcomeInput { // a pass is a key left out
			if form[field.Key], err = field.text(value); err != nil {
				return nil, fmt.Errorf("field %s: %w", field.Key, err)
			}
			if field.Over != "" && string(said[field.Over]) == "true" {
				form[field.Key] = ">" + form[field.Key]
			}
		}
	}
	return form, nil
}

// BodyOf makes the body that a form says. A key that the kind does not have, and
// a text that is not what its field takes, are errors.
func BodyOf(kind Kind, form Form) (Body, error) {
	fields := FieldsOf(kind)
	for key, text := range form {
		if text != "" && !slices.ContainsFunc(fields, func(f Field) bool { return f.Key == key }) {
			return nil, Errorf(Invalid, "leave it out", "an entry of kind %s does not say %q", kind, clip(key))
		}
	}
	said := map[string]json.RawMessage{}
	for _, field := range fields {
		text := form[field.Key]
		switch {
		case strings.TrimSpace(text) != "":
			text, over := field.overRange(text)
			value, err := field.value(text)
			if err != nil {
				return nil, err
			}
			said[field.Key] = value
			if over {
				said[field.Over] = json.RawMessage("true")
			}
		case field.Needed && field.Input == TextInput: // whether it may be empty is for the body to say
			said[field.Key] = json.RawMessage(`""`)
		case field.Needed:
			return nil, Errorf(Invalid, "", "an entry of kind %s needs: %s", kind, field.Label)
		}
	}
	raw, err := json.Marshal(said)
	if err != nil {
		return nil, err
	}
	return DecodeBody(kind, raw)
}
