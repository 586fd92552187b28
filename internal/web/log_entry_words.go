package web

import (
	"bytes"
	"encoding/json"
	"strings"

	"sootline"
)

// saidInFull tells all that an entry says, by the labels of its form, in the order in which it stands in the log.
func saidInFull(body sootline.Body) ([]labelled, error) {
	raw, err := json.Marshal(body)
	if err != nil {
		return nil, err
	}
	labels := map[string]string{}
	for _, field := range sootline.FieldsOf(body.Kind()) {
		labels[field.Key] = field.Label
		if field.Over != "" {
			labels[field.Over] = field.Label + ": over the range of the meter"
		}
	}
	read := json.NewDecoder(bytes.NewReader(raw))
	if _, err := read.Token(); err != nil {
		return nil, err
	}
	var said []labelled
	for read.More() {
		key, err := read.Token()
		if err != nil {
			return nil, err
		}
		var value json.RawMessage
		if err := read.Decode(&value); err != nil {
			return nil, err
		}
		text, err := valueInWords(value)
		if err != nil {
			return nil, err
		}
		label, _ := key.(string)
		if known := labels[label]; known != "" {
			label = known
		}
		said = append(said, labelled{label, text})
	}
	return said, nil
}

// valueInWords writes a value as one would list it: what several hold with commas, what has parts with their names.
func valueInWords(value json.RawMessage) (string, error) {
	switch value[0] {
	case '"':
		var text string
		err := json.Unmarshal(value, &text)
		return text, err
	case '[', '{':
		return partsInWords(value)
	case 't':
		return "yes", nil
	case 'f':
		return "no", nil
	case 'n':
		return "not said", nil
	}
	return string(value), nil
}

// partsInWords writes a list, or an object with the names of its parts.
func partsInWords(value json.RawMessage) (string, error) {
	read := json.NewDecoder(bytes.NewReader(value))
	if _, err := read.Token(); err != nil {
		return "", err
	}
	separator, parts := ", ", []string(nil)
	for read.More() {
		name := ""
		if value[0] == '{' {
			key, err := read.Token()
			if err != nil {
				return "", err
			}
			name, _ = key.(string)
			name += " "
		}
		var part json.RawMessage
		if err := read.Decode(&part); err != nil {
			return "", err
		}
		if part[0] == '{' {
			separator = "; "
		}
		text, err := valueInWords(part)
		if err != nil {
			return "", err
		}
		parts = append(parts, name+text)
	}
	return strings.Join(parts, separator), nil
}
