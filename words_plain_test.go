package sootline_test

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// notSaid reads the phrases that nobody says from the second table of docs/words.md.
func notSaid(t *testing.T) []string {
	t.Helper()
	doc, err := os.ReadFile("docs/words.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, found := strings.Cut(string(doc), "| not said | said |")
	if !found {
		t.Fatal("docs/words.md has no table of what is not said")
	}
	var phrases []string
	for _, row := range regexp.MustCompile("(?m)^\\| `([^`]+)` \\|").FindAllStringSubmatch(table, -1) {
		phrases = append(phrases, row[1])
	}
	return phrases
}

// unplain names the phrases that a text says all the same.
func unplain(text string, phrases []string) []string {
	text = strings.Join(strings.Fields(strings.ToLower(text)), " ")
	var said []string
	for _, phrase := range phrases {
		if strings.Contains(text, phrase) {
			said = append(said, phrase)
		}
	}
	return said
}

// TestPlainWords looks for words of the builder in all that people read: templates, what the program says, and the examples of the
// handbook, which are what the terminal printed.
func TestPlainWords(t *testing.T) {
	phrases := notSaid(t)
	if len(phrases) < 8 {
		t.Fatalf("only %d phrases are listed", len(phrases))
	}
	looked := 0
	for path, texts := range saidByFile(t) {
		for _, text := range texts {
			looked++
			for _, phrase := range unplain(text, phrases) {
				t.Errorf("%s says %q: %.120q", path, phrase, text)
			}
		}
	}
	if looked < 1000 {
		t.Errorf("only %d texts were looked at", looked)
	}
	if got := unplain("Clause 12, from\n  memory", phrases); len(got) != 1 {
		t.Errorf("a phrase across a line is not found: %v", got)
	}
}

// saidByFile gathers what each file says: a template its text, a Go file its textsIn, a page of the handbook its examples.
func saidByFile(t *testing.T) map[string][]string {
	t.Helper()
	said := map[string][]string{}
	add := func(glob string, texts func(content []byte) []string) {
		paths, err := filepath.Glob(glob)
		if err != nil || len(paths) == 0 {
			t.Fatal(glob, paths, err)
		}
		for _, path := range paths {
			content, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasSuffix(path, "_test.go") {
				said[path] = texts(content)
			}
		}
	}
	add("internal/web/page/*.html", func(content []byte) []string { return []string{string(content)} })
	add("docs/handbook/*.md", func(content []byte) []string {
		var examples []string
		for _, found := range regexp.MustCompile("(?s)```session\n(.*?)```").FindAllSubmatch(content, -1) {
			examples = append(examples, string(found[1]))
		}
		return examples
	})
	for _, folder := range []string{".", "cmd/sootline", "internal/address", "internal/api", "internal/app", "internal/bench", "internal/chart", "internal/check", "internal/circuit", "internal/design", "internal/judge", "internal/listing", "internal/nuisance", "internal/papers", "internal/visit", "internal/web"} {
		add(folder+"/*.go", textsIn(t))
	}
	return said
}

// textsIn gives the texts that a Go file holds.
func textsIn(t *testing.T) func(content []byte) []string {
	return func(content []byte) []string {
		file, err := parser.ParseFile(token.NewFileSet(), "", bytes.NewReader(content), parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		var texts []string
		ast.Inspect(file, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if text, err := strconv.Unquote(lit.Value); err == nil {
					texts = append(texts, text)
				}
			}
			return true
		})
		return texts
	}
}
