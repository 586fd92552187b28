package ear

import (
	"bufio"
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
			in := bufio.NewReaderSize(bytes.NewReader(data), messageMost)
			total := 0
			for {
				b, err := message(in)
				if err != nil {
					break
				}
				if total += len(b); total > len(data) {
					t.Fatalf("%d bytes of messages from %d", total, len(data))
				}
			}
		})
	})
}
