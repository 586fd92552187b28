package store

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/klauspost/compress/zstd"

	"sootline"
	"sootline/internal/fuzzing"
)

// FuzzSpots: a block that is read has one packing, keeps its order when merged, and
// is found under its first spot alone.
func FuzzSpots(f *testing.F) {
	f.Add(packSpots([]spot{{1, 2, 3}, {1, 2, 4}}), packSpots([]spot{{0, 9, 9}}))
	f.Add([]byte{1}, []byte{})
	f.Fuzz(func(t *testing.T, packed, others []byte) {
		fuzzing.Within(t, len(packed)+len(others), func() {
			spots, err := unpackSpots(packed)
			if err != nil {
				return
			}
			if !bytes.Equal(packSpots(spots), packed) {
				t.Fatalf("%x is packed as %x", packed, packSpots(spots))
			}
			more, err := unpackSpots(others)
			if err == nil {
				if all := mergeSpots(spots, more); len(all) != len(spots)+len(more) || !slices.IsSortedFunc(all, compareSpots) {
					t.Fatalf("%v and %v merge to %v", spots, more, all)
				}
			}
			_, err = scanBlock(columns(others, packed))
			if found := len(others) == spotSize && bytes.HasPrefix(packed, others); found != (err == nil) {
				t.Fatalf("a block of %x under the key %x: %v", packed, others, err)
			}
		})
	})
}

// columns gives the columns of a row as a query would.
func columns(values ...any) func(...any) error {
	return func(into ...any) error {
		for i, value := range values {
			switch into := into[i].(type) {
			case *[]byte:
				*into, _ = value.([]byte)
			case *string:
				*into, _ = value.(string)
			case *int64:
				*into, _ = value.(int64)
			}
		}
		return nil
	}
}

// FuzzPage: whatever stands in the row of a page is its lines, or an error in words;
// its lines are parsed to their end.
func FuzzPage(f *testing.F) {
	site, hash := siteID("Works"), sootline.Hash{1}.String()
	enc, err := zstd.NewWriter(nil)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(site.String(), hash, enc.EncodeAll([]byte("{}\n{}\n"), nil))
	f.Add("", "", []byte{0x28, 0xb5, 0x2f, 0xfd})
	dec, err := newDecoder()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, site, hash string, packed []byte) {
		var page openPage
		if err := page.open("book.db", columns(site, "laptop", int64(1), int64(2), hash, int64(0), int64(0), packed), dec); err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		if len(page.text) > maxPage {
			t.Fatalf("a page of %d bytes was opened", len(page.text))
		}
		fuzzing.Within(t, len(page.text), func() {
			var parser sootline.Parser
			for _, line := range sootline.SplitLines(page.text) {
				if _, err := (view{path: "book.db"}).parse(&parser, line); err != nil && err.Error() == "" {
					t.Fatal("an error without words")
				}
			}
		})
	})
}

// FuzzKept: keys and signatures as a book keeps them have one spelling.
func FuzzKept(f *testing.F) {
	f.Add("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA")
	f.Add("AAAAAAAAAAAAAAAAAAAAAA\nAAAAAAAAAAAAAAAAAAAAA")
	f.Fuzz(func(t *testing.T, text string) {
		fuzzing.Within(t, len(text), func() {
			var key sootline.Key
			if err := fill(key[:], text); err == nil && key.String() != text {
				t.Fatalf("%q is %q", text, key)
			}
		})
	})
}

// FuzzBook writes any bytes over some of a book's: it is opened and read, or refused
// in words.
func FuzzBook(f *testing.F) {
	overwritten(f, func(t *testing.T, content []byte, path string) {
		if LooksLikeABook(bytes.NewReader(content)) != bytes.HasPrefix(content, []byte(fileMark)) {
			t.Fatalf("%q is taken for another file", content[:min(len(content), 16)])
		}
		readBook(t, path)
	})
}

// FuzzBackup: a backup of which some bytes are others is put back as a book that can
// be opened, or refused in words.
func FuzzBackup(f *testing.F) {
	overwritten(f, func(t *testing.T, _ []byte, path string) {
		to := filepath.Join(filepath.Dir(path), "restored.db")
		if _, err := Restore(context.Background(), path, to, nil); err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		readBook(t, to)
	})
}

// overwritten gives a try a file that is a sound book's but for some bytes.
func overwritten(f *testing.F, try func(t *testing.T, content []byte, path string)) {
	path := filepath.Join(f.TempDir(), "book.db")
	book, err := Open(context.Background(), path, true, nil)
	if err != nil {
		f.Fatal(err)
	}
	add(f, book, readings(siteID("Works"), "laptop", 0, 20))
	if err := book.Close(); err != nil {
		f.Fatal(err)
	}
	sound, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	for _, at := range []uint32{0, 18, 28, 60, 68, 100, 4096, 1 << 31} {
		f.Add(at, []byte{0, 1, 2, 3})
	}
	f.Fuzz(func(t *testing.T, at uint32, over []byte) {
		content := bytes.Clone(sound)
		copy(content[int(at)%len(content):], over)
		if at == 1<<31 {
			content = over // a file of these bytes alone
		}
		path := filepath.Join(t.TempDir(), "book.db")
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		try(t, content, path)
	})
}

func readBook(t *testing.T, path string) {
	t.Helper()
	ctx := context.Background()
	book, err := Open(ctx, path, false, nil)
	if err == nil {
		for _, bad := range book.Lines(ctx, siteID("Works")) {
			if bad != nil {
				break
			}
		}
		if err = book.Check(ctx); err == nil {
			_, err = HeadsIn(ctx, path, siteID("Works"))
		}
		book.Close() //nolint:errcheck // what cannot be read may not be closed in order
	}
	if err != nil && err.Error() == "" {
		t.Fatal("an error without words")
	}
}
