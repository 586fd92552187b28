package keep

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"testing"

	"sootline/internal/fuzzing"
)

// FuzzCopyName: a name that is taken for that of a copy is the one that the copy has.
func FuzzCopyName(f *testing.F) {
	f.Add("book-20261130T081500Z.db")
	f.Add("book-20261130T081500Z.db.age")
	f.Add("book-20261130T081500Z.db.1234.part")
	f.Fuzz(func(t *testing.T, name string) {
		fuzzing.Within(t, len(name), func() {
			if kept, ok := ParseName(name); ok && kept.Name() != name {
				t.Fatalf("%q is read as %q", name, kept.Name())
			}
			begunFor(name)
			Recipients([]string{name}) //nolint:errcheck // that it ends is what is asked
		})
	})
}

// FuzzSealed: what lies in a place, and the state file, are read or refused.
func FuzzSealed(f *testing.F) {
	f.Add([]byte(ageMark + "\n-> X25519 abc\n"))
	f.Add([]byte("SQLite format 3\x00"))
	f.Add([]byte(`{"places":{"/mnt":{"failed":"no room"}},"marks":{"book-20261130T081500Z.db":{}}}`))
	key := filepath.Join(f.TempDir(), "key")
	if _, err := MakeKey(key); err != nil {
		f.Fatal(err)
	}
	with, err := Identities(key)
	if err != nil {
		f.Fatal(err)
	}
	path := filepath.Join(f.TempDir(), "state")
	f.Fuzz(func(t *testing.T, content []byte) {
		fuzzing.Within(t, len(content), func() {
			plain, err := opened(bytes.NewReader(content), "it", with)
			if err == nil {
				_, err = io.Copy(io.Discard, plain)
			}
			if err != nil && !bytes.HasPrefix(content, []byte(ageMark)) {
				t.Fatal("what is not encrypted is refused: ", err)
			}
			if err := os.WriteFile(path, content, 0o600); err != nil {
				t.Fatal(err)
			}
			state, err := ReadState(path)
			if err != nil || state.Places == nil || state.Marks == nil {
				t.Fatalf("%+v, %v", state, err)
			}
			if _, err := json.Marshal(state); err != nil {
				t.Fatal(err)
			}
			Identities(path) //nolint:errcheck // that it ends is what is asked
		})
	})
}
