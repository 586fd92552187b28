package sootline_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// decoderRooms are the folders whose readers have to be fuzzed. Left out are programs
// that measure (bench, judgescore), what scores from outside (attack, worlds), and rooms
// that are given numbers and registers alone (robust, judge, check, visit, count, chart, demo).
var decoderRooms = []string{
	".", "internal/address", "internal/api", "internal/app", "internal/circuit", "internal/ear", "internal/keep", "internal/listing", "internal/live", "internal/nuisance",
	"internal/paper", "internal/papers", "internal/shape", "internal/store", "internal/web", "cmd/sootline",
}

// decoderName is how functions are called that read; takesInput are the types of what
// is read. A function that takes such a thing and may return an error counts as a
// reader whatever its name.
var (
	decoderName = regexp.MustCompile(`^(?i:parse|decode|read|scan|unmarshal|unpack|split|sniff|typed|from)(Of)?([A-Z]|$)`)
	takesInput  = []string{
		"string", "[]string", "[]byte", "io.Reader", "io.ReaderAt", "encoding/json.RawMessage",
		"net/url.Values", "*net/http.Request", "func(...any) error",
	}
)

// Every reader of bytes or typed text is reached by a fuzz target, or stands in
// unfuzzed with the reason.
func TestEveryDecoderIsFuzzed(t *testing.T) {
	all := survey(t)
	reached := all.reached()
	if len(all.targets) < 30 || len(all.decoders) < 100 {
		t.Fatalf("%d targets and %d readers are seen", len(all.targets), len(all.decoders))
	}
	page, err := os.ReadFile("docs/methods/fuzzing.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range all.targets {
		if line := "| `" + name[strings.LastIndex(name, ".")+1:] + "` | "; !strings.Contains(string(page), line) {
			t.Errorf("the table of docs/methods/fuzzing.md lacks a line for %s", name)
		}
	}
	why := map[string]string{}
	for _, group := range unfuzzed {
		for name := range strings.FieldsSeq(group.names) {
			if why[name] != "" {
				t.Errorf("unfuzzed names %s twice", name)
			}
			why[name] = group.why
		}
	}
	for _, name := range all.decoders {
		if !reached[name] && why[name] == "" {
			t.Errorf("no fuzz target reaches %s", name)
		}
		if reached[name] && why[name] != "" {
			t.Errorf("unfuzzed names %s, which a target reaches", name)
		}
		delete(why, name)
	}
	for name := range why {
		t.Errorf("unfuzzed names %s, which is no reader", name)
	}
}

// calls is what the functions of the house name in their bodies.
type calls struct {
	targets  []string
	roots    []string            // what the functions that targets give away name: what they do before is no fuzzing
	names    map[string][]string // by function
	decoders []string
}

// survey reads every room with its tests.
func survey(t *testing.T) *calls {
	set := token.NewFileSet()
	in := exports(t, set)
	all := &calls{names: map[string][]string{}}
	for from, to := range heldInFields {
		all.names[from] = append(all.names[from], to...)
	}
	for _, room := range decoderRooms {
		all.room(t, set, in, room)
	}
	slices.Sort(all.decoders)
	return all
}

func (c *calls) room(t *testing.T, set *token.FileSet, in exported, room string) {
	t.Helper()
	paths, err := filepath.Glob(room + "/*.go")
	if err != nil {
		t.Fatal(err)
	}
	var files []*ast.File
	for _, path := range paths {
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(file.Name.Name, "_test") {
			files = append(files, file)
		}
	}
	info := &types.Info{Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}}
	// Libraries of tests alone are not among the exports: what names them is no reader.
	cfg := types.Config{Importer: in.importer, Error: func(error) {}}
	path := strings.TrimSuffix("sootline/"+room, "/.")
	pkg, _ := cfg.Check(path, set, files, info) //nolint:errcheck // see above
	for _, file := range files {
		isTest := strings.HasSuffix(set.Position(file.Pos()).Filename, "_test.go")
		for _, decl := range file.Decls {
			if f, ok := decl.(*ast.FuncDecl); ok && f.Body != nil {
				c.function(info, f, isTest)
			}
		}
	}
	c.interfaces(pkg)
}

// function notes what a function names, and whether it is a target or a reader.
func (c *calls) function(info *types.Info, f *ast.FuncDecl, isTest bool) {
	obj, ok := info.Defs[f.Name].(*types.Func)
	if !ok {
		return
	}
	name := obj.FullName()
	c.names[name] = append(c.names[name], named(info, f.Body)...)
	switch {
	case isTest && strings.HasPrefix(f.Name.Name, "Fuzz"):
		c.targets = append(c.targets, name)
		ast.Inspect(f.Body, func(n ast.Node) bool {
			if given, ok := n.(*ast.FuncLit); ok {
				c.roots = append(c.roots, named(info, given)...)
			}
			return true
		})
	case !isTest && isDecoder(obj):
		c.decoders = append(c.decoders, name)
	}
}

// named lists the functions of the house that a piece of code names.
func named(info *types.Info, code ast.Node) (names []string) {
	ast.Inspect(code, func(n ast.Node) bool {
		if ident, ok := n.(*ast.Ident); ok {
			if f, ok := info.Uses[ident].(*types.Func); ok && f.Pkg() != nil && strings.HasPrefix(f.Pkg().Path(), "sootline") {
				names = append(names, f.Origin().FullName())
			}
		}
		return true
	})
	return names
}

func isDecoder(f *types.Func) bool {
	sig := f.Signature()
	takes := false
	for v := range sig.Params().Variables() {
		takes = takes || slices.Contains(takesInput, v.Type().String())
	}
	fails := false
	for v := range sig.Results().Variables() {
		fails = fails || v.Type().String() == "error"
	}
	return takes && (fails || decoderName.MatchString(f.Name()))
}

// interfaces lets a method of an interface name those of the types that have it.
func (c *calls) interfaces(pkg *types.Package) {
	scope := pkg.Scope()
	for _, of := range scope.Names() {
		face, ok := scope.Lookup(of).Type().Underlying().(*types.Interface)
		if !ok {
			continue
		}
		for _, by := range scope.Names() {
			held := types.NewPointer(scope.Lookup(by).Type())
			if _, isType := scope.Lookup(by).(*types.TypeName); !isType || !types.Implements(held, face) {
				continue
			}
			for method := range face.Methods() {
				if obj, _, _ := types.LookupFieldOrMethod(held, true, pkg, method.Name()); obj != nil {
					if f, ok := obj.(*types.Func); ok {
						c.names[method.FullName()] = append(c.names[method.FullName()], f.FullName())
					}
				}
			}
		}
	}
}

// reached walks from what the targets name.
func (c *calls) reached() map[string]bool {
	seen := map[string]bool{}
	next := slices.Clone(c.roots)
	for len(next) > 0 {
		name := next[len(next)-1]
		next = next[:len(next)-1]
		if seen[name] || slices.Contains(makeWorlds, name) {
			continue
		}
		seen[name] = true
		next = append(next, c.names[name]...)
	}
	return seen
}
