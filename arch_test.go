package sootline_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport is the import rule of doc.go: what each folder may import of this
// module. A folder that is missing here is a fault too.
var mayImport = map[string][]string{
	".":                 {},
	"internal/robust":   {},
	"internal/judge":    {".", "internal/robust"},
	"internal/address":  {"."},
	"internal/check":    {"."},
	"internal/circuit":  {"."},
	"internal/listing":  {"."},
	"internal/store":    {"."},
	"internal/demo":     {"."},
	"internal/attack":   {},
	"internal/worlds":   {},
	"internal/fuzzing":  {},
	"internal/chart":    {},
	"internal/count":    {"."},
	"internal/visit":    {".", "internal/count"},
	"internal/nuisance": {".", "internal/count"},
	"internal/paper":    {".", "internal/chart"},
	"internal/app": {
		".", "internal/store", "internal/listing", "internal/judge",
		"internal/address", "internal/check", "internal/circuit", "internal/demo", "internal/chart", "internal/visit", "internal/nuisance", "internal/paper", "internal/robust", "internal/count",
	},
	"internal/papers": {
		".", "internal/app", "internal/address", "internal/chart", "internal/circuit", "internal/count", "internal/judge", "internal/nuisance", "internal/paper", "internal/store", "internal/visit",
	},
	"internal/shape": {".", "internal/app", "internal/store"},
	"internal/api":   {".", "internal/app", "internal/paper", "internal/papers", "internal/shape", "internal/store"},
	"internal/web":   {".", "internal/api", "internal/app", "internal/chart", "internal/paper", "internal/papers", "internal/shape", "internal/store"},
	"cmd/sootline":   {".", "internal/app", "internal/shape", "internal/store", "internal/listing", "internal/web", "internal/paper", "internal/papers"},
	"cmd/bench":      {".", "internal/app", "internal/store", "internal/judge", "internal/visit"},
	"cmd/simulate":   {"internal/judge", "internal/robust"},
}

func TestImportRule(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" {
			return err
		}
		folder := filepath.ToSlash(filepath.Dir(path))
		allowed, known := mayImport[folder]
		if !known {
			t.Errorf("%s: folder %s has no line in the import table", path, folder)
			return nil
		}
		seen[folder] = true
		scorers := []string{"internal/worlds", "internal/fuzzing"} // what scores the program from outside: tests alone may ask it
		isTest := strings.HasSuffix(path, "_test.go")
		for _, target := range imports(t, path) {
			if !slices.Contains(allowed, target) && !(isTest && (target == folder || slices.Contains(scorers, target))) {
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
