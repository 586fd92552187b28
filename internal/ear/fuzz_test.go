package ear

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"sootline/internal/fuzzing"
)

// FuzzJournal: any file in the place of a journal is refused in a sentence, or goes on where it ends.
func FuzzJournal(f *testing.F) {
	f.Add([]byte(`{"at":"2026-03-14T09:12:00Z","from":0,"bytes":"YQo=","prev":"","hash":"x"}` + "\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		folder := t.TempDir()
		if err := os.WriteFile(filepath.Join(folder, "heard-0000000000000000.jsonl"), data, 0o600); err != nil {
			t.Fatal(err)
		}
		j, err := OpenJournal(folder)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		defer j.Close()
		if err := j.Add(Heard{At: time.Unix(0, 0), Bytes: []byte("a")}); err != nil {
			t.Fatal(err)
		}
		_ = j.Each(0, func(int64, Heard) error { return nil }) // refused, where a hash is not what it should be
	})
}

// FuzzMessages: any bytes of a sender are messages or refused; what is read is no more than what came.
func FuzzMessages(f *testing.F) {
	f.Add([]byte("11 <134>1 - - 5 <1>1\n<134>1 - a\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		fuzzing.Within(t, len(data), func() {
			total := 0
			out := Out{Now: time.Now, Say: func(string) {}, Hear: func(h Heard) error { total += len(h.Bytes) - 1; return nil }}
			h := &hearsay{out: out}
			_ = h.messages(bytes.NewReader(data)) // refused, or read to the end
			if total > len(data) {
				t.Fatalf("%d bytes of messages from %d", total, len(data))
			}
		})
	})
}

// FuzzPlace: whatever stands where a journal says how far a file was read, the file is read from there, or from its beginning.
func FuzzPlace(f *testing.F) {
	f.Add("3 47DEQpj8HBSa-_TImW-5JA", "abcdef")
	f.Fuzz(func(t *testing.T, place, content string) {
		path := filepath.Join(t.TempDir(), "printed.txt")
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		var got []byte
		g := &growing{path: path, out: Out{Now: time.Now, Say: func(string) {}, Hear: func(h Heard) error { got = append(got, h.Bytes...); return nil }}}
		defer g.leave()
		if err := g.begin(place); err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
		if err := g.step(); err != nil {
			t.Fatal(err)
		}
		if !bytes.HasSuffix([]byte(content), got) {
			t.Errorf("of %q it read %q", content, got)
		}
	})
}
