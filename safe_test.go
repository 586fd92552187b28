package sootline_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// What the program, as it is handed out, does without. None of it is wrong in itself;
// each opens a kind of hole that then nobody has to look for.
var (
	withoutImports = map[string]string{
		"os/exec": "starts programs", "plugin": "loads code", "unsafe": "leaves the types", "text/template": "escapes nothing",
		"math/rand": "can be guessed", "math/rand/v2": "can be guessed", "crypto/md5": "is broken", "crypto/sha1": "is broken", "crypto/des": "is broken",
		"crypto/rc4": "is broken", "encoding/gob": "makes what it is told to", "net/smtp": "sends mail", "net/http/pprof": "tells of the inside", "expvar": "tells of the inside",
	}
	withoutCalls = map[string]string{
		"http.Get": "asks other servers", "http.Post": "asks other servers", "http.PostForm": "asks other servers", "http.Head": "asks other servers",
		"http.DefaultClient": "asks other servers", "http.Client": "asks other servers", "http.FileServer": "lists folders", "http.Dir": "lists folders",
	}
	// withReason are the places that need one of them all the same.
	withReason = map[string]string{
		"cmd/sootline/serve_notices.go net/smtp":    "whoever serves may name a mail server that takes notices of what is heard",
		"cmd/sootline/serve_notices.go http.Client": "whoever serves may name an address to which notices of what is heard are posted",
		"cmd/sootline/exchange_with.go http.Client": "whoever exchanges names the server that keeps the other book",
		"internal/design/loops.go math/rand/v2":     "the same table is to make the same loops",
		"internal/demo/scenario.go math/rand/v2":    "an invented site is to be the same for the same seed",
		"internal/worlds/ math/rand/v2":             "tests alone import it",
		"internal/worlds/papers/pdf.go os/exec":     "tests alone import it",
		"internal/gateway/ os/exec":                 "tests alone import it",
		"cmd/sootline/pager.go os/exec":             "at a terminal, the pager that its owner names shows long output",
		"internal/pgserver/ os/exec":                "tests and cmd/bench alone import it",
	}
)

// TestNothingReachesOut: the program starts no other but a pager at a terminal, asks no other server, loads no code, and
// makes no secret from numbers that can be guessed.
func TestNothingReachesOut(t *testing.T) {
	used := map[string]bool{}
	excused := func(path, what string) bool {
		for reason := range withReason {
			at, name, _ := strings.Cut(reason, " ")
			if name == what && strings.HasPrefix(path, at) {
				used[reason] = true
				return true
			}
		}
		return false
	}
	eachSource(t, func(path string, _ *token.FileSet, file *ast.File) {
		for _, spec := range file.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			if why := withoutImports[name]; why != "" && !excused(path, name) {
				t.Errorf("%s imports %s, which %s", path, name, why)
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			selector, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if room, ok := selector.X.(*ast.Ident); ok {
				name := room.Name + "." + selector.Sel.Name
				if why := withoutCalls[name]; why != "" && !excused(path, name) {
					t.Errorf("%s uses %s, which %s", path, name, why)
				}
			}
			return true
		})
	})
	for reason := range withReason {
		if !used[reason] {
			t.Errorf("nothing needs %q any more", reason)
		}
	}
}

// eachSource parses every file of the program itself: no tests, and no tools beside it.
func eachSource(t *testing.T, do func(path string, set *token.FileSet, file *ast.File)) {
	t.Helper()
	n := 0
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		path = filepath.ToSlash(path)
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") ||
			strings.HasPrefix(path, "scripts/") || strings.HasPrefix(path, "cmd/") && !strings.HasPrefix(path, "cmd/sootline/") {
			return err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		if err == nil {
			n++
			do(path, set, file)
		}
		return err
	})
	if err != nil || n < 100 {
		t.Fatalf("%d files, %v", n, err)
	}
}

// madeStatements are the files in which a statement is put together, and of what.
var madeStatements = map[string]string{
	"internal/store/backup.go":         "names of tables, which stand beside it",
	"internal/store/dialect_sqlite.go": "the version of the schema and the mark of a book, numbers of the program or of the book itself",
	"internal/store/lines.go":          "what stands after WHERE, which its callers give as literals, and marks of arguments",
	"internal/store/scope.go":          "what stands after FROM scope, which its callers give as literals",
	"internal/store/site.go":           "what stands after WHERE, which its callers give as literals",
	"internal/store/site_heads.go":     "conditions of a list, each of fixed text, and marks of arguments",
}

// sqlText is what text of a statement looks like.
var sqlText = regexp.MustCompile(`\b(SELECT|INSERT|DELETE FROM|UPDATE|WHERE|ORDER BY|VALUES|PRAGMA|ATTACH)\b`)

// TestStatementsAreConstant: what people write comes into a statement of SQL as an argument,
// never as a part of its text. Where text of a statement is a format, or is joined
// with anything but literals, its file is on a list with what it is made of.
func TestStatementsAreConstant(t *testing.T) {
	found, made, named := 0, map[string]bool{}, namedTexts(t)
	eachSource(t, func(path string, set *token.FileSet, file *ast.File) {
		ast.Inspect(file, func(n ast.Node) bool {
			if text, ok := n.(*ast.BasicLit); ok && sqlText.MatchString(text.Value) {
				found++
			}
			if joinsSQL(n, named[filepath.Dir(path)]) {
				made[path] = true
				if madeStatements[path] == "" {
					t.Errorf("%s: a statement is put together", set.Position(n.Pos()))
				}
			}
			return true
		})
	})
	if found < 50 {
		t.Errorf("only %d statements were found", found)
	}
	for path := range madeStatements {
		if !made[path] {
			t.Errorf("%s puts no statement together any more", path)
		}
	}
}

// joinsSQL reports a sum of text of a statement with what is no literal, and a format
// that makes a statement.
func joinsSQL(n ast.Node, named map[string]bool) bool {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		return n.Op == token.ADD && !literal(n, named) && (holdsSQL(n.X) || holdsSQL(n.Y))
	case *ast.CallExpr:
		if f, ok := n.Fun.(*ast.SelectorExpr); ok && len(n.Args) > 0 && strings.HasPrefix(f.Sel.Name, "Sprint") {
			return holdsSQL(n.Args[0])
		}
	}
	return false
}

func holdsSQL(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Kind == token.STRING && sqlText.MatchString(e.Value)
	case *ast.BinaryExpr:
		return holdsSQL(e.X) || holdsSQL(e.Y)
	}
	return false
}

// literal reports text that stands in the source as it is, under a name or not.
func literal(e ast.Expr, named map[string]bool) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Kind == token.STRING
	case *ast.Ident:
		return named[e.Name]
	case *ast.BinaryExpr:
		return e.Op == token.ADD && literal(e.X, named) && literal(e.Y, named)
	}
	return false
}

// namedTexts gives the names of the constants of each folder.
func namedTexts(t *testing.T) map[string]map[string]bool {
	t.Helper()
	all := map[string]map[string]bool{}
	eachSource(t, func(path string, _ *token.FileSet, file *ast.File) {
		folder := filepath.Dir(path)
		if all[folder] == nil {
			all[folder] = map[string]bool{}
		}
		for _, decl := range file.Decls {
			gen, ok := decl.(*ast.GenDecl)
			if !ok || gen.Tok != token.CONST {
				continue
			}
			for _, spec := range gen.Specs {
				for _, name := range spec.(*ast.ValueSpec).Names {
					all[folder][name.Name] = true
				}
			}
		}
	})
	return all
}

// markup is what makes text into a page or a program.
var markup = regexp.MustCompile(`innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|\.srcdoc|javascript:`)

// computed is a member of an object written under a name that is not known beforehand,
// by which data may reach what all objects share.
var computed = regexp.MustCompile(`[\w)\]]\[([A-Za-z_$][\w$.]*)\]\s*(?:\?\?|\|\|)?=[^=>]|__proto__`)

// numbered are the files in which such a name is a number.
var numbered = map[string]string{"visit_store.js": "the bytes of an id", "jsqr.js": "pixels; it is a library, given nothing else"}

// TestScriptsNameNoMembers: no script writes members that data names; what is kept by
// name is kept in maps, or in the browser's own store.
func TestScriptsNameNoMembers(t *testing.T) {
	eachScript(t, func(name, text string) {
		switch found := computed.FindString(text); {
		case found != "" && numbered[name] == "":
			t.Errorf("%s writes %s", name, found)
		case found == "" && numbered[name] != "":
			t.Errorf("%s writes no such member any more", name)
		}
	})
}

// eachScript reads the scripts that the program serves.
func eachScript(t *testing.T, do func(name, text string)) {
	t.Helper()
	files, err := filepath.Glob("internal/web/static/*.js")
	if err != nil || len(files) < 5 {
		t.Fatal(files, err)
	}
	for _, path := range files {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		do(filepath.Base(path), string(text))
	}
}

// TestScriptsBuildNoMarkup: scripts put text into pages as text alone. A message is heard
// by the worker that it was sent to, and by no window.
func TestScriptsBuildNoMarkup(t *testing.T) {
	eachScript(t, func(name, text string) {
		if found := markup.FindString(text); found != "" {
			t.Errorf("%s uses %s", name, found)
		}
		if strings.Contains(text, `window.addEventListener("message"`) || strings.Contains(text, "window.onmessage") {
			t.Errorf("%s hears messages of any window", name)
		}
	})
}
