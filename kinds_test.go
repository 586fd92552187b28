package sootline

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Every key of every kind is one field of its form, and what a form cannot type
// is JSON: so nothing that an entry says is lost between its JSON and its form.
func TestEveryKeyIsAField(t *testing.T) {
	for _, row := range kinds() {
		fields := FieldsOf(row.kind)
		if isAmendment := row.kind == CorrectedKind || row.kind == WithdrawnKind; isAmendment != (len(fields) == 0) {
			t.Errorf("kind %s has %d fields", row.kind, len(fields))
		}
		seen := map[string]bool{}
		for _, f := range fields {
			if f.Key == "" || f.Label == "" || f.Input == "" || seen[f.Key] {
				t.Errorf("kind %s has the field %+v", row.kind, f)
			}
			seen[f.Key] = true
		}
	}
}

// JSON to body to form to body: equal for every kind, whatever it says.
func TestFormsLoseNothing(t *testing.T) {
	for _, row := range kinds() {
		if len(FieldsOf(row.kind)) == 0 {
			continue
		}
		t.Run(string(row.kind), func(t *testing.T) {
			taken := 0
			rapid.Check(t, func(t *rapid.T) {
				body, err := DecodeBody(row.kind, drawJSON(t, reflect.TypeOf(zeroBody(row))))
				if err != nil {
					return
				}
				taken++
				form, err := FormOf(body)
				if err != nil {
					t.Fatal(err)
				}
				again, err := BodyOf(row.kind, form)
				if err != nil {
					t.Fatalf("form %q: %v", form, err)
				}
				one, err1 := appendBody(nil, body)
				two, err2 := appendBody(nil, again)
				if err1 != nil || err2 != nil || !bytes.Equal(one, two) {
					t.Fatalf("%s became %s (%v, %v)", one, two, err1, err2)
				}
				if body.say() == "" {
					t.Fatalf("%s says nothing", one)
				}
			})
			if taken < 5 && !testing.Short() { // with -short a fifth is drawn
				t.Errorf("only %d bodies of this kind could be drawn", taken)
			}
		})
	}
}

// zeroBody gives an empty body of the kind.
func zeroBody(row kindRow) Body {
	for _, body := range []Body{
		Read{},
		Cleaned{},
		Replaced{},
		Tested{},
		Unreached{},
		Rebased{},
		Defect{},
		Fault{},
		Followed{},
		Mended{},
		Retested{},
		Disabled{},
		Restored{},
		Alarm{},
		Note{},
		Addressed{},
		Set{},
		Wish{},
		Changed{},
		Pinned{},
		Fitted{},
		Moved{},
		Removed{},
		Visit{},
		Opened{},
		Service{},
		LoopFacts{},
		AreaFacts{},
		Supply{},
		LoadList{},
		Radial{},
		Measured{},
		Sheet{},
		Issued{},
		Alias{},
		Source{},
		Taken{},
		Bench{},
		Benched{},
	} {
		if body.Kind() == row.kind {
			return body
		}
	}
	panic("no body of kind " + row.kind)
}

// drawJSON draws the JSON of a struct: each key may be there or not.
func drawJSON(t *rapid.T, of reflect.Type) []byte {
	said := map[string]any{}
	drawKeys(t, of, said)
	raw, err := json.Marshal(said)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

func drawKeys(t *rapid.T, of reflect.Type, said map[string]any) {
	for i := range of.NumField() {
		part := of.Field(i)
		tag, isKey := part.Tag.Lookup("json")
		if part.Anonymous && !isKey {
			drawKeys(t, part.Type, said)
			continue
		}
		key, options, _ := strings.Cut(tag, ",")
		if options == "" || rapid.Bool().Draw(t, key) {
			said[key] = drawValue(t, part.Type, key)
		}
	}
}

func drawValue(t *rapid.T, of reflect.Type, key string) any {
	if c, ok := reflect.Zero(of).Interface().(chooser); ok {
		return rapid.SampledFrom(c.choices()).Draw(t, key).Value
	}
	switch of {
	case reflect.TypeFor[ID]():
		return DerivedID(epoch, []byte(fmt.Sprint(rapid.IntRange(0, 9).Draw(t, key)))).String()
	case reflect.TypeFor[Hash]():
		return Hash{1, 2}.String()
	}
	switch of.Kind() {
	case reflect.Pointer:
		return drawValue(t, of.Elem(), key)
	case reflect.Bool:
		return true
	case reflect.Int, reflect.Int64:
		return rapid.IntRange(1, 20).Draw(t, key)
	case reflect.Float64:
		x := rapid.Float64Range(0, 1e9).Draw(t, key)
		return math.Round(x*1000) / 1000
	case reflect.String:
		return drawText(t, key)
	case reflect.Slice:
		n := rapid.IntRange(1, 3).Draw(t, key)
		list := make([]any, n)
		for i := range list {
			list[i] = drawValue(t, of.Elem(), key)
		}
		return list
	case reflect.Map:
		return map[string]any{drawText(t, key): drawValue(t, of.Elem(), key)}
	case reflect.Struct:
		said := map[string]any{}
		drawKeys(t, of, said)
		return said
	}
	t.Fatalf("no value for %s of %s", key, of)
	return nil
}

func drawText(t *rapid.T, key string) string {
	switch key {
	case "photo", "content":
		return strings.Repeat("0af9", 16)
	case "by_day", "day":
		return "2026-03-29"
	case "form":
		return rapid.SampledFrom([]string{"zone", "life", "retest"}).Draw(t, key)
	case "known":
		return "own"
	}
	return rapid.OneOf(
		rapid.SampledFrom([]string{"a=b", " flour ", "two\nlines", `"quoted" \ <b>`, "{}", "[x]", "Ä ö 漢", "24,9", "0", "yes"}),
		rapid.StringMatching(`[a-zA-Z0-9 =,;.\n"äß-]{1,20}`),
	).Filter(func(s string) bool { return strings.TrimSpace(s) != "" }).Draw(t, key)
}
