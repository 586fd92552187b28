package main

import (
	"bytes"
	"testing"
)

// A screen shows what stored text would do to it, however the text is cut into writes.
func TestScreen(t *testing.T) {
	const text = "Mühle\x1b]0;gone\a 東京\n\xff\u009b2J"
	const want = `Mühle\x1b]0;gone\x07 東京` + "\n" + `\xff\x9b2J`
	for size := 1; size < len(text); size++ {
		var shown bytes.Buffer
		s := &screen{w: &shown}
		for at := 0; at < len(text); at += size {
			part := text[at:min(at+size, len(text))]
			if n, err := s.Write([]byte(part)); n != len(part) || err != nil {
				t.Fatal(n, err)
			}
		}
		if shown.String() != want {
			t.Errorf("in pieces of %d: %q", size, shown.String())
		}
	}
	var file bytes.Buffer
	if onScreen(&file) != &file {
		t.Error("a file is not given every byte as it is")
	}
}
