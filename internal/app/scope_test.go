package app

import (
	"context"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/store"
)

// useCasesOfSites gives the names of the use cases that are given a site, from the
// source: the parameter is called site.
func useCasesOfSites(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok || f.Recv == nil || !f.Name.IsExported() {
				continue
			}
			if star, ok := f.Recv.List[0].Type.(*ast.StarExpr); !ok || star.X.(*ast.Ident).Name != "App" {
				continue
			}
			for _, p := range f.Type.Params.List {
				if slices.ContainsFunc(p.Names, func(n *ast.Ident) bool { return n.Name == "site" }) {
					names = append(names, f.Name.Name)
				}
			}
		}
	}
	slices.Sort(names)
	return names
}

// TestEveryUseCaseKeepsToScope calls every use case of a site as a manager who is bound
// to another one, and as nobody: each says that there is no such site, or is for no role
// at all, before it looks at what else it is given.
func TestEveryUseCaseKeepsToScope(t *testing.T) {
	a := newApp(t, "server")
	ctx := context.Background()
	site, err := a.AddSite(ctx, NewSite{Name: "Hidden Works", Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126}}})
	if err != nil {
		t.Fatal(err)
	}
	line, err := a.SiteOf(ctx, site)
	if err != nil || line == nil {
		t.Fatal(line, err)
	}
	names := useCasesOfSites(t)
	if len(names) < 40 {
		t.Fatalf("only %d use cases of a site are found", len(names))
	}
	bound, nobody := *a, *a
	bound.Who.Scope, nobody.Who.Role = sootline.OnlySites(sootline.NewID(today, a.Random())), sootline.Stranger
	for _, who := range []*App{&bound, &nobody} {
		for _, name := range names {
			t.Run(string(who.Who.Role)+name, func(t *testing.T) {
				err := callFor(t, who, name, *line)
				if who == &nobody && sootline.ErrorCode(err) == sootline.Forbidden {
					return // it says that this is for another role
				}
				if err == nil || !strings.Contains(err.Error(), sootline.NoSite().Error()) {
					t.Errorf("it says %v", err)
				}
			})
		}
		if lines, err := who.Sites(ctx); err != nil || len(lines) > 0 {
			t.Errorf("the list of sites: %v %v", lines, err)
		}
		if _, err := who.Site(ctx, "hidden works"); err == nil || sootline.ErrorCode(err) != sootline.NotFound {
			t.Errorf("by its name: %v", err)
		}
		if lists, err := who.DueEverywhere(ctx, 0); err != nil || len(lists) > 0 {
			t.Errorf("due: %v %v", lists, err)
		}
		if here, err := who.SiteOf(ctx, site); err != nil || here != nil {
			t.Errorf("by its id: %v %v", here, err)
		}
	}
	if after, err := a.Book.Entries(ctx, site); err != nil || len(after) != 2 {
		t.Errorf("%d entries, %v", len(after), err)
	}
}

// callFor calls a use case with the site and otherwise with nothing, and gives its error.
func callFor(t *testing.T, a *App, name string, site store.SiteLine) error {
	t.Helper()
	defer func() {
		if trouble := recover(); trouble != nil {
			t.Errorf("it went on to what else it is given: %v", trouble)
		}
	}()
	method := reflect.ValueOf(a).MethodByName(name)
	var in []reflect.Value
	given := false
	for i := range method.Type().NumIn() {
		switch p := method.Type().In(i); {
		case i == 0 && p == reflect.TypeFor[context.Context]():
			in = append(in, reflect.ValueOf(t.Context()))
		case p == reflect.TypeFor[sootline.ID]() && !given:
			in, given = append(in, reflect.ValueOf(site.ID)), true
		case p == reflect.TypeFor[store.SiteLine]():
			in, given = append(in, reflect.ValueOf(site)), true
		default:
			in = append(in, reflect.Zero(p))
		}
	}
	var last error
	for _, out := range method.Call(in) {
		if err, ok := out.Interface().(error); ok {
			last = err
		}
	}
	return last
}
