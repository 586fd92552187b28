package main

import (
	"testing"
	"time"

	"sootline/internal/live"
)

// FuzzTeach: what is typed of lines and words is understood, or refused in a sentence.
func FuzzTeach(f *testing.F) {
	f.Add("1 day=12.03.26 event=FIRE:alarm number=7")
	f.Add("1-2 text=")
	f.Fuzz(func(t *testing.T, typed string) {
		heard := []live.Chunk{{At: time.Unix(0, 0), Bytes: []byte("12.03.26 FIRE 7\nx\n")}}
		_, err := exampleIn(heard, typed)
		saysWhy(t, err)
		_, _, err = eventIn(typed)
		saysWhy(t, err)
	})
}

func saysWhy(t *testing.T, err error) {
	t.Helper()
	if err != nil && err.Error() == "" {
		t.Error("an error without words")
	}
}
