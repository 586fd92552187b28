package web

import (
	"go/ast"
	"go/parser"
	"go/token"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/danielgtaylor/huma/v2"

	"sootline"
)

// Every use case has a page that is there, or words that say where else it is done.
func TestWayPages(t *testing.T) {
	pages := wayPages()
	file, err := parser.ParseFile(token.NewFileSet(), "../../way.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	uses := 0
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if ok && len(spec.Values) == 1 {
			text, _ := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
			if _, ok := pages[sootline.Use(text)]; !ok {
				t.Errorf("use %s has no line in the table of pages", text)
			}
			uses++
		}
		return true
	})
	if uses < 10 || uses != len(pages) {
		t.Errorf("%d uses declared, %d in the table", uses, len(pages))
	}
	routes := (&Server{}).routes()
	for use, page := range pages {
		pattern := "GET /site/{site}" + page.address
		if page.ofBook {
			pattern = "GET " + strings.TrimSuffix(page.address, "/")
			if page.address == "/" {
				pattern = "GET /{$}"
			}
		}
		switch there := slices.ContainsFunc(routes, func(r route) bool { return r.pattern == pattern }); {
		case page.label != "" && !there:
			t.Errorf("%s: no page answers %s", use, pattern)
		case page.label == "" && page.words == "" && use != sootline.Give:
			t.Errorf("%s: neither a page nor words", use)
		}
	}
}

// A way out on a page is a sentence with a link; no command shows.
func TestWayOutOnPages(t *testing.T) {
	r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/", nil)
	r.SetPathValue("site", "a")
	err := sootline.Errorf(sootline.Damaged, "see where", "it is damaged").Do(sootline.VerifyLog).Or("put a backup in its place").Do(sootline.RestoreBackup)
	want := []wayLine{
		{"See where.", "/site/a/log/verify", "Check of the log"},
		{Text: "Put a backup in its place. Backups are put back at the machine that keeps the book."},
	}
	if got := wayOut(r, err); !slices.Equal(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	r.SetPathValue("site", "")
	if got := wayOut(r, err); got[0].Address != "" || got[0].Label != "" {
		t.Errorf("a link to a page of no site: %+v", got[0])
	}
	given := sootline.Errorf(sootline.Invalid, "do it, then confirm it", "not confirmed").Do(sootline.Give, "confirm", "outputs")
	if got := wayOut(r, given)[0].Text; got != "Do it, then confirm it." {
		t.Errorf("%q", got)
	}
}

// The page that tells of trouble links to where the way out leads, and the API
// names it; neither shows a command.
func TestTroubleSaysTheWayOut(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	page := read(t, b.do(http.MethodGet, site+"/log/"+s.newID(), "", nil))
	if want := `The log shows the ids. <a href="` + site + `/log">Log</a>`; !strings.Contains(page, want) || strings.Contains(page, "`") {
		t.Errorf("the page lacks %q:\n%s", want, page)
	}
	answer := read(t, b.do(http.MethodGet, "/api/v1/sites/"+strings.TrimPrefix(site, "/site/")+"/log/entries/"+s.newID(), "", nil))
	if want := `"ways":[{"text":"the log shows the ids","do":"read-log"}]`; !strings.Contains(answer, want) || strings.Contains(answer, "`") {
		t.Errorf("the answer lacks %s: %s", want, answer)
	}
}

// Where the API has an operation for a use case, the operation has its name.
func TestUsesAreOperations(t *testing.T) {
	without := map[sootline.Use]string{
		sootline.RenameSite: "no operation", sootline.StateLoop: "no operation",
		sootline.ExportReadable: "a file of the pages: /site/{site}/log/readable", sootline.RestoreBackup: "at the machine alone", sootline.RebuildIndex: "at the machine alone", sootline.OpenVisit: "no operation",
		sootline.ReopenBench: "at the machine alone", sootline.MakeHeads: "at the machine alone",
		sootline.NoteNumber: "operation note-device", sootline.ReadDevice: "operation note-device", sootline.ListSettings: "operation compare-settings",
		sootline.CloseVisit: "no operation", sootline.WalkVisit: "no operation", sootline.Give: "the same operation again",
	}
	operations := map[string]bool{}
	for _, item := range newServer(t, nil).api.OpenAPI().Paths {
		for _, op := range []*huma.Operation{item.Get, item.Post, item.Put, item.Delete} {
			if op != nil {
				operations[op.OperationID] = true
			}
		}
	}
	for use := range wayPages() {
		if why := without[use]; operations[string(use)] == (why != "") {
			t.Errorf("use %s: operation %v, listed as without: %q", use, operations[string(use)], why)
		}
	}
}
