package sootline

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
)

// The outcomes of a test, as they are typed.
const PassedOutcome, FailedOutcome = "passed", "failed"

// text gives the JSON of a key as it is typed.
func (f Field) text(raw json.RawMessage) (string, error) {
	switch f.Input {
	case TextInput, ChoiceInput, EntryInput, PhotoInput, DayInput:
		var text string
		err := json.Unmarshal(raw, &text)
		return text, err
	case FlagInput:
		if string(raw) == "true" {
			return "yes", nil
		}
		return "", nil
	case OutcomeInput:
		if string(raw) == "true" {
			return FailedOutcome, nil
		}
		return PassedOutcome, nil
	case SamplesInput:
		return strings.ReplaceAll(strings.Trim(string(raw), "[]"), ",", " "), nil
	case SettingsInput:
		return settingLines(raw)
	case LinesInput:
		return plainLines(raw)
	}
	return string(raw), nil
}

// Joined gives what was typed in several parts as one text of the field. Where a
// field has one value the last part is it.
func (f Field) Joined(parts []string) string {
	switch f.Input {
	case SamplesInput:
		return strings.Join(parts, " ")
	case SettingsInput, LinesInput:
		return strings.Join(parts, "\n")
	}
	if len(parts) == 0 {
		return ""
	}
	return parts[len(parts)-1]
}

// Several reports whether what is typed may have several parts.
func (f Field) Several() bool {
	return f.Input == SamplesInput || f.Input == SettingsInput || f.Input == LinesInput
}

// settingLines writes name=choice, a line each; settings that lines cannot say
// stay JSON.
func settingLines(raw json.RawMessage) (string, error) {
	var settings map[string]string
	if err := json.Unmarshal(raw, &settings); err != nil {
		return "", err
	}
	var lines []string
	for _, name := range slices.Sorted(maps.Keys(settings)) {
		if strings.Contains(name, "=") || !lineText(name) || !lineText(settings[name]) {
			return string(raw), nil
		}
		lines = append(lines, name+"="+settings[name])
	}
	return strings.Join(lines, "\n"), nil
}

func plainLines(raw json.RawMessage) (string, error) {
	var lines []string
	if err := json.Unmarshal(raw, &lines); err != nil {
		return "", err
	}
	if slices.ContainsFunc(lines, func(line string) bool { return line == "" || !lineText(line) }) {
		return string(raw), nil
	}
	return strings.Join(lines, "\n"), nil
}

// lineText reports whether a text can stand in a line of its own and be read back.
func lineText(s string) bool {
	return s == strings.TrimSpace(s) && !strings.ContainsAny(s, "\r\n") && !strings.HasPrefix(s, "{") && !strings.HasPrefix(s, "[")
}

// value gives the JSON of what was typed.
func (f Field) value(text string) (json.RawMessage, error) {
	trimmed := strings.TrimSpace(text)
	switch f.Input {
	case TextInput:
		return json.Marshal(text)
	case EntryInput, PhotoInput:
		return json.Marshal(trimmed)
	case ChoiceInput:
		return f.choice(trimmed)
	case DayInput:
		if _, err := time.Parse(time.DateOnly, trimmed); err != nil {
			return nil, f.mistyped(trimmed, "a day such as 2026-01-15")
		}
		return json.Marshal(trimmed)
	case FlagInput:
		return json.RawMessage("true"), nil
	case OutcomeInput:
		_, err := f.choice(trimmed)
		return json.RawMessage(strconv.FormatBool(trimmed == FailedOutcome)), err
	case WholeInput:
		n, err := strconv.Atoi(trimmed)
		if err != nil {
			return nil, f.mistyped(trimmed, "a whole number such as 25")
		}
		return json.Marshal(n)
	case NumberInput:
		if f.Unit != "" {
			return f.reading(trimmed)
		}
		return f.number(trimmed)
	case SamplesInput:
		return f.samples(trimmed)
	case SettingsInput:
		return f.settings(trimmed)
	case LinesInput:
		return f.lines(trimmed)
	}
	if !json.Valid([]byte(trimmed)) {
		return nil, f.mistyped(trimmed, "JSON, as docs/formats/log.md has it")
	}
	return json.RawMessage(trimmed), nil
}

func (f Field) mistyped(text, expected string) error {
	return Errorf(Invalid, "write "+expected, "%s: %q is not %s", f.Label, clip(text), expected)
}

func (f Field) choice(text string) (json.RawMessage, error) {
	var values []string
	for _, choice := range f.Choices {
		if choice.Value == text {
			return json.Marshal(text)
		}
		values = append(values, choice.Value)
	}
	return nil, Errorf(Invalid, "say one of: "+strings.Join(values, ", "), "%s: %q is not one of the choices", f.Label, clip(text))
}

// number takes a point or a comma before the decimals.
func (f Field) number(text string) (json.RawMessage, error) {
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !finite(x) {
		return nil, f.mistyped(text, "a number such as 24.5")
	}
	return appendNumber(nil, x), nil
}

// samples takes numbers with spaces, semicolons or ends of lines between them.
// Where several stand so, a comma in one of them is its decimal mark; in one that
// stands alone, as 24,9, it could as well part two samples, and is refused.
func (f Field) samples(text string) (json.RawMessage, error) {
	fields := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ;\t\n\r", r) })
	raw := []byte{'['}
	for i, field := range fields {
		field = strings.TrimSuffix(field, ",")
		if strings.Contains(field, ",") && (len(fields) == 1 || partsThousands(field)) {
			return nil, twoWays(field)
		}
		x, err := strconv.ParseFloat(strings.Replace(field, ",", ".", 1), 64)
		if err != nil || !finite(x) {
			return nil, f.mistyped(field, "a number; several have spaces between them, as in 25 26 25")
		}
		if i > 0 {
			raw = append(raw, ',')
		}
		raw = appendNumber(raw, x)
	}
	return append(raw, ']'), nil
}

// partsThousands reports whether a comma could part thousands, as in 1,234.
func partsThousands(field string) bool {
	_, after, _ := strings.Cut(field, ",")
	return len(after) == 3
}

// twoWays refuses a comma that could part samples, with both ways to write what
// is meant.
func twoWays(field string) error {
	point, spaces := strings.Replace(field, ",", ".", 1), strings.ReplaceAll(field, ",", " ")
	if strings.Count(field, ",") > 1 {
		return Errorf(Invalid, "write samples with spaces between them, \""+spaces+"\"", "%q: nobody can tell whether a comma parts samples or is a decimal mark", clip(field))
	}
	return Errorf(Invalid, "write "+point+" for one sample, or \""+spaces+"\" for two", "%q could be one sample or two", clip(field))
}

func (f Field) settings(text string) (json.RawMessage, error) {
	if strings.HasPrefix(text, "{") {
		return json.RawMessage(text), nil
	}
	settings := map[string]string{}
	for line := range strings.SplitSeq(text, "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		name, choice, ok := strings.Cut(line, "=")
		if !ok {
			return nil, f.mistyped(line, "a setting such as sensitivity=high")
		}
		settings[strings.TrimSpace(name)] = strings.TrimSpace(choice)
	}
	return json.Marshal(settings)
}

func (f Field) lines(text string) (json.RawMessage, error) {
	if strings.HasPrefix(text, "[") {
		return json.RawMessage(text), nil
	}
	var lines []string
	for line := range strings.SplitSeq(text, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return json.Marshal(lines)
}

// chooser is a named type with a list of its values.
type chooser interface{ choices() []Choice }

// fieldsOf reads the fields of a kind off its struct: each key of its JSON, with
// the label of the tag "form" (else the key itself), and the input that goes with
// its type.
func fieldsOf[B Body]() []Field {
	return structFields(reflect.TypeFor[B]())
}

func structFields(t reflect.Type) []Field {
	var fields []Field
	for i := range t.NumField() {
		part := t.Field(i)
		tag, isKey := part.Tag.Lookup("json")
		if part.Anonymous && !isKey {
			fields = append(fields, structFields(part.Type)...)
			continue
		}
		key, options, _ := strings.Cut(tag, ",")
		label := part.Tag.Get("form")
		if label == "-" { // another field types it
			continue
		}
		if label == "" {
			label = strings.ReplaceAll(key, "_", " ")
		}
		f := Field{Key: key, Label: label, Input: inputFor(part), Needed: options == ""}
		_, f.Seldom = part.Tag.Lookup("seldom")
		f.Unit, f.Over = part.Tag.Get("unit"), part.Tag.Get("over")
		if _, ok := part.Tag.Lookup("danger"); ok {
			f.Danger = DangerousVolts
		}
		if f.Input == OutcomeInput {
			f.Needed, f.Choices = true, []Choice{{PassedOutcome, "passed, it is in order"}, {FailedOutcome, "NOT passed"}}
		}
		if c, ok := reflect.Zero(part.Type).Interface().(chooser); ok {
			f.Input, f.Choices = ChoiceInput, c.choices()
		}
		fields = append(fields, f)
	}
	return fields
}

// inputFor gives the input of a field: the one of its tag "input", else that of
// its type.
func inputFor(part reflect.StructField) Input {
	if input := part.Tag.Get("input"); input != "" {
		return Input(input)
	}
	t := part.Type
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t {
	case reflect.TypeFor[[]float64]():
		return SamplesInput
	case reflect.TypeFor[map[string]string]():
		return SettingsInput
	case reflect.TypeFor[[]string](), reflect.TypeFor[[]ID]():
		return LinesInput
	case reflect.TypeFor[ID]():
		return EntryInput
	}
	switch t.Kind() {
	case reflect.String:
		return TextInput
	case reflect.Bool:
		return FlagInput
	case reflect.Int:
		return WholeInput
	case reflect.Float64:
		return NumberInput
	}
	return PlainInput
}
