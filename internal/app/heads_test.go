package app

import (
	"bytes"
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/pgtest"
)

func verified(t testing.TB, a *App, site sootline.ID) Verification {
	t.Helper()
	v, err := a.Verify(context.Background(), site)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// asBefore makes a book what one of the version before keys is.
func asBefore(t testing.TB, path string) {
	t.Helper()
	alter(t, path, "DROP TABLE head; DROP TABLE unsigned; DROP TABLE era; DROP TABLE scope; DROP TABLE phone_site; DROP TABLE token; DROP TABLE invitation; DROP TABLE passkey; DROP TABLE site_head; DROP TABLE site_said; ALTER TABLE site DROP COLUMN written; PRAGMA user_version = 3")
}

func alter(t testing.TB, path, change string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(change); err != nil {
		t.Fatal(err)
	}
}

func note(t testing.TB, a *App, site sootline.ID, text string) {
	t.Helper()
	if _, err := a.AddEntry(context.Background(), site, Note{Body: sootline.Note{Text: text}}); err != nil {
		t.Fatal(err)
	}
}

// savedAs copies a station's book to a file.
func savedAs(t testing.TB, a *App) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "saved.db")
	if err := a.Book.Backup(context.Background(), path); err != nil {
		t.Fatal(err)
	}
	return path
}

// A book without keys opens; its old lines are said to be unsigned, also after
// later ones were signed.
func TestBookWithoutKeys(t *testing.T) {
	pgtest.FileOnly(t)
	w := newLogWorld(t)
	path := savedAs(t, w.laptop)
	asBefore(t, path)
	a := opened(t, path, "laptop")
	defer shut(t, a)
	v := verified(t, a, w.site)
	if len(v.Faults) > 0 || len(v.Chains) != 4 || v.Chains[0].Key != nil || v.Chains[0].Signed != 0 {
		t.Fatalf("an old book: %+v", v)
	}
	last := v.Chains[0].Last
	note(t, a, w.site, "afterwards")
	laptop := verified(t, a, w.site).Chains[0]
	if !laptop.Here || laptop.Signed != last+1 || len(laptop.Unsigned) != 1 || laptop.Unsigned[0].First != 1 || laptop.Unsigned[0].Last != last {
		t.Errorf("after the first signature: %+v", laptop)
	}
	if said := strings.Join(laptop.Sentences(today.Location()), " "); !strings.Contains(said, "older here than the first signature") {
		t.Errorf("it is said: %s", said)
	}
	if in := mustImport(t, newApp(t, "desk"), exported(t, a, w.site)); len(in.Unsigned) != 3 {
		t.Errorf("the three stations that never signed came in as %+v", in.Unsigned)
	}
}

// A chain that was cut or written anew takes no more lines: the next signature
// would hide the loss. The station's own export mends it.
func TestLostTail(t *testing.T) {
	pgtest.FileOnly(t)
	w := newLogWorld(t)
	path := savedAs(t, w.laptop)
	alter(t, path, "DELETE FROM page WHERE station = 'laptop' AND first = (SELECT MAX(first) FROM page WHERE station = 'laptop')")
	a := opened(t, path, "laptop")
	defer shut(t, a)
	if v := verified(t, a, w.site); len(v.Faults) != 1 || !strings.Contains(v.Faults[0].Error(), "it is missing") {
		t.Errorf("a lost tail: %v", v.Faults)
	}
	refused := func(when string) {
		_, err := a.AddEntry(context.Background(), w.site, Note{Body: sootline.Note{Text: "on top"}})
		if sootline.ErrorCode(err) != sootline.Damaged || sootline.ErrorHint(err) == "" {
			t.Errorf("a line on top of a lost tail, %s: %v", when, err)
		}
	}
	refused("as the index still knows it")
	if err := a.Book.Reindex(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	refused("with the index made anew")
	mustImport(t, a, w.log)
	note(t, a, w.site, "on top")
	if v := verified(t, a, w.site); len(v.Faults) != 0 {
		t.Errorf("mended: %v", v.Faults)
	}
}

// The first key seen of a station stays its key.
func TestAnotherKey(t *testing.T) {
	w := newLogWorld(t)
	desk := newApp(t, "desk")
	mustImport(t, desk, w.early)
	forged := &forgery{}
	for _, line := range w.log {
		if sootline.IsHeadLine(line) {
			head, err := sootline.ParseHeadLine(line)
			if err != nil {
				t.Fatal(err)
			}
			head = sootline.Secret{1}.Sign(head.Site, head.Head)
			line = sootline.AppendHeadLine(nil, &head)
		}
		forged.lines = append(forged.lines, line)
	}
	_, err := imported(desk, forged.lines)
	if sootline.ErrorCode(err) != sootline.Conflict || sootline.ErrorHint(err) == "" || !strings.Contains(err.Error(), "is known here by the key") {
		t.Errorf("another key: %v", err)
	}
}

// Whoever holds the book's file holds its keys: what they write anew shows only
// beside what lies elsewhere.
func TestHolderOfTheFile(t *testing.T) {
	pgtest.FileOnly(t)
	w := newLogWorld(t)
	path := savedAs(t, w.tablet)
	kept := filepath.Join(t.TempDir(), "kept.jsonl")
	writeFile(t, kept, exported(t, w.tablet, w.site))
	alter(t, path, "DELETE FROM page; DELETE FROM head; DELETE FROM unsigned")
	a := opened(t, path, "tablet")
	defer shut(t, a)
	note(t, a, w.site, "all was well")
	if v := verified(t, a, w.site); len(v.Faults) != 0 || v.Chains[0].Outside != 0 {
		t.Errorf("a log written anew with its keys cannot be told, and is: %+v", v)
	}
	v, err := a.VerifyAgainst(context.Background(), w.site, kept)
	if err != nil || len(v.Faults) == 0 {
		t.Errorf("beside an export it shows: %v, %v", v.Faults, err)
	}
}

// Witnesses are told with the line that they name, and with whether this book could
// make them itself.
func TestWitnesses(t *testing.T) {
	pgtest.FileOnly(t)
	w := newLogWorld(t)
	export, backup := filepath.Join(t.TempDir(), "early.jsonl"), savedAs(t, w.laptop)
	writeFile(t, export, w.early)
	note(t, w.laptop, w.site, "after the backup")
	for _, path := range []string{export, backup} {
		before := fileOf(t, path)
		v, err := w.laptop.VerifyAgainst(context.Background(), w.site, path)
		if err != nil || len(v.Faults) > 0 {
			t.Fatalf("%s: %v, %v", path, v.Faults, err)
		}
		laptop := v.Chains[0]
		pinned, filed := laptop.Witnesses[0], laptop.Witnesses[1]
		if pinned.Entry.Station != "tablet" || !pinned.Outside || filed.File != filepath.Base(path) || laptop.Outside != max(pinned.Seq, filed.Seq) || laptop.Outside >= laptop.Last {
			t.Errorf("%s: %+v", path, laptop)
		}
		if !bytes.Equal(before, fileOf(t, path)) {
			t.Errorf("%s was changed by comparing", path)
		}
	}
	writeFile(t, export+".cut", slices.Delete(slices.Clone(w.early), 2, 3))
	_, err := w.laptop.VerifyAgainst(context.Background(), w.site, export+".cut")
	if sootline.ErrorCode(err) != sootline.Damaged || !strings.Contains(err.Error(), "is not whole itself") {
		t.Errorf("a broken witness: %v", err)
	}
	_, err = w.laptop.VerifyAgainst(context.Background(), sootline.ID{1}, export)
	if sootline.ErrorCode(err) != sootline.NotFound {
		t.Errorf("a file of another site: %v", err)
	}
}

// A backup pins the phone's chain in the laptop's, once.
func TestBackupPins(t *testing.T) {
	pgtest.FileOnly(t)
	w := newLogWorld(t)
	before := len(w.log)
	for i := range 2 {
		trouble, err := w.laptop.Backup(context.Background(), filepath.Join(t.TempDir(), "b.db"))
		if trouble != nil || err != nil {
			t.Fatal(trouble, err)
		}
		if n := len(exported(t, w.laptop, w.site)); n != before+1 {
			t.Errorf("backup %d: %d lines more, want 1", i+1, n-before)
		}
	}
}

func writeFile(t testing.TB, path string, lines [][]byte) {
	t.Helper()
	if err := os.WriteFile(path, append(bytes.Join(lines, []byte("\n")), '\n'), 0o600); err != nil {
		t.Fatal(err)
	}
}

func fileOf(t testing.TB, path string) []byte {
	t.Helper()
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return content
}
