package main

import (
	"database/sql"
	"encoding/json"
	"strings"
	"testing"
)

// sql changes the book's file behind the program's back.
func (b *bench) sql(statement string) {
	b.t.Helper()
	db, err := sql.Open("sqlite", b.book)
	if err != nil {
		b.t.Fatal(err)
	}
	defer db.Close()
	res, err := db.Exec(statement)
	if err != nil {
		b.t.Fatal(err)
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		b.t.Fatalf("nothing is spoiled by %s: %v", statement, err)
	}
}

// withQuarry gives a book with a good site, and Quarry, written by two stations; the
// page of the first is lost. It gives what the log of Quarry held.
func withQuarry(t *testing.T) (b *bench, whole string) {
	t.Helper()
	b = newBench(t)
	b.must("site", "add", "Mill", "--loop", "1")
	b.must("site", "add", "Quarry", "--loop", "1")
	b.must("book", "backup", "kept.db")
	b.write("data/sootline/station", "s-second\n") // another computer writes on in the same book
	b.must("log", "add", "note", "--text", "since the backup", "--site", "Quarry")
	whole = b.must("log", "export", "--site", "Quarry").out
	b.sql(`UPDATE page SET lines = zeroblob(length(lines)) WHERE station <> 's-second' AND site = (SELECT id FROM site WHERE name = 'Quarry')`)
	return b, whole
}

// A site that cannot be read stands among the others, with the reason, in words, JSON
// and CSV; and a command that could not show all does not end as if it had.
func TestDueOfAllWithBadSite(t *testing.T) {
	b, _ := withQuarry(t)
	a := b.run("visit", "due", "--all")
	if a.code != exitCouldNot || !strings.Contains(a.out, "Site Mill on ") || !strings.Contains(a.out, "Site Quarry cannot be shown") && !strings.Contains(a.out, "site Quarry cannot be shown") || !strings.Contains(a.err, "1 of 2 sites could not be shown") {
		t.Errorf("exit %d: %s%s", a.code, a.out, a.err)
	}
	for _, command := range []string{"sootline book restore BACKUP", "sootline log export --readable FILE"} {
		if !strings.Contains(strings.Join(strings.Fields(a.out), " "), command) {
			t.Errorf("no way out by %s: %s", command, a.out)
		}
	}
	var due struct {
		Sites []struct {
			Site    string
			Trouble *string
			On      *string
		}
	}
	a = b.run("visit", "due", "--all", "--json")
	if err := json.Unmarshal([]byte(a.out), &due); err != nil || a.code != exitCouldNot || len(due.Sites) != 2 ||
		due.Sites[0].Trouble != nil || due.Sites[0].On == nil || due.Sites[1].Trouble == nil || due.Sites[1].On != nil {
		t.Errorf("exit %d, %v: %s", a.code, err, a.out)
	}
	if a := b.run("visit", "due", "--all", "--csv"); !strings.Contains(a.out, "\nQuarry,cannot be shown,") {
		t.Errorf("%s", a.out)
	}
	if a := b.run("visit", "due", "--site", "Quarry"); a.code != exitCouldNot || !strings.Contains(a.err, "site Quarry cannot be shown") {
		t.Errorf("exit %d: %s", a.code, a.err)
	}
	b.must("visit", "due", "--site", "Mill")
}

// The check of a book names each thing that is bad, and goes on.
func TestCheckOfBookNamesAll(t *testing.T) {
	b, _ := withQuarry(t)
	b.sql(`INSERT INTO photo (hash, content) VALUES ('9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08', x'00')`)
	a := b.run("book", "check")
	a.refused(t, exitCouldNot)
	a.hinted(t, "3 things are wrong")
	for _, want := range []string{"Site Mill: "} {
		if !strings.Contains(a.out, want) {
			t.Errorf("no %q in %s", want, a.out)
		}
	}
	for _, want := range []string{"site Quarry cannot be shown", "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08", "1 photo cannot be read"} {
		if !strings.Contains(strings.Join(strings.Fields(a.out), " "), want) {
			t.Errorf("no %q in %s", want, a.out)
		}
	}
}

// What can be read is saved, said to be a part, and brings a restored backup to where
// the log was.
func TestReadableIsTheWayBack(t *testing.T) {
	b, whole := withQuarry(t)
	if a := b.run("log", "export", "--site", "Quarry"); a.code != exitCouldNot {
		t.Fatalf("the damage does nothing: %v", a)
	}
	a := b.run("log", "export", "--readable", "saved.jsonl", "--site", "Quarry")
	if a.code != exitCouldNot || !strings.Contains(a.out, "1 entry of site Quarry that can be read") || !strings.Contains(a.err, "1 to 2 of station ") {
		t.Fatalf("exit %d: %s%s", a.code, a.out, a.err)
	}
	b.must("log", "export", "--readable", "mill.jsonl", "--site", "Mill")
	b.must("book", "restore", "kept.db")
	b.must("log", "import", "saved.jsonl")
	b.must("book", "check")
	export := b.must("log", "export", "--site", "Quarry").out
	for line := range strings.Lines(whole) {
		if strings.Contains(line, `"kind":`) && !strings.Contains(export, line) {
			t.Errorf("lost: %s", line)
		}
	}
}

// The list of sites says of which the log cannot be read, and why.
func TestSiteListNamesUnreadable(t *testing.T) {
	b, _ := withQuarry(t)
	out := strings.Join(strings.Fields(b.must("site", "list").out), " ")
	if !strings.Contains(out, "CAUTION: site Quarry cannot be shown") || !strings.Contains(out, "sootline log export --readable FILE") || strings.Contains(out, "site Mill cannot") {
		t.Errorf("it says %s", out)
	}
}

// The check of a book calls nothing whole that the index counts otherwise.
func TestCheckOfBookWithBadIndex(t *testing.T) {
	for name, change := range map[string]string{
		"another site": `UPDATE page SET site = substr(site, 1, length(site) - 1) || 'z' WHERE site = (SELECT id FROM site WHERE name = 'Mill')`,
		"no page":      `DELETE FROM page WHERE site = (SELECT id FROM site WHERE name = 'Mill')`,
		"the id":       `UPDATE site SET id = substr(id, 1, length(id) - 1) || CASE substr(id, -1) WHEN '0' THEN '1' ELSE '0' END WHERE name = 'Mill'`,
		"the count":    `UPDATE station_log SET entries = entries + 1 WHERE site = (SELECT id FROM site WHERE name = 'Mill')`,
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			b.must("site", "add", "Mill", "--loop", "1")
			b.must("site", "add", "Quarry", "--loop", "1")
			b.sql(change)
			a := b.run("book", "check")
			a.refused(t, exitCouldNot)
			if strings.Contains(a.out, "Site Mill: ") || !strings.Contains(a.out, "Site Quarry: 2 lines of 1 station") {
				t.Errorf("it says %s%s", a.out, a.err)
			}
		})
	}
}
