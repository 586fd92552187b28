package demo_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline/internal/demo"
)

var update = flag.Bool("update", false, "write the tables of docs/demo.md anew")

// The tables of the page for people are what the package makes.
func TestPage(t *testing.T) {
	const path = "../../docs/demo.md"
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := demo.Make(1, until())
	want := string(page)
	for name, table := range map[string]string{"types": typesTable(t, s), "files": filesTable(t, s), "truths": truthsTable(s)} {
		want = withTable(t, want, name, table)
	}
	if *update {
		if err := os.WriteFile(path, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(want, string(page)); diff != "" {
		t.Errorf("docs/demo.md is out of date; run go test ./internal/demo -update:\n%s", diff)
	}
}

// withTable puts a table between its marks.
func withTable(t *testing.T, page, name, table string) string {
	t.Helper()
	open := "<!-- " + name + ": made by go test ./internal/demo -update -->\n"
	before, rest, opened := strings.Cut(page, open)
	_, after, closed := strings.Cut(rest, "<!-- end -->")
	if !opened || !closed {
		t.Fatalf("docs/demo.md has no place for the table of %s", name)
	}
	return before + open + table + "<!-- end -->" + after
}

func typesTable(t *testing.T, s demo.Scenario) string {
	var b strings.Builder
	b.WriteString("| type | kind | numbers | band, counts | alarm, counts | compensated | life, years |\n| --- | --- | --- | --- | --- | --- | --- |\n")
	for _, r := range records(t, file(t, s, "types.csv")) {
		band := "none"
		if r["low"] != "" {
			band = r["low"] + " to " + r["high"]
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s | %s |\n", r["name"], r["kind"], r["numbers"], band, r["alarm"], r["compensated"], r["life years"])
	}
	return b.String()
}

func filesTable(t *testing.T, s demo.Scenario) string {
	var b strings.Builder
	b.WriteString("| file | rows | what it lists, and how |\n| --- | --- | --- |\n")
	for _, f := range s.Files {
		fmt.Fprintf(&b, "| %s | %d | %s |\n", f.Name, len(records(t, f)), f.Says)
	}
	return b.String()
}

func truthsTable(s demo.Scenario) string {
	var b strings.Builder
	b.WriteString("| kind | how many | points | the first of them |\n| --- | --- | --- | --- |\n")
	for _, kind := range demo.TruthKinds() {
		var points []string
		for _, truth := range s.Of(kind) {
			points = append(points, strings.Join(truth.Points, ", "))
		}
		first := s.Of(kind)[0]
		fmt.Fprintf(&b, "| %s | %d | %s | %s: %s |\n", kind, len(points), strings.Join(points, "; "), first.At.Format("2006-01-02"), first.Text)
	}
	return b.String()
}
