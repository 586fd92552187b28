package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestOneFigureOnEveryCommand: what `site show` says of the demo, `visit due`,
// `alarms` and the papers say too.
func TestOneFigureOnEveryCommand(t *testing.T) {
	t.Chdir(t.TempDir())
	t.Setenv("SOOTLINE_NOW", "2026-01-20T10:00:00Z")
	t.Setenv("SOOTLINE_BY", "A. Tech")
	said := func(args ...string) string {
		t.Helper()
		var out, errOut bytes.Buffer
		if code := run(t.Context(), args, strings.NewReader(""), &out, &errOut); code != exitDone {
			t.Fatalf("%v: exit code %d\n%s", args, code, errOut.String())
		}
		return out.String()
	}
	said("demo")
	books, err := filepath.Glob("demo/*.db")
	if err != nil || len(books) != 1 {
		t.Fatal(books, err)
	}
	t.Setenv("SOOTLINE_BOOK", books[0])
	figures := map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^  (\S.*?)  +(\S.*)$`).FindAllStringSubmatch(said("site", "show"), -1) {
		figures[m[1]] = m[2]
	}
	for _, has := range []struct{ name, text string }{
		{"next due", said("visit", "due")},
		{"false alarms in twelve months", strings.ReplaceAll(said("alarms"), " false alarms in ", " in ")},
	} {
		if figures[has.name] == "" || !strings.Contains(has.text, figures[has.name]) {
			t.Errorf("%s is %q, and not in\n%s", has.name, figures[has.name], has.text)
		}
	}
	said("paper", "pack", "-o", "pack.html")
	pack, err := os.ReadFile("pack.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"false alarms in twelve months", "fire signals in twelve months", "test signals in twelve months"} {
		field := regexp.MustCompile(regexp.QuoteMeta(name) + `</[^>]*>\s*<[^>]*>([^<]*)<`).FindSubmatch(pack)
		if field == nil || string(field[1]) != figures[name] {
			t.Errorf("the pack says %q of %s, want %q", field, name, figures[name])
		}
	}
}
