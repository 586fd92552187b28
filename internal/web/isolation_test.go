package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/worlds/firm"
)

// isolated is a service whose book holds two firms with all their people, and what may be asked of it: every route of the
// pages and every operation, as they are asked about the demo, turned to a marked site.
type isolated struct {
	s       *Server
	w       *firm.Marked
	calls   map[string]isolatedCall
	within  map[sootline.ID]marked // of each marked site
	demo    *regexp.Regexp         // the id of its site in an address
	doors   map[*firm.Somebody][]*browser
	writing bool // what writes is asked, else what reads
}

// isolatedCall is how a route or operation is asked about the demo.
type isolatedCall struct {
	method, address string
	body            func() (kind, body string)
	ofSite          bool
}

// marked is what a marked site's log can be asked about.
type marked struct{ point, note, defect string }

// owned is what is one's own alone, and would end what the other calls are asked with.
var owned = map[string]bool{"POST /sign-out": true, "POST /account": true, "sign-out-everywhere": true, "change-own-password": true, "end-session": true}

func newIsolated(t *testing.T) *isolated {
	t.Helper()
	s, demo := withDemo(t, func(c *Config) {
		abroad(c)
		c.App.Now = func() func() time.Time {
			now := today
			return func() time.Time { now = now.Add(time.Millisecond); return now }
		}()
	})
	x := &isolated{s: s, calls: map[string]isolatedCall{}, within: map[sootline.ID]marked{}, doors: map[*firm.Somebody][]*browser{}}
	x.demo = regexp.MustCompile(regexp.QuoteMeta(strings.TrimPrefix(demo, "/site/")))
	routes := routeCalls(t, s, demo)
	for _, route := range s.routes() {
		call := routes[route.pattern]
		if owned[route.pattern] || call.address == "" {
			continue
		}
		method, _, _ := strings.Cut(route.pattern, " ")
		if method != http.MethodPost {
			method = http.MethodGet
		}
		x.calls[route.pattern] = isolatedCall{method, call.address, bodyOf(call.body), strings.Contains(route.pattern, "{site}") || strings.Contains(route.pattern, "{hash}")}
	}
	operations := apiCalls(t, s)
	doc, _ := openAPI(t, s)
	for path, methods := range doc.Paths {
		for method, op := range methods {
			if call := operations[op.OperationID]; !owned[op.OperationID] {
				body := func() (string, string) { return "", "" }
				if call.body != nil {
					body = func() (string, string) { return call.body(0) }
				}
				x.calls[op.OperationID] = isolatedCall{strings.ToUpper(method), api.Root + call.address, body, strings.Contains(path, "{site}")}
			}
		}
	}
	x.fill(t)
	return x
}

// bodyOf is the body of a call of the pages.
func bodyOf(body func() string) func() (kind, text string) {
	return func() (string, string) {
		if body == nil {
			return "", ""
		}
		return "application/x-www-form-urlencoded", body()
	}
}

// fill writes the firms and lets their people in: with a browser, and a phone where their role has one. Who left was there
// before, with both.
func (x *isolated) fill(t *testing.T) {
	t.Helper()
	ctx := t.Context()
	var err error
	if x.w, err = firm.MarkedFirms(ctx, x.s.App.Book, 11, today); err != nil {
		t.Fatal(err)
	}
	if os.Getenv("SOOTLINE_LONG") == "" {
		x.thin()
	}
	for _, site := range x.w.Sites {
		entries, err := x.s.App.Book.Entries(ctx, site.ID)
		if err != nil {
			t.Fatal(err)
		}
		var in marked
		for _, e := range entries {
			switch e.Body.(type) {
			case sootline.Fitted:
				in.point = e.Point.String()
			case sootline.Note:
				in.note = e.ID.String()
			case sootline.Defect:
				in.defect = e.ID.String()
			}
		}
		x.within[site.ID] = in
	}
	for i := range x.w.People {
		x.admit(t, &x.w.People[i])
	}
	for _, m := range x.w.Marks {
		if m.What == firm.JournalMark { // who tried to sign in stands there
			visit(t, x.s).post("/sign-in", url.Values{"name": {m.Text}, "password": {"wrong"}, "next": {"/"}})
		}
	}
}

// thin leaves one person of each kind, of either firm in turn.
func (x *isolated) thin() {
	kinds := map[firm.PersonKind]bool{}
	x.w.People = slices.DeleteFunc(x.w.People, func(p firm.Somebody) bool {
		of := fmt.Sprint("firm ", 1+len(kinds)%2)
		if kinds[p.Sees.Kind] || p.Firm != "" && p.Firm != of {
			return true
		}
		kinds[p.Sees.Kind] = true
		return false
	})
}

func (x *isolated) admit(t *testing.T, p *firm.Somebody) {
	t.Helper()
	if p.Sees.Kind == "stranger" {
		x.doors[p] = []*browser{visit(t, x.s)}
		return
	}
	role, scope := sootline.Technician, app.Scope{Bound: true}
	switch p.Sees.Kind {
	case "customer":
		role = sootline.Customer
	case "reader":
		role = sootline.Reader
	case "office manager", "firm manager":
		role = sootline.Manager
	}
	for _, site := range x.w.Sites {
		var in bool
		switch p.Sees.Sites {
		case firm.SitesOfOffice:
			in = site.Office == p.Office
		case firm.SitesOfTeam:
			in = site.Team == p.Team
		case firm.SitesOfClient:
			in = site.Customer == p.Customer
		default: // who left had all of the firm
			in = site.Firm == p.Firm
		}
		if in {
			scope.Sites = append(scope.Sites, site.ID)
		}
	}
	err := x.s.App.AddPersonFor(t.Context(), p.Name, role, scope, password)
	if err != nil {
		t.Fatal(err)
	}
	b := signIn(t, x.s, p.Name)
	x.doors[p] = []*browser{b}
	if role.May(sootline.Technician) {
		x.doors[p] = append(x.doors[p], pairPhone(t, x.s, b, "phone"))
	}
	if p.Sees.Kind == "leaver" {
		if err := x.s.App.RemovePerson(t.Context(), p.Name); err != nil {
			t.Fatal(err)
		}
	}
}

// Routes implements [firm.Door].
func (x *isolated) Routes() (ofSite, others []string) {
	for name, call := range x.calls {
		switch {
		case (call.method == http.MethodGet) == x.writing:
		case call.ofSite:
			ofSite = append(ofSite, name)
		default:
			others = append(others, name)
		}
	}
	slices.Sort(ofSite)
	slices.Sort(others)
	return ofSite, others
}

var (
	anID     = `[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}`
	pointIn  = regexp.MustCompile(`(/points?/)` + anID)
	defectIn = regexp.MustCompile(`(/defects?/)[^/?]+`)
	entryIn  = regexp.MustCompile(`(/log/(?:entries/)?)` + anID)
	photoIn  = regexp.MustCompile(`(/photo/)[0-9a-f]{8,}`)
)

// Ask implements [firm.Door]: by the browser, and by the phone where there is one.
func (x *isolated) Ask(_ context.Context, p *firm.Somebody, route string, site firm.MarkedSite) ([]byte, error) {
	call, in := x.calls[route], x.within[site.ID]
	address := x.demo.ReplaceAllString(call.address, site.ID.String())
	address = pointIn.ReplaceAllString(address, "${1}"+in.point)
	address = defectIn.ReplaceAllString(address, "${1}"+in.defect)
	address = entryIn.ReplaceAllString(address, "${1}"+in.note)
	address = photoIn.ReplaceAllString(address, "${1}"+site.Photo)
	var answer bytes.Buffer
	for _, b := range x.doors[p] {
		kind, body := call.body()
		res := b.do(call.method, address, body, func(r *http.Request) {
			if kind != "" {
				r.Header.Set("Content-Type", kind)
			}
		})
		if err := res.Header.Write(&answer); err != nil {
			return nil, err
		}
		answer.WriteString(read(b.t, res))
	}
	if photoIn.MatchString(address) { // a refusal may say the address that was asked
		return bytes.ReplaceAll(answer.Bytes(), []byte(site.Photo), nil), nil
	}
	return answer.Bytes(), nil
}

// TestIsolation asks every route and operation that reads about every site of two firms, as each of eight kinds of person, by
// their browsers and phones, those who left among them: no answer holds a marked word that is another's, and each that
// somebody may see is shown them somewhere. Then it asks all that writes, and looks through the answers likewise; there
// the names of accounts stand as the hands in logs, which people of the same sites see. The short form has one person a kind.
func TestIsolation(t *testing.T) {
	if testing.Short() {
		t.Skip("many pages, one by one")
	}
	x := newIsolated(t)
	asked := x.w.Isolated(t.Context(), t, x, firm.JournalMark, firm.AccountMark)
	x.writing = true
	wrote := &onlySites{t: t}
	wrote.asked = x.w.Isolated(t.Context(), wrote, x, firm.SiteMark, firm.PlaceMark, firm.NoteMark, firm.HandMark, firm.SerialMark, firm.DefectMark, firm.WhyMark, firm.FileMark, firm.CustomerMark, firm.FirmMark)
	t.Logf("%d answers to what reads, %d to what writes", asked, wrote.asked)
	if asked < 5000 || wrote.asked < 3000 {
		t.Errorf("only %d and %d answers were looked through", asked, wrote.asked)
	}
}

// onlySites hears of all but names of accounts.
type onlySites struct {
	t     *testing.T
	asked int
}

func (o *onlySites) Helper() { o.t.Helper() }

func (o *onlySites) Errorf(format string, args ...any) {
	if said := fmt.Sprintf(format, args...); !strings.Contains(said, "holds the account of") {
		o.t.Helper()
		o.t.Error(said)
	}
}

// What is refused before a file's first byte is told as on any page, and begins no file.
func TestRefusedFileBegins(t *testing.T) {
	s, site := withDemo(t, nil)
	w, r := httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, site+"/log/export", nil)
	refused := sootline.Errorf(sootline.Forbidden, "", "no")
	if err := s.handOut(w, r, "log", func(io.Writer) error { return refused }); !errors.Is(err, refused) || len(w.Header()) > 0 || w.Body.Len() > 0 {
		t.Errorf("%v, %v, %q", err, w.Header(), w.Body)
	}
}

// A phone reads the log as its page shows it, whole or what can be read of it.
func TestPhoneReadsTheLog(t *testing.T) {
	s, site := withDemo(t, abroad)
	phone := pairPhone(t, s, signIn(t, s, "T. Tech"), "blue phone")
	whole := read(t, phone.do(http.MethodGet, site+"/log/export", "", nil))
	if res := phone.do(http.MethodGet, site+"/log/readable", "", nil); res.StatusCode != http.StatusOK || read(t, res) != whole {
		t.Errorf("what can be read gives %d", res.StatusCode)
	}
}
