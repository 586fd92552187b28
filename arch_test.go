package sootline_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport is the import rule of doc.go: what each folder may import of this
// module. A folder that is missing here is a fault too.
var mayImport = map[string][]string{
	".":                              {},
	"internal/robust":                {},
	"internal/judge":                 {".", "internal/robust"},
	"internal/address":               {"."},
	"internal/bench":                 {".", "internal/robust"},
	"internal/check":                 {"."},
	"internal/circuit":               {"."},
	"internal/fault":                 {".", "internal/circuit"},
	"internal/listing":               {".", "internal/month"},
	"internal/month":                 {},
	"internal/live":                  {".", "internal/month"},
	"internal/ear":                   {".", "internal/locks"},
	"internal/locks":                 {},
	"internal/store":                 {".", "internal/locks"},
	"internal/exchange":              {"."},
	"internal/pgtest":                {"internal/pgserver"},
	"internal/pgserver":              {},
	"internal/keep":                  {".", "internal/locks"},
	"internal/gateway":               {},
	"internal/demo":                  {"."},
	"internal/design":                {},
	"internal/attack":                {},
	"internal/worlds":                {},
	"internal/worlds/troubles":       {},
	"internal/worlds/plans":          {},
	"internal/worlds/cards":          {},
	"internal/worlds/benches":        {},
	"internal/worlds/loops":          {},
	"internal/worlds/hunts":          {},
	"internal/worlds/jobs":           {},
	"internal/worlds/lines":          {},
	"internal/worlds/wires":          {},
	"internal/worlds/papers":         {".", "internal/app", "internal/store"},
	"internal/worlds/nights":         {".", "internal/worlds/levels"},
	"internal/worlds/firm":           {".", "internal/store", "internal/visit", "internal/judge"},
	"internal/worlds/drafts":         {"internal/worlds/loops"},
	"internal/worlds/levels":         {"."},
	"internal/worlds/listings":       {"."},
	"internal/worlds/levels/harbour": {".", "internal/demo", "internal/worlds/levels"},
	"internal/fuzzing":               {},
	"internal/chart":                 {},
	"internal/count":                 {"."},
	"internal/visit":                 {".", "internal/count"},
	"internal/nuisance":              {".", "internal/count"},
	"internal/paper":                 {".", "internal/chart"},
	"internal/app": {
		".", "internal/store", "internal/exchange", "internal/keep", "internal/listing", "internal/judge",
		"internal/address", "internal/bench", "internal/check", "internal/circuit", "internal/fault", "internal/demo", "internal/design", "internal/chart", "internal/visit", "internal/nuisance", "internal/paper", "internal/robust", "internal/count", "internal/ear", "internal/live",
	},
	"internal/papers": {
		".", "internal/app", "internal/address", "internal/bench", "internal/chart", "internal/circuit", "internal/count", "internal/judge", "internal/nuisance", "internal/paper", "internal/store", "internal/visit",
	},
	"internal/shape": {".", "internal/app", "internal/keep", "internal/store"},
	"internal/api":   {".", "internal/app", "internal/exchange", "internal/paper", "internal/papers", "internal/shape", "internal/store"},
	"internal/web":   {".", "internal/api", "internal/app", "internal/chart", "internal/keep", "internal/paper", "internal/papers", "internal/shape", "internal/store"},
	"cmd/sootline":   {".", "internal/app", "internal/exchange", "internal/keep", "internal/shape", "internal/store", "internal/listing", "internal/web", "internal/paper", "internal/papers", "internal/ear", "internal/live"},
	"cmd/bench":      {".", "internal/app", "internal/store", "internal/judge", "internal/visit", "internal/pgserver"},
	"cmd/pollock":    {"internal/listing"},
	"cmd/judgescore": {
		".", "internal/judge", "internal/live", "internal/robust", "internal/worlds/levels", "internal/worlds/nights",
		"internal/worlds/levels/ducts", "internal/worlds/levels/harbour", "internal/worlds/levels/instruments", "internal/worlds/levels/materials",
	},
}

func TestImportRule(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" {
			return err
		}
		folder := filepath.ToSlash(filepath.Dir(path))
		allowed, known := mayImport[folder]
		if filepath.ToSlash(filepath.Dir(folder)) == "internal/worlds/levels" && !known { // a world of detectors
			allowed, known = []string{".", "internal/worlds/levels"}, true
		}
		if !known {
			t.Errorf("%s: folder %s has no line in the import table", path, folder)
			return nil
		}
		seen[folder] = true
		forTests := []string{
			"internal/worlds", "internal/worlds/troubles", "internal/worlds/plans", "internal/worlds/cards", "internal/worlds/benches", "internal/worlds/listings",
			"internal/worlds/loops", "internal/worlds/hunts", "internal/worlds/drafts", "internal/worlds/lines", "internal/worlds/wires", "internal/worlds/nights", "internal/worlds/firm", "internal/worlds/papers",
			"internal/gateway", "internal/fuzzing", "internal/pgtest",
		} // what scores the program, and storage to try it with
		isTest := strings.HasSuffix(path, "_test.go")
		for _, target := range imports(t, path) {
			if !slices.Contains(allowed, target) && !(isTest && (target == folder || slices.Contains(forTests, target) || strings.HasPrefix(target, "internal/worlds/levels"))) {
				t.Errorf("%s imports %s, which %s may not", path, target, folder)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for folder := range mayImport {
		if !seen[folder] {
			t.Errorf("the import table names %s, which holds no Go file", folder)
		}
	}
}

// TestGoroutinesRecover: what runs beside a request must not end the program when
// it panics; each goroutine makes an error of it, for whoever waits.
func TestGoroutinesRecover(t *testing.T) {
	aside := []string{"cmd/bench", "cmd/judgescore", "internal/attack", "internal/worlds", "internal/worlds/troubles", "internal/worlds/plans", "internal/worlds/cards", "internal/worlds/benches", "internal/worlds/levels", "internal/worlds/loops", "internal/worlds/hunts", "internal/worlds/jobs", "internal/worlds/drafts", "internal/worlds/wires"} // no server runs them
	catches := regexp.MustCompile(`Caught\(&|recover\(\)|caught[A-Z]?\w*\(`)
	found := 0
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") || slices.Contains(aside, filepath.ToSlash(filepath.Dir(path))) {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, text, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			body := beside(n)
			if body == nil {
				return true
			}
			found++
			if code := text[set.Position(body.Pos()).Offset:set.Position(body.End()).Offset]; !catches.Match(code) {
				t.Errorf("%s: a goroutine that does not catch its panics", set.Position(body.Pos()))
			}
			return true
		})
		return nil
	})
	if err != nil || found == 0 {
		t.Error(found, err)
	}
}

// beside gives what a statement runs in another goroutine: go f(), or group.Go(f).
func beside(n ast.Node) ast.Node {
	if g, ok := n.(*ast.GoStmt); ok {
		return g.Call
	}
	if call, ok := n.(*ast.CallExpr); ok && len(call.Args) == 1 {
		if to, ok := call.Fun.(*ast.SelectorExpr); ok && to.Sel.Name == "Go" {
			return call.Args[0]
		}
	}
	return nil
}

// imports lists the folders of this module that a file imports.
func imports(t *testing.T, path string) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	var targets []string
	for _, spec := range file.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		if name == "sootline" {
			targets = append(targets, ".")
		}
		if rest, ok := strings.CutPrefix(name, "sootline/"); ok {
			targets = append(targets, rest)
		}
	}
	return targets
}
