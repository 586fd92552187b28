package main

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"html"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"sootline"
)

// Every use case has a command, and every command is one of the tree, with as
// many arguments and such flags as it takes.
func TestWayCommandsAreReal(t *testing.T) {
	commands := wayCommands()
	for _, use := range usesDeclared(t) {
		if _, ok := commands[use]; !ok && use != sootline.Give {
			t.Errorf("use %s has no command", use)
		}
	}
	for use, command := range commands {
		given := make([]string, len(command.arguments))
		for i := range given {
			given[i] = "1.2.003"
			if use == sootline.OpenVisit {
				given[i] = "90"
			}
		}
		for _, line := range []string{command.line(nil), command.line(given)} {
			if err := parses(line); err != nil {
				t.Errorf("%s: `%s`: %v", use, line, err)
			}
		}
	}
	if err := parses("sootline visit shut"); err == nil {
		t.Error("a command that is not there parses")
	}
	if err := parses("sootline log verify --loudly"); err == nil {
		t.Error("a flag that is not there parses")
	}
}

// A way out that says which field to give names a flag that some command has.
func TestGivenFieldsAreFlags(t *testing.T) {
	var has func(cmd *cobra.Command, flag string) bool
	has = func(cmd *cobra.Command, flag string) bool {
		return cmd.Flags().Lookup(flag) != nil || cmd.PersistentFlags().Lookup(flag) != nil ||
			slices.ContainsFunc(cmd.Commands(), func(sub *cobra.Command) bool { return has(sub, flag) })
	}
	root := rootCommand(&session{})
	if has(root, "loudly") {
		t.Error("a flag that is not there is found")
	}
	fields := 0
	eachCall(t, func(path, name string, args []ast.Expr) {
		if name != "Do" || len(args) < 2 || !strings.HasSuffix(exprName(args[0]), "Give") {
			return
		}
		fields++
		field, ok := literal(args[1])
		if !ok || !has(root, field) {
			t.Errorf("%s: way out gives %q, and no command has that flag", path, field)
		}
	})
	if fields < 5 {
		t.Errorf("%d ways out give a field: the test looks at the wrong place", fields)
	}
}

// The commands that pages show, for whoever is at the machine, are real too.
func TestCommandsOnPagesAreReal(t *testing.T) {
	pages, err := filepath.Glob("../../internal/web/page/*.html")
	if err != nil || len(pages) == 0 {
		t.Fatalf("no page found: %v", err)
	}
	shown := 0
	command := regexp.MustCompile(`(?:<code>|<pre[^>]*>|\n)(sootline [^<\n]+)`)
	for _, page := range pages {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range command.FindAllStringSubmatch(string(text), -1) {
			shown++
			if err := parses(html.UnescapeString(found[1])); err != nil {
				t.Errorf("%s: `%s`: %v", filepath.Base(page), found[1], err)
			}
		}
	}
	if shown == 0 {
		t.Error("no page shows a command: the test looks for the wrong thing")
	}
}

// parses reports why a command line is none of the program's, without running it.
func parses(line string) error {
	root := rootCommand(&session{})
	cmd, rest, err := root.Find(words(line)[1:])
	switch {
	case err != nil:
		return err
	case !cmd.Runnable():
		return errors.New("names no command, only a group of them")
	}
	cmd.InitDefaultHelpFlag()
	if err := cmd.ParseFlags(rest); err != nil {
		return err
	}
	if help, err := cmd.Flags().GetBool("help"); err == nil && help {
		return nil
	}
	return cmd.ValidateArgs(cmd.Flags().Args())
}

// usesDeclared reads the use cases of way.go.
func usesDeclared(t *testing.T) (uses []sootline.Use) {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "../../way.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if ok && exprName(spec.Type) == "Use" {
			text, _ := literal(spec.Values[0])
			uses = append(uses, sootline.Use(text))
		}
		return true
	})
	if len(uses) == 0 {
		t.Fatal("way.go declares no use case")
	}
	return uses
}

// eachCall visits the calls of the module's code, without its tests.
func eachCall(t *testing.T, see func(path, name string, args []ast.Expr)) {
	t.Helper()
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				see(path, exprName(call.Fun), call.Args)
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// exprName is the last name of an expression such as a.B or C.
func exprName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}
