package attack

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// aged is a place with copies of one good backup under made names: one each three hours of the last three days, then two or
// one a day for a hundred days, then three a month for a year.
func (b *box) aged(place string, now time.Time) []string {
	b.t.Helper()
	made := filepath.Join(place, b.backUp(place))
	seed, err := os.ReadFile(made)
	if err != nil {
		b.t.Fatal(err)
	}
	var names []string
	add := func(at time.Time) {
		names = append(names, nameAt(at))
		if err := os.WriteFile(filepath.Join(place, nameAt(at)), seed, 0o600); err != nil {
			b.t.Fatal(err)
		}
	}
	for h := 3; h <= 72; h += 3 {
		add(now.Add(-time.Duration(h) * time.Hour))
	}
	for d := 4; d <= 104; d++ {
		day := now.Truncate(24*time.Hour).AddDate(0, 0, -d)
		add(day.Add(5 * time.Hour))
		if d%3 > 0 {
			add(day.Add(17 * time.Hour))
		}
	}
	for m := 5; m <= 16; m++ {
		for _, day := range []int{2, 11, 23} {
			add(time.Date(now.Year(), now.Month()-time.Month(m), day, 3, 0, 0, 0, time.UTC))
		}
	}
	return names
}

// thinning is the flag that has a backup thin its place, where there is one.
func (b *box) thinning() (flags []string) {
	if help, _ := b.run("book", "backup", "--help"); strings.Contains(help, "--thin ") {
		return []string{"--thin"}
	}
	return nil
}

// thins makes backups until something was thinned: by the command, else by a server after a visit.
func (b *box) thins(place string, names []string) {
	b.t.Helper()
	thinned := func() bool { return len(backupsIn(place)) < len(names)-20 }
	b.said("one more")
	b.backUp(place, b.thinning()...)
	if thinned() {
		return
	}
	b.needs("serve", "--backup")
	s := b.serve("--backup", place, "--backup-every", "1h")
	me := s.stranger()
	me.visited(me.sites()["Mill"])
	if !soon(20*time.Second, thinned) {
		b.t.Errorf("%d backups, and nothing was thinned", len(backupsIn(place)))
	}
	s.stop()
}

// TestThinning: all of two days, one a day of sixty days, one a month before; the newest and what is no backup stay.
func TestThinning(t *testing.T) {
	b, place := keeping(t)
	now := time.Now().UTC()
	names := b.aged(place, now)
	strays := []string{"notes.txt", "book-2026.db", "book-20200101T000000Z.db.bak", "other-20200101T000000Z.db"}
	for _, stray := range strays {
		os.WriteFile(filepath.Join(place, stray), []byte("not ours"), 0o600)
	}
	b.thins(place, names)
	left := backupsIn(place)
	days, months := map[string]int{}, map[string]int{}
	for _, n := range left {
		at := begunAt(t, n)
		days[at.Format(time.DateOnly)]++
		months[at.Format("2006-01")]++
	}
	for _, n := range names {
		at := begunAt(t, n)
		age := now.Sub(at)
		switch {
		case age < 47*time.Hour && !slices.Contains(left, n):
			t.Errorf("%s is of the last two days, and gone", n)
		case age < 59*24*time.Hour && days[at.Format(time.DateOnly)] == 0:
			t.Errorf("nothing is left of the day of %s", n)
		case months[at.Format("2006-01")] == 0:
			t.Errorf("nothing is left of the month of %s", n)
		case age > 4*24*time.Hour && days[at.Format(time.DateOnly)] > 1:
			t.Errorf("two are left of the day of %s", n)
		}
	}
	for _, stray := range strays {
		if _, err := os.Stat(filepath.Join(place, stray)); err != nil {
			t.Errorf("thinning took %s, which is no backup", stray)
		}
	}
	if n := len(left); n > 17+60+2+17 { // three-hourly of two days, days, edges, months
		t.Errorf("%d are left", n)
	}
}

// TestThinningKeepsNewest: where all backups are old, the newest of them stays, whatever its day or month has besides.
func TestThinningKeepsNewest(t *testing.T) {
	b, place := keeping(t)
	made := filepath.Join(place, b.backUp(place))
	var names []string
	for _, at := range []string{"20250310T080000Z", "20250310T120000Z", "20250310T180000Z", "20250331T235959Z"} {
		names = append(names, "book-"+at+".db")
		copyFile(made, filepath.Join(place, "book-"+at+".db"))
	}
	os.Remove(made)
	newest := names[len(names)-1]
	b.said("more")
	// A backup that fails takes nothing away.
	if out, code := b.run("book", "backup", "--to", place, "--recipient", "age1qqqq"); code == 0 {
		t.Errorf("a backup to a recipient that is none: %s", out)
	}
	if !slices.Contains(backupsIn(place), newest) {
		t.Errorf("a backup that failed took the newest: %v", backupsIn(place))
	}
	added := b.backUp(place, b.thinning()...)
	if left := backupsIn(place); !slices.Contains(left, added) || len(left) < 2 {
		t.Errorf("left: %v", left)
	}
}

// TestThinningNamesAhead: a backup named in the future, by a clock that was wrong, costs none of the others.
func TestThinningNamesAhead(t *testing.T) {
	b, place := keeping(t)
	made := filepath.Join(place, b.backUp(place))
	ahead := nameAt(time.Now().AddDate(3, 0, 0))
	copyFile(made, filepath.Join(place, ahead))
	for range 3 {
		b.said("more")
		b.backUp(place, b.thinning()...)
	}
	if left := backupsIn(place); len(left) != 5 {
		t.Errorf("of five backups of today and one ahead are left %v", left)
	}
}
