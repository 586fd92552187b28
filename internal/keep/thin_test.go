package keep_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sootline/internal/keep"
)

// TestNames reads back every name, and no other.
func TestNames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := keep.Copy{At: time.Unix(rapid.Int64Range(0, 250_000_000_000).Draw(t, "at"), 0).UTC(), Encrypted: rapid.Bool().Draw(t, "sealed")}
		if got, ok := keep.ParseName(c.Name()); !ok || got != c {
			t.Fatalf("%s is read as %+v, %v", c.Name(), got, ok)
		}
	})
	for _, name := range []string{"", "book.db", "book-20261130T081500Z", "book-20261130T081500Z.db.part", "book-20261131T081500Z.db", "xbook-20261130T081500Z.db", "book-20261130T081500Z.db.age.age"} {
		if c, ok := keep.ParseName(name); ok {
			t.Errorf("%q is read as %+v", name, c)
		}
	}
}

// TestThinning keeps a backup each hour for half a year, thinning after each, and
// counts what is left against the rule, worked out another way.
func TestThinning(t *testing.T) {
	var held []keep.Copy
	now := time.Date(2026, 1, 1, 0, 7, 0, 0, time.UTC)
	for range 24 * 190 {
		now = now.Add(time.Hour)
		held = slices.Insert(held, 0, keep.Copy{At: now})
		gone := keep.TooMany(held, now)
		held = slices.DeleteFunc(held, func(c keep.Copy) bool { return slices.Contains(gone, c) })
		if held[0].At != now {
			t.Fatal("the newest was removed")
		}
		hours, days, months := map[int64]bool{}, map[string]bool{}, map[string]bool{}
		for _, c := range held {
			hours[c.At.Unix()/3600], days[c.At.Format(time.DateOnly)], months[c.At.Format("2006-01")] = true, true, true
		}
		for back := time.Duration(0); back < 190*24*time.Hour && !now.Add(-back).Before(time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC)); back += time.Hour {
			then := now.Add(-back)
			switch {
			case back <= keep.AllFor && !hours[then.Unix()/3600]:
				t.Fatalf("at %s that of %s is gone", now, then)
			case back <= keep.DailyFor && !days[then.Format(time.DateOnly)]:
				t.Fatalf("at %s none of %s is left", now, then.Format(time.DateOnly))
			case !months[then.Format("2006-01")]:
				t.Fatalf("at %s none of %s is left", now, then.Format("2006-01"))
			}
		}
		if most := 49 + 61 + 7; len(held) > most {
			t.Fatalf("at %s there are %d", now, len(held))
		}
	}
}

// TestThinPlace removes from a folder what is too much, and no file of others.
func TestThinPlace(t *testing.T) {
	folder := t.TempDir()
	now := time.Date(2026, 11, 30, 8, 0, 0, 0, time.UTC)
	stays, day := keep.Copy{At: now.AddDate(0, 0, -10)}, keep.Copy{At: now.AddDate(0, 0, -10).Add(time.Hour)}
	goes := keep.Copy{At: now.AddDate(0, 0, -10).Add(time.Minute)}
	old, fresh := day.Name()+".123.part", day.Name()+".456.part"
	for _, name := range []string{stays.Name(), day.Name(), goes.Name(), old, fresh, "notes.part", "book.db"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	aged := now.Add(-25 * time.Hour)
	for name, at := range map[string]time.Time{old: aged, fresh: now, "notes.part": aged} {
		if err := os.Chtimes(filepath.Join(folder, name), at, at); err != nil {
			t.Fatal(err)
		}
	}
	err := keep.Thin(t.Context(), open(t, folder, ""), now, func(name string) bool { return name == stays.Name() })
	if err != nil {
		t.Fatal(err)
	}
	var left []string
	files, _ := os.ReadDir(folder)
	for _, f := range files {
		left = append(left, f.Name())
	}
	want := []string{stays.Name(), day.Name(), fresh, "notes.part", "book.db"}
	slices.Sort(left)
	slices.Sort(want)
	if !slices.Equal(left, want) {
		t.Errorf("left are %v", left)
	}
}

// TestState survives what is no state, and drops marks of copies that are not newest.
func TestState(t *testing.T) {
	path := filepath.Join(t.TempDir(), "book.db.backups")
	if err := os.WriteFile(path, []byte("{half"), 0o600); err != nil {
		t.Fatal(err)
	}
	old, last := keep.Copy{At: began}, keep.Copy{At: began.Add(time.Hour)}
	for _, c := range []keep.Copy{old, last} {
		err := keep.Change(path, func(s *keep.State) {
			s.Places["p"] = keep.PlaceState{Last: &c, Seen: c.At}
			s.Marks[c.Name()] = []byte(`{"lines":1}`)
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	state, err := keep.ReadState(path)
	if err != nil || *state.Places["p"].Last != last || len(state.Marks) != 1 || state.Marks[last.Name()] == nil {
		t.Errorf("state %+v, %v", state, err)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
}
