package main

import (
	"os"
	"strings"
	"testing"
)

const hiddenPage = `<table><tr><th>point</th><th>date</th><th>value</th></tr>
<tr><td>1.001</td><td>2025-09-02</td><td>26</td></tr>
<tr style="display: none"><td>1.002</td><td>2025-09-02</td><td>27</td></tr></table>`

// TestTakeHidden: what a listing hides is left out and told of, and taken on demand; one that was kept in a
// map file is taken so again.
func TestTakeHidden(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("SOOTLINE_NOW", "2026-01-20T10:00:00Z")
	t.Setenv("SOOTLINE_BY", "A. Tech")
	t.Setenv("SOOTLINE_BOOK", "book.db")
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	for name, text := range map[string]string{"a.html": hiddenPage, "schedule.csv": "loop,address,type\n1,1,Larch\n1,2,Larch\n"} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	play(t, "sootline site add Mill")
	play(t, "sootline take schedule.csv --yes")
	for _, c := range []struct{ line, says string }{
		{"sootline take a.html --yes", "a.html: rows are hidden: left out; --hidden takes it\na.html: added 1 reading\n  passed over: 1 x hidden rows, first in row 3\n"},
		{"sootline take a.html --yes --hidden --map map.json", "a.html: added 1 reading; 1 row says what the book says already\n"},
		{"sootline take a.html --yes --map map.json", "a.html: added nothing; 2 rows say what the book says already\n"},
		{"sootline take - - --yes", "standard input can be named once"},
	} {
		if said := play(t, c.line); !strings.Contains(said, c.says) {
			t.Errorf("%s says\n%s\nwant\n%s", c.line, said, c.says)
		}
	}
}
