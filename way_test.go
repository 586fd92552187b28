package sootline_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// shellText is a command line in a string, or a flag of one.
var shellText = regexp.MustCompile("`sootline|\\bsootline [a-z]+|(?:^|[ (`])--[a-z]")

// mayHoldShellText lists the files outside cmd that may, and why.
var mayHoldShellText = map[string]string{
	"internal/api/sites.go":         "the OpenAPI document says which printed JSON has the same shape",
	"internal/api/circuits.go":      "the OpenAPI document says which printed JSON has the same shape",
	"head.go":                       "what is signed begins with a word of its own",
	"internal/pgserver/pgserver.go": "it starts a server by a shell; tests and cmd/bench alone import it",
	"internal/demo/write.go":        "the properties of a workbook name what made it",
}

// Ways out are data: what people are told at every face holds no command line.
func TestNoShellTextUnderTheFaces(t *testing.T) {
	for text, want := range map[string]bool{
		"`sootline log` shows the ids": true, "see sootline demo": true, "name one with --site": true, "--confirm ": true, "have them taken (--as-is)": true,
		"urn:sootline:problem:": false, "Sootline never writes": false, "a - b -- c": false, "an hour--or two": false,
	} {
		if shellText.MatchString(text) != want {
			t.Errorf("%q: shell text is %v", text, !want)
		}
	}
	used := map[string]bool{}
	eachString(t, func(path, text string, line int) {
		if strings.HasPrefix(path, "cmd/") || !shellText.MatchString(text) {
			return
		}
		if used[path] = true; mayHoldShellText[path] == "" {
			t.Errorf("%s:%d: %q holds shell text; say the use case with Do", path, line, text)
		}
	})
	for path := range mayHoldShellText {
		if !used[path] {
			t.Errorf("%s may hold shell text and does not: take it off the list", path)
		}
	}
}

// eachString visits the string literals of the module's code, without its tests,
// import paths and struct tags.
func eachString(t *testing.T, see func(path, text string, line int)) {
	t.Helper()
	strings := 0
	eachFile(t, func(path string, set *token.FileSet, file *ast.File) {
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ImportSpec:
				return false
			case *ast.Field:
				n.Tag = nil
			case *ast.BasicLit:
				if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING {
					strings++
					see(path, text, set.Position(n.Pos()).Line)
				}
			}
			return true
		})
	})
	if strings < 1000 {
		t.Errorf("%d strings seen: the test looks at the wrong place", strings)
	}
}

// eachFile parses the module's code, without its tests.
func eachFile(t *testing.T, see func(path string, set *token.FileSet, file *ast.File)) {
	t.Helper()
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		if err == nil {
			see(filepath.ToSlash(path), set, file)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
