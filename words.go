package sootline

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Say tells in words what an entry says: the one wording for page, phone, paper
// and terminal.
func Say(body Body) string { return body.say() }

// Joined puts commas between what there is to say, each once.
func Joined(parts ...string) string {
	var said []string
	for _, part := range parts {
		if part != "" && !slices.Contains(said, part) {
			said = append(said, part)
		}
	}
	return strings.Join(said, ", ")
}

// Capital begins a text with a capital letter. A site, a room or a source may begin with any letter.
func Capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	if size == 0 || first == utf8.RuneError {
		return text
	}
	return string(unicode.ToUpper(first)) + text[size:]
}

// AsSentence begins a text with a capital letter and ends it with a full stop; of nothing it makes nothing.
func AsSentence(text string) string {
	if text == "" {
		return ""
	}
	return Capital(text) + "."
}

// figure writes a number with its unit; nothing when it is not known.
func figure(x float64, unit string) string {
	if x == 0 {
		return ""
	}
	return figureText(x) + "\u202f" + unit
}

// figureText writes a number with at most three digits after the point.
func figureText(x float64) string {
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}

func numberSaid(what string, n int) string {
	if n == 0 {
		return ""
	}
	return what + " " + strconv.Itoa(n)
}

func labelledText(label, text string) string {
	if text == "" {
		return ""
	}
	return label + " " + text
}

func countSaid(n int, one, several string) string {
	switch n {
	case 0:
		return ""
	case 1:
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}

func samplesSaid(values []float64) string {
	const most = 6
	texts := make([]string, 0, most+1)
	for _, x := range values[:min(most, len(values))] {
		texts = append(texts, figureText(x))
	}
	if len(values) > most {
		texts = append(texts, fmt.Sprintf("… (%d samples)", len(values)))
	}
	return strings.Join(texts, " · ")
}

func settingsSaid(what string, values map[string]string) string {
	if len(values) == 0 {
		return ""
	}
	lines := make([]string, 0, len(values))
	for _, name := range slices.Sorted(maps.Keys(values)) {
		lines = append(lines, strings.TrimSpace(name+" "+values[name]))
	}
	return what + " " + strings.Join(lines, ", ")
}

// listed writes names with commas.
func listed(names []string) string { return strings.Join(names, ", ") }

// rest says what a body says beside what was said already: a label and a value
// for each of its other keys.
func rest(body Body, already ...string) string {
	form, err := FormOf(body)
	if err != nil {
		return err.Error()
	}
	var parts []string
	for _, f := range FieldsOf(body.Kind()) {
		text := form[f.Key]
		if text == "" || slices.Contains(already, f.Key) {
			continue
		}
		switch f.Input {
		case FlagInput:
			text = ""
		case PlainInput:
			text = plainSaid(text)
		case LinesInput, SettingsInput:
			text = strings.ReplaceAll(text, "\n", ", ")
		}
		parts = append(parts, strings.TrimSpace(f.Label+" "+text))
	}
	return Joined(parts...)
}

// plainSaid tells JSON as keys and values with commas, without its marks.
func plainSaid(raw string) string {
	dec := json.NewDecoder(strings.NewReader(raw))
	dec.UseNumber()
	var b bytes.Buffer
	if err := sayValue(dec, &b); err != nil {
		return raw
	}
	return b.String()
}

// sayValue writes the next value: what is in an object or a list, with commas.
func sayValue(dec *json.Decoder, b *bytes.Buffer) error {
	token, err := dec.Token()
	if err != nil {
		return err
	}
	open, isDelim := token.(json.Delim)
	if !isDelim {
		fmt.Fprint(b, token)
		return nil
	}
	for first := true; dec.More(); first = false {
		if !first {
			b.WriteString(", ")
		}
		if open == '{' {
			key, err := dec.Token()
			if err != nil {
				return err
			}
			fmt.Fprintf(b, "%v ", key)
		}
		if err := sayValue(dec, b); err != nil {
			return err
		}
	}
	_, err = dec.Token() // what closes it
	return err
}
