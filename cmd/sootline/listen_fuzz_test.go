package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"sootline/internal/live"
)

// FuzzTeach: what is typed of lines, words and maps is understood, or refused in a sentence.
func FuzzTeach(f *testing.F) {
	f.Add("1 day=12.03.26 event=FIRE:alarm number=7", "1.1.001,3,4,0,0.1\n")
	f.Add("1-2 text=", "point,unit,table,register,scale\n1.1.001,3,5,0\n")
	f.Fuzz(func(t *testing.T, typed, table string) {
		heard := []live.Chunk{{At: time.Unix(0, 0), Bytes: []byte("12.03.26 FIRE 7\nx\n")}}
		_, err := exampleIn(heard, typed)
		saysWhy(t, err)
		_, _, err = eventIn(typed)
		saysWhy(t, err)
		path := filepath.Join(t.TempDir(), "map.csv")
		if err := os.WriteFile(path, []byte(table), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err = readMap(path)
		saysWhy(t, err)
	})
}

func saysWhy(t *testing.T, err error) {
	t.Helper()
	if err != nil && err.Error() == "" {
		t.Error("an error without words")
	}
}
