package sootline

import (
	"bytes"
	"testing"
)

// What was no UTF-8 when it was written reads back, in its one spelling; a text that
// spells the mark out stays what it is.
func TestBodyOfUnsoundText(t *testing.T) {
	for _, text := range []string{"a\xb9b", `a\ufffd`, `\\ufffd`, "\xff\\\xff", "\ufffd"} {
		for _, body := range []Body{Note{Text: text}, Bench{State: BenchOpened, Box: []BoxDevice{{Unit: Unit{Serial: text}}}}, Set{Found: map[string]string{text: text}}} {
			once, err := appendBody(nil, body)
			if err != nil {
				t.Fatal(err)
			}
			again, err := DecodeBody(body.Kind(), once)
			if err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			if twice, err := appendBody(nil, again); err != nil || !bytes.Equal(once, twice) {
				t.Errorf("%q is %s, then %s (%v)", text, once, twice, err)
			}
		}
	}
}
