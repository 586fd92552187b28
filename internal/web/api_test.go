package web

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"net/http"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"sootline/internal/api"
)

// document is the OpenAPI document as far as the tests read it.
type document struct {
	Paths map[string]map[string]struct {
		OperationID string                     `json:"operationId"`
		Responses   map[string]json.RawMessage `json:"responses"`
	} `json:"paths"`
}

// openAPI fetches the document as anybody who is signed in would, and makes it
// ready for an independent validator of JSON Schema 2020-12, which OpenAPI 3.1 is.
func openAPI(t *testing.T, s *Server) (document, *jsonschema.Compiler) {
	t.Helper()
	text := visit(t, s).get(api.Root + "/openapi.json")
	var doc document
	if err := json.Unmarshal([]byte(text), &doc); err != nil {
		t.Fatal(err)
	}
	whole, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("openapi.json", whole); err != nil {
		t.Fatal(err)
	}
	return doc, c
}

var update = flag.Bool("update", false, "write docs/formats/openapi.json instead of comparing")

// TestOpenAPI holds the document against the copy in docs/formats.
func TestOpenAPI(t *testing.T) {
	const name = "../../docs/formats/openapi.json"
	s := newServer(t, nil)
	raw, err := s.OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	var pretty bytes.Buffer
	if err := json.Indent(&pretty, raw, "", " "); err != nil {
		t.Fatal(err)
	}
	pretty.WriteByte('\n')
	if *update {
		if err := os.WriteFile(name, pretty.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(kept), pretty.String()); diff != "" {
		t.Errorf("%s is not what the code says; go test ./internal/web -run OpenAPI -update writes it anew:\n%s", name, diff)
	}
}

// TestEveryOperation calls every operation of the document as a stranger, a
// technician and a manager, and holds every answer against the schema that the
// document gives for it. An operation without a line here is a fault.
func TestEveryOperation(t *testing.T) {
	s, _ := withDemo(t, abroad)
	doc, c := openAPI(t, s)
	calls := apiCalls(t, s)
	people := [3]*browser{visit(t, s), signIn(t, s, "T. Tech"), signIn(t, s, "M. Manager")}
	seen := map[string]bool{}
	for _, path := range slices.Sorted(maps.Keys(doc.Paths)) {
		for method, op := range doc.Paths[path] {
			call, known := calls[op.OperationID]
			if !known || seen[op.OperationID] {
				t.Errorf("operation %s has no scenario of its own", op.OperationID)
				continue
			}
			seen[op.OperationID] = true
			for i, who := range [...]string{"stranger", "technician", "manager"} {
				kind, body := "", ""
				if call.body != nil {
					kind, body = call.body(i)
				}
				res := people[i].do(strings.ToUpper(method), api.Root+call.address, body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
				text := read(t, res)
				where := fmt.Sprintf("%s as %s", op.OperationID, who)
				if res.StatusCode != call.want[i] {
					t.Errorf("%s gives %d, want %d: %.300s", where, res.StatusCode, call.want[i], text)
					continue
				}
				validate(t, c, where, path, method, res, text)
			}
			if op.OperationID == "sign-out-everywhere" {
				people = [3]*browser{visit(t, s), signIn(t, s, "T. Tech"), signIn(t, s, "M. Manager")}
			}
		}
	}
	for id := range calls {
		if !seen[id] {
			t.Errorf("the document has no operation %s", id)
		}
	}
}

// validate holds an answer against the document.
func validate(t *testing.T, c *jsonschema.Compiler, where, path, method string, res *http.Response, text string) {
	t.Helper()
	kind, _, _ := strings.Cut(res.Header.Get("Content-Type"), ";")
	if kind == "application/jsonl" || kind == "application/octet-stream" {
		return // docs/formats/log.md and docs/formats/exchange.md describe them
	}
	escape := strings.NewReplacer("~", "~0", "/", "~1").Replace
	schema, err := c.Compile(fmt.Sprintf("openapi.json#/paths/%s/%s/responses/%d/content/%s/schema", escape(path), method, res.StatusCode, escape(kind)))
	if err != nil {
		t.Errorf("%s: the document does not describe %d as %s: %v", where, res.StatusCode, kind, err)
		return
	}
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err == nil {
		err = schema.Validate(value)
	}
	if err != nil {
		t.Errorf("%s: %v", where, err)
	}
}

// The validator refuses what is not as the document says, so that silence means
// something.
func TestValidatorRefuses(t *testing.T) {
	s := newServer(t, nil)
	_, c := openAPI(t, s)
	schema, err := c.Compile("openapi.json#/components/schemas/Loop")
	if err != nil {
		t.Fatal(err)
	}
	if schema.Validate(map[string]any{"loop": 5}) == nil {
		t.Error("a loop whose name is a number passes")
	}
}

// A write that is handed in twice is there once; one that says something else
// under the same id is a conflict.
func TestWritesTwice(t *testing.T) {
	s, _ := withDemo(t, nil)
	b := visit(t, s)
	site := api.Root + "/sites/" + surveyOf(t, s).Register.Site.ID.String()
	point := aSmokePoint(t, surveyOf(t, s)).ID.String()
	before := written(t, s)
	post := func(address, body string, want int) string {
		t.Helper()
		res := b.do(http.MethodPost, address, body, func(r *http.Request) { r.Header.Set("Content-Type", "application/json") })
		text := read(t, res)
		if res.StatusCode != want {
			t.Errorf("POST %s gives %d, want %d: %s", address, res.StatusCode, want, text)
		}
		return text
	}
	id, amending, site2 := s.newID(), s.newID(), s.newID()
	for range 2 {
		post(site+"/log", fmt.Sprintf(`{"id":%q,"kind":"read","point":%q,"body":{"samples":[25]}}`, id, point), 200)
		post(site+"/log/entries/"+id+"/correction", fmt.Sprintf(`{"id":%q,"why":"misread","body":{"samples":[24]}}`, amending), 200)
	}
	if n := written(t, s); n != before+2 {
		t.Errorf("%d entries more, want 2", n-before)
	}
	post(site+"/log", fmt.Sprintf(`{"id":%q,"kind":"read","point":%q,"body":{"samples":[26]}}`, id, point), 409)
	for range 2 {
		post(api.Root+"/sites", fmt.Sprintf(`{"id":%q,"name":"Mill"}`, site2), 200)
	}
	post(api.Root+"/sites", fmt.Sprintf(`{"id":%q,"name":"Mill"}`, s.newID()), 409)
	post(api.Root+"/sites", fmt.Sprintf(`{"id":%q,"name":"Another"}`, site2), 409)
}

// What cannot be gets problem details: a type, the status, and a sentence that
// names no command and no folder.
func TestProblems(t *testing.T) {
	s, _ := withDemo(t, nil)
	b := visit(t, s)
	site := api.Root + "/sites/" + surveyOf(t, s).Register.Site.ID.String()
	kind, listing := multipartOf(t, "files", "x.csv", "\x00\x01\x02")
	for _, c := range []struct {
		method, address, kind, body string
		want                        int
	}{
		{"GET", api.Root + "/nothing", "", "", 404},
		{"GET", api.Root + "/sites/works", "", "", 422},
		{"GET", api.Root + "/sites/01890a5d-ac96-774b-bcce-b302099a8057", "", "", 404},
		{"GET", site + "/points?colour=red", "", "", 422},
		{"GET", site + "/points/9.9.999", "", "", 404},
		{"GET", site + "/loops/9.9/power", "", "", 404},
		{"GET", site + "/loops/1.1/power?volts=NaN", "", "", 422},
		{"GET", site + "/loops/1.1/power?add=3", "", "", 404},
		{"GET", site + "/judged?on=yesterday", "", "", 422},
		{"POST", site + "/log", "application/json", `{"id":"x"`, 400},
		{"POST", site + "/log", "application/json", `{"id":"` + s.newID() + `","kind":"nonsense","body":{}}`, 422},
		{"POST", site + "/log", "application/json", `{"id":"` + s.newID() + `","kind":"note","body":{"text":"x","colour":1}}`, 422},
		{"POST", site + "/log", "application/json", `{"id":"` + s.newID() + `","kind":"withdrawn","body":{}}`, 422},
		{"POST", site + "/log", "application/json", `{"id":"` + s.newID() + `","kind":"note","body":{"text":"` + strings.Repeat("x", 2<<20) + `"}}`, 413},
		{"POST", api.Root + "/log/import", "application/jsonl", "{\n", 422},
		{"POST", site + "/intake", kind, listing, 422},
		{"DELETE", site, "", "", 404},
	} {
		res := b.do(c.method, c.address, c.body, func(r *http.Request) { r.Header.Set("Content-Type", c.kind) })
		text := read(t, res)
		var problem struct {
			Status        int
			Title, Detail string
		}
		if err := json.Unmarshal([]byte(text), &problem); err != nil || res.Header.Get("Content-Type") != "application/problem+json" {
			t.Errorf("%s %s: %v in %s", c.method, c.address, err, res.Header.Get("Content-Type"))
		}
		if res.StatusCode != c.want || problem.Status != c.want || problem.Title == "" || problem.Detail == "" || regexp.MustCompile("`sootline|/tmp/|--").MatchString(text) {
			t.Errorf("%s %.200s gives %d, want %d: %.400s", c.method, c.address, res.StatusCode, c.want, text)
		}
	}
}

// Another site's page may not write, and a technician may not say what a site is.
func TestAPIRefuses(t *testing.T) {
	s, _ := withDemo(t, abroad)
	site := api.Root + "/sites/" + surveyOf(t, s).Register.Site.ID.String()
	tech := signIn(t, s, "T. Tech")
	for _, c := range []struct {
		body, from string
	}{
		{`{"id":"` + s.newID() + `","kind":"note","body":{"text":"x"}}`, "cross-site"},
		{`{"id":"` + s.newID() + `","kind":"opened","body":{"name":"Mine"}}`, "same-origin"},
	} {
		res := tech.do(http.MethodPost, site+"/log", c.body, func(r *http.Request) {
			r.Header.Set("Content-Type", "application/json")
			r.Header.Set("Sec-Fetch-Site", c.from)
		})
		if res.StatusCode != http.StatusForbidden {
			t.Errorf("%s from %s gives %d", c.body, c.from, res.StatusCode)
		}
	}
}
