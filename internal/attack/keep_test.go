package attack

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// Backups that are kept: names in a place, listing, restore, secrecy, kills. What a drill says is in keep_drill_test.go,
// what the server does by itself in keep_serve_test.go, thinning in keep_thin_test.go,
// and what is remembered beside the book in keep_state_test.go.

var backupName = regexp.MustCompile(`^book-(\d{8}T\d{6}Z)\.db(\.age)?$`)

const nameFormat = "20060102T150405Z"

func nameAt(at time.Time) string { return "book-" + at.UTC().Format(nameFormat) + ".db" }

// begunAt is the moment that a backup has in its name.
func begunAt(t testing.TB, name string) time.Time {
	m := backupName.FindStringSubmatch(name)
	if m == nil {
		t.Fatalf("%s is no name of a backup", name)
	}
	at, err := time.Parse(nameFormat, m[1])
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// place makes an empty folder for backups.
func (b *box) place(name string) string {
	b.t.Helper()
	if err := os.MkdirAll(b.path(name), 0o700); err != nil {
		b.t.Fatal(err)
	}
	return b.path(name)
}

// backupsIn are the names of the backups in a place, the oldest first.
func backupsIn(place string) []string {
	all, _ := os.ReadDir(place)
	var out []string
	for _, e := range all {
		if backupName.MatchString(e.Name()) {
			out = append(out, e.Name())
		}
	}
	slices.Sort(out)
	return out
}

// backUp makes one backup and returns its name; two of them never have the same second.
func (b *box) backUp(place string, more ...string) string {
	b.t.Helper()
	before := backupsIn(place)
	b.must(append([]string{"book", "backup", "--to", place}, more...)...)
	for _, name := range backupsIn(place) {
		if !slices.Contains(before, name) {
			time.Sleep(time.Until(begunAt(b.t, name).Add(1100 * time.Millisecond)))
			return name
		}
	}
	b.t.Fatalf("no backup appeared in %s beside %v", place, before)
	return ""
}

func (b *box) said(text string) {
	b.t.Helper()
	b.must("log", "add", "note", "--text", text)
}

// restored puts a backup into a box of its own, and looks that it is sound.
func (b *box) restored(from string, more ...string) *box {
	b.t.Helper()
	fresh := newBox(b.t)
	fresh.must(append([]string{"book", "restore", from}, more...)...)
	for _, args := range [][]string{{"book", "check"}, {"log", "verify", "--site", "Mill"}} {
		if out, code := fresh.run(args...); code != 0 {
			b.t.Errorf("restored from %s, %v: exit %d, %.300s", filepath.Base(from), args, code, out)
		}
	}
	return fresh
}

func (b *box) lacksAll(texts ...string) {
	b.t.Helper()
	log := b.exported("Mill")
	for _, text := range texts {
		if strings.Contains(log, `"`+text+`"`) {
			b.t.Errorf("%q is there, and should not be", text)
		}
	}
}

// keeping is a box with the mill, where backups can be kept.
func keeping(t *testing.T) (*box, string) {
	b := newBox(t)
	b.needs("book backup", "--to")
	b.mill()
	return b, b.place("kept")
}

func modeOf(t testing.TB, name string) fs.FileMode {
	i, err := os.Stat(name)
	if err != nil {
		t.Error(err)
		return 0
	}
	return i.Mode().Perm()
}

func TestKeptBackup(t *testing.T) {
	b, place := keeping(t)
	b.said("before the backup")
	begun := time.Now().UTC().Truncate(time.Second)
	name := b.backUp(place)
	if at := begunAt(t, name); at.Before(begun) || at.After(time.Now()) {
		t.Errorf("%s was made at %v", name, begun)
	}
	b.said("after the backup")
	for _, f := range []string{filepath.Join(place, name), b.book, b.book + ".backups"} {
		if m := modeOf(t, f); m != 0o600 {
			t.Errorf("%s has mode %v", filepath.Base(f), m)
		}
	}
	if state, err := os.ReadFile(b.book + ".backups"); err == nil && !json.Valid(state) {
		t.Errorf("the state is no JSON: %.200s", state)
	}
	if all, _ := os.ReadDir(place); len(all) != 1 {
		t.Errorf("%d files in the place after one backup", len(all))
	}
	for _, from := range []string{place, filepath.Join(place, name)} {
		fresh := b.restored(from)
		fresh.holdsAll([]string{"before the backup"})
		fresh.lacksAll("after the backup")
	}
	b.must("book", "backup", b.path("as-before.db"))
	b.restored(b.path("as-before.db")).holdsAll([]string{"before the backup", "after the backup"})
}

// TestBackupsInOneSecond: two backups of one second take nothing from each other.
func TestBackupsInOneSecond(t *testing.T) {
	b, place := keeping(t)
	for i := range 3 {
		b.said(fmt.Sprint("note ", i))
		if out, code := b.run("book", "backup", "--to", place); code != 0 {
			t.Logf("refused: %.200s", out)
			continue
		}
		b.restored(place).holdsAll([]string{fmt.Sprint("note ", i)})
	}
}

// listed is what `book backups --json` says of each backup, whatever holds the list.
func (b *box) listed(place string) map[string]map[string]any {
	b.t.Helper()
	text := b.must("book", "backups", place, "--json")
	var got any
	if err := json.Unmarshal([]byte(text), &got); err != nil {
		b.t.Fatalf("%v: %s", err, text)
	}
	out := map[string]map[string]any{}
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, e := range v {
				walk(e)
			}
		case map[string]any:
			if name, ok := v["name"].(string); ok {
				out[name] = v
			}
			for _, e := range v {
				walk(e)
			}
		}
	}
	walk(got)
	return out
}

func TestListingOfBackups(t *testing.T) {
	b, place := keeping(t)
	b.needs("book backups", "--json")
	first := b.backUp(place)
	b.said("more")
	second := b.backUp(place)
	for _, stray := range []string{"notes.txt", "book-2026.db", first + ".part", first + ".bak", "book-20261341T990000Z.db"} {
		os.WriteFile(filepath.Join(place, stray), []byte("stray"), 0o600)
	}
	got := b.listed(place)
	if len(got) != 2 {
		t.Errorf("%d listed: %v", len(got), got)
	}
	words := b.must("book", "backups", place)
	for _, name := range []string{first, second} {
		if got[name] == nil || !strings.Contains(words, name) {
			t.Errorf("%s is not listed: %v, %s", name, got, words)
			continue
		}
		size, when := false, false
		for _, v := range got[name] { // whatever the two are called
			n, _ := v.(float64)
			size = size || int64(n) == fileSize(filepath.Join(place, name))
			text, _ := v.(string)
			at, err := time.Parse(time.RFC3339, text)
			when = when || err == nil && at.Equal(begunAt(t, name))
		}
		if !size || !when {
			t.Errorf("%s: its size or its time is not listed: %v", name, got[name])
		}
	}
	if out, code := b.run("book", "backups", b.path("nowhere")); code == 0 {
		t.Errorf("a place that is not there is listed: %s", out)
	}
}

// story makes backups named after three hours of a day, each with a note more; their files' own times run backwards.
func (b *box) story(place string) (day time.Time) {
	b.t.Helper()
	day = time.Now().UTC().Truncate(24*time.Hour).AddDate(0, 0, -1)
	for i, hour := range []int{6, 12, 18} {
		b.said(fmt.Sprint("note ", hour))
		made := filepath.Join(place, b.backUp(place))
		named := filepath.Join(place, nameAt(day.Add(time.Duration(hour)*time.Hour)))
		if err := os.Rename(made, named); err != nil {
			b.t.Fatal(err)
		}
		old := day.AddDate(0, 0, -i)
		os.Chtimes(named, old, old)
	}
	return day
}

func TestRestoreAtTime(t *testing.T) {
	b, place := keeping(t)
	b.needs("book restore", "--at")
	day := b.story(place)
	for hour, holds := range map[int]int{6: 1, 7: 1, 12: 2, 17: 2, 18: 3, 23: 3} {
		fresh := b.restored(place, "--at", day.Add(time.Duration(hour)*time.Hour).Format(time.RFC3339))
		all := []string{"note 6", "note 12", "note 18"}
		fresh.holdsAll(all[:holds])
		fresh.lacksAll(all[holds:]...)
	}
	b.restored(place).holdsAll([]string{"note 6", "note 12", "note 18"})
	before, _ := os.ReadFile(b.book)
	out, code := b.run("book", "restore", place, "--at", day.Add(time.Hour).Format(time.RFC3339))
	after, _ := os.ReadFile(b.book)
	if code == 0 || !bytes.Equal(before, after) {
		t.Errorf("no backup is as old as that, and: exit %d, %s", code, out)
	}
}

// plainCopies are the books in clear below a folder, beside those that are meant to be there.
func plainCopies(dir string, meant ...string) (out []string) {
	filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() || slices.Contains(meant, name) {
			return nil
		}
		f, err := os.Open(name)
		if err != nil {
			return nil
		}
		defer f.Close()
		head := make([]byte, 15)
		if f.Read(head); string(head) == "SQLite format 3" {
			out = append(out, name)
		}
		return nil
	})
	return out
}

func TestEncryptedBackup(t *testing.T) {
	b, place := keeping(t)
	b.needs("book backup", "--recipient")
	b.needs("book restore", "--identity")
	ours, identity := b.ageKey("ours.txt")
	theirs, second := b.ageKey("theirs.txt")
	_, wrong := b.ageKey("wrong.txt")
	b.said("vexibrant snizzle")
	name := filepath.Join(place, b.backUp(place, "--recipient", ours, "--recipient", theirs))
	if !strings.HasSuffix(name, ".db.age") || modeOf(t, name) != 0o600 {
		t.Errorf("%s, mode %v", filepath.Base(name), modeOf(t, name))
	}
	text, _ := os.ReadFile(name)
	if !bytes.HasPrefix(text, []byte("age-encryption.org/v1\n")) {
		t.Errorf("it begins with %.30q", text)
	}
	for _, word := range []string{"vexibrant", "snizzle", "Mill", "Larch", "SQLite format", "CREATE TABLE", "A. Tech"} {
		if bytes.Contains(text, []byte(word)) {
			t.Errorf("the encrypted backup holds %q for all to read", word)
		}
	}
	for _, id := range []string{identity, second} {
		b.restored(place, "--identity", id).holdsAll([]string{"vexibrant snizzle"})
		b.restored(name, "--identity", id).holdsAll([]string{"vexibrant snizzle"})
	}
	for what, more := range map[string][]string{"no identity": nil, "another identity": {"--identity", wrong}, "one that is not there": {"--identity", b.path("none")}} {
		fresh := newBox(t)
		if out, code := fresh.run(append([]string{"book", "restore", place}, more...)...); code == 0 || !namesKey(out) {
			t.Errorf("restored with %s: exit %d, %s", what, code, out)
		}
		if left := plainCopies(fresh.dir); len(left) > 0 {
			t.Errorf("a restore with %s leaves %v", what, left)
		}
	}
	if left := plainCopies(b.dir, b.book); len(left) > 0 {
		t.Errorf("books in clear are left: %v", left)
	}
	if out, code := b.run("book", "backup", "--to", place, "--recipient", "age1qqqq"); code == 0 {
		t.Errorf("a recipient that is none is taken: %s", out)
	}
}

// namesKey: an answer says that it is the key that is wanting.
func namesKey(out string) bool {
	return strings.Contains(out, "identity") || strings.Contains(out, "key")
}

// TestEncryptedDamage: an encrypted backup with one bit flipped, or cut, restores nowhere.
func TestEncryptedDamage(t *testing.T) {
	b, place := keeping(t)
	b.needs("book backup", "--recipient")
	ours, identity := b.ageKey("ours.txt")
	name := filepath.Join(place, b.backUp(place, "--recipient", ours))
	whole, _ := os.ReadFile(name)
	r := rand.New(rand.NewPCG(16, 2))
	for i := range atMost(8, 200) {
		text := slices.Clone(whole)
		if i%4 == 0 {
			text = text[:r.IntN(len(text))]
		} else {
			text[r.IntN(len(text))] ^= 1 << r.IntN(8)
		}
		os.WriteFile(name, text, 0o600)
		fresh := newBox(t)
		if out, code := fresh.run("book", "restore", name, "--identity", identity); code == 0 {
			t.Errorf("damage %d restores: %s", i, out)
		}
		if _, err := os.Stat(fresh.book); err == nil {
			t.Errorf("damage %d leaves a book", i)
		}
	}
}
