package sootline_test

import (
	"bytes"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The faces tell apart what the rooms below say; faceWords are the types, and the
// constants of no type of their own, whose words they then show.
var faceWords = []string{
	"judge.Action", "judge.Verdict", "address.Standing", "visit.State", "app.Becomes", "sootline.Role", "sootline.Code",
	"sootline.Kind", "sootline.AlarmCategory", "sootline.DeviceKind",
	"sootline.VisitOpened", "sootline.VisitClosed", "sootline.LeftNormal", "sootline.LeftNotNormal", "app.DisabledCaution",
}

// sameWord lists literals that have the letters of such a constant and mean
// something else, by file, and why.
var sameWord = map[string]map[string]string{
	"cmd/sootline/address_settings.go": {"wanted": "heading of a table"},
	"cmd/sootline/site.go":             {"loop": "heading of a table", "unset": "heading of a table"},
	"cmd/sootline/site_area.go":        {"area": "heading of a table"},
	"cmd/sootline/standby.go":          {"set": "heading of a table", "alarm": "heading of a table"},
	"cmd/sootline/visit.go":            {"visit": "name of a command"},
	"cmd/sootline/visit_due.go":        {"due": "name of a command", "overdue": "words of a heading"},
	"cmd/sootline/loop.go":             {"fault": "heading of a table"},
	"cmd/sootline/judge_csv.go":        {"area": "heading of a table"},
	"internal/shape/alarms.go":         {"area": "heading of a table"},
	"internal/web/numbers_found.go":    {"loop": "field of a form"},
	"internal/web/numbers_plan.go":     {"area": "an order of walking"},
	"internal/web/settings_wanted.go":  {"area": "field of a form"},
	"internal/web/papers.go":           {"loop": "field of a form"},
	"internal/web/papers_shelf.go":     {"visit": "kind of paper", "loop": "kind of paper", "bench": "kind of paper"},
	"internal/web/power.go":            {"isolator": "field of a form", "fault": "field of a form"},
	"internal/web/power_faults.go":     {"fault": "column of a table", "area": "column of a table"},
	"internal/web/settings_site.go":    {"loop": "field of a form", "unset": "field of a form", "reserved": "field of a form", "supply": "page of a setting", "area": "page of a setting", "isolator": "field of a form"},
	"internal/web/defect_form.go":      {"defect": "key of what an entry says"},
	"internal/api/defects.go":          {"defect": "key of what an entry says"},
	"internal/shape/defects.go":        {"mended": "key of the JSON", "closed": "key of the JSON"},
	"cmd/sootline/defect.go":           {"defect": "name of the command"},
	"cmd/sootline/way.go":              {"defect": "name of the command"},
	"internal/web/settings_sheet.go":   {"not known": "words of a choice"},
	"cmd/bench/fold.go":                {"bench": "name of the command"},
	"cmd/bench/index.go":               {"bench": "name of the command"},
	"cmd/bench/round.go":               {"bench": "name of the command"},
	"cmd/bench/web.go":                 {"bench": "name of the command"},
	"cmd/sootline/bench.go":            {"bench": "name of the command", "area": "an order of places"},
	"cmd/sootline/bench_words.go":      {"leave": "word of the dialogue"},
}

// A word that a room below declares as a constant is not typed anew in a face:
// it would compile after the word has changed.
func TestConstantsReachTheFaces(t *testing.T) {
	set := token.NewFileSet()
	in := exports(t, set)
	words := map[string]string{} // what is said, and the constant for it
	for path := range in.files {
		if rest, below := strings.CutPrefix(path, "sootline/internal/"); path == "sootline" || below && !slices.Contains([]string{"web", "api", "shape"}, rest) {
			collectWords(t, in.load(t, path), words)
		}
	}
	if words["leave"] == "" || words["opened"] == "" || words["technician"] == "" {
		t.Fatalf("the constants are not seen: %v", words)
	}
	used := map[string]bool{}
	for _, folder := range []string{"internal/web", "internal/api", "internal/shape", "cmd/sootline", "cmd/bench"} {
		for _, found := range literals(t, set, in, folder) {
			name := words[found.text]
			if _, known := sameWord[found.path][found.text]; known && found.told {
				used[found.path+found.text] = true
			} else if name != "" && found.told || found.typed {
				t.Errorf("%s:%d: %q is typed anew; the constant is %s", found.path, found.line, found.text, name)
			}
		}
	}
	for path, words := range sameWord {
		for word := range words {
			if !used[path+word] {
				t.Errorf("sameWord lists %q of %s, which is not there", word, path)
			}
		}
	}
}

// exported gives packages as the compiler left them.
type exported struct {
	importer types.Importer
	files    map[string]string // by import path
}

func exports(t *testing.T, set *token.FileSet) exported {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "go", "list", "-export", "-deps", "-f", "{{.ImportPath}} {{.Export}}", "./...").Output()
	if err != nil {
		t.Fatal(err)
	}
	in := exported{files: map[string]string{}}
	for line := range bytes.Lines(out) {
		path, file, _ := strings.Cut(strings.TrimSpace(string(line)), " ")
		in.files[path] = file
	}
	in.importer = importer.ForCompiler(set, "gc", func(path string) (io.ReadCloser, error) { return os.Open(in.files[path]) })
	return in
}

func (in exported) load(t *testing.T, path string) *types.Package {
	t.Helper()
	pkg, err := in.importer.Import(path)
	if err != nil {
		t.Fatal(err)
	}
	return pkg
}

// collectWords adds the constants of a package that are among faceWords.
func collectWords(t *testing.T, pkg *types.Package, words map[string]string) {
	t.Helper()
	for _, name := range pkg.Scope().Names() {
		c, ok := pkg.Scope().Lookup(name).(*types.Const)
		if !ok || c.Val().Kind() != constant.String || constant.StringVal(c.Val()) == "" || !c.Exported() {
			continue
		}
		full := pkg.Name() + "." + name
		if slices.Contains(faceWords, full) || slices.Contains(faceWords, types.TypeString(c.Type(), (*types.Package).Name)) {
			words[constant.StringVal(c.Val())] = full
		}
	}
}

// found is a literal of a face: told where a case, a comparison or a list sets it
// against others, typed where it stands for a value of a type declared below.
type found struct {
	path, text  string
	line        int
	told, typed bool
}

func literals(t *testing.T, set *token.FileSet, in exported, folder string) (all []found) {
	t.Helper()
	files := parsed(t, set, folder)
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	cfg := types.Config{Importer: in.importer}
	if _, err := cfg.Check("sootline/"+folder, set, files, info); err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		told := map[ast.Expr]bool{}
		declared := map[ast.Expr]bool{}
		ast.Inspect(file, func(n ast.Node) bool {
			for _, e := range toldIn(n) {
				told[e] = true
			}
			if spec, ok := n.(*ast.ValueSpec); ok && spec.Type != nil {
				for _, e := range spec.Values {
					declared[e] = true
				}
			}
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				text, _ := strconv.Unquote(lit.Value)
				at := set.Position(lit.Pos())
				named, ok := info.Types[lit].Type.(*types.Named)
				typed := ok && text != "" && !declared[lit] && named.Obj().Pkg() != nil && in.files[named.Obj().Pkg().Path()] != "" && strings.HasPrefix(named.Obj().Pkg().Path(), "sootline")
				all = append(all, found{filepath.ToSlash(at.Filename), text, at.Line, told[lit], typed})
			}
			return true
		})
	}
	return all
}

func parsed(t *testing.T, set *token.FileSet, folder string) (files []*ast.File) {
	t.Helper()
	paths, err := filepath.Glob(folder + "/*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	return files
}

// toldIn gives the expressions that a node sets against others.
func toldIn(n ast.Node) (all []ast.Expr) {
	switch n := n.(type) {
	case *ast.CaseClause:
		return n.List
	case *ast.BinaryExpr:
		if n.Op == token.EQL || n.Op == token.NEQ {
			return []ast.Expr{n.X, n.Y}
		}
	case *ast.CompositeLit:
		for _, e := range n.Elts {
			if pair, ok := e.(*ast.KeyValueExpr); ok {
				all = append(all, pair.Key)
				e = pair.Value
			}
			all = append(all, e)
		}
	}
	return all
}
