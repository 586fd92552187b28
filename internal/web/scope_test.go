package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
)

// boundWorld is a server with two sites: the demo, and a mill to which a person of
// each role is bound, who must not know of the demo.
type boundWorld struct {
	s       *Server
	routes  map[string]routeCall // of the demo
	calls   map[string]apiCall   // of the demo
	mill    string               // its address
	people  map[string]*browser
	secrets []string // what only the demo's log says
}

func newBoundWorld(t *testing.T) *boundWorld {
	t.Helper()
	s, demo := withDemo(t, func(c *Config) {
		abroad(c)
		c.App.Now = func() func() time.Time {
			now := today
			return func() time.Time { now = now.Add(time.Millisecond); return now }
		}()
	})
	w := &boundWorld{s: s, routes: routeCalls(t, s, demo), calls: apiCalls(t, s), people: map[string]*browser{}}
	survey := surveyOf(t, s)
	p := survey.Register.Points()[0]
	w.secrets = []string{survey.Register.Site.Name, p.Location, p.Type}
	ctx := context.Background()
	mill, err := s.App.AddSite(ctx, app.NewSite{Name: "Quiet Mill", Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126}}})
	if err != nil {
		t.Fatal(err)
	}
	w.mill = "/site/" + mill.String()
	for _, role := range sootline.Roles() {
		name := "B. " + string(role)
		if err := s.App.AddPersonFor(ctx, name, role, app.Scope{Bound: true, Sites: []sootline.ID{mill}}, password); err != nil {
			t.Fatal(err)
		}
		w.people[string(role)] = signIn(t, s, name)
		if role.May(sootline.Technician) {
			w.people["phone of a "+string(role)] = pairPhone(t, s, w.people[string(role)], string(role)+" phone")
		}
	}
	return w
}

// keeps wants that an answer does not say what only the demo's log says.
func (w *boundWorld) keeps(t *testing.T, where, text string) {
	t.Helper()
	for _, secret := range w.secrets {
		if secret == "" || strings.Contains(text, secret) {
			t.Errorf("%s says %q", where, secret)
		}
	}
}

// TestOutsideScopeAtEveryRoute goes to every address of a site as somebody bound to
// another one: it is as if the site did not exist. What is of no site tells nothing of
// it. A route without a line in routeCalls is a fault.
func TestOutsideScopeAtEveryRoute(t *testing.T) {
	w := newBoundWorld(t)
	tried := 0
	for _, route := range w.s.routes() {
		call, known := w.routes[route.pattern]
		if !known {
			t.Errorf("route %s has no line", route.pattern)
			continue
		}
		if route.pattern == "POST /sign-out" || route.pattern == "POST /account" {
			continue // what is one's own
		}
		method := http.MethodGet
		if strings.HasPrefix(route.pattern, "POST") {
			method = http.MethodPost
		}
		ofSite := strings.Contains(route.pattern, "/{site}")
		for who, b := range w.people {
			body := ""
			if call.body != nil {
				body = call.body()
			}
			res := b.do(method, call.address, body, nil)
			where := fmt.Sprintf("%s as %s", route.pattern, who)
			w.keeps(t, where, read(t, res))
			role := sootline.Role(who)
			if strings.HasPrefix(who, "phone") {
				role = sootline.Technician
			}
			switch {
			case !ofSite:
			case role.May(route.needs) && res.StatusCode != http.StatusNotFound:
				t.Errorf("%s gives %d", where, res.StatusCode)
			case !role.May(route.needs) && res.StatusCode != http.StatusForbidden:
				t.Errorf("%s gives %d", where, res.StatusCode)
			default:
				tried++
			}
			if route.book && res.StatusCode != http.StatusForbidden {
				t.Errorf("%s gives %d to who is bound to a site", where, res.StatusCode)
			}
		}
	}
	if tried < 300 {
		t.Errorf("only %d calls of a site were refused", tried)
	}
	for _, e := range logOfDemo(t, w) {
		if strings.HasPrefix(e.By, "B. ") {
			t.Errorf("%s wrote %s", e.By, e.Body.Kind())
		}
	}
}

func logOfDemo(t *testing.T, w *boundWorld) []sootline.Entry {
	t.Helper()
	lines, err := w.s.App.Sites(t.Context())
	if err != nil || len(lines) < 2 {
		t.Fatal(lines, err)
	}
	var all []sootline.Entry
	for _, line := range lines {
		if "/site/"+line.ID.String() == w.mill {
			continue
		}
		entries, err := w.s.App.Book.Entries(t.Context(), line.ID)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, entries...)
	}
	return all
}

// ofNoSite are the operations that are of no site: what a manager who is bound gets.
var ofNoSite = map[string]int{
	"list-sites": http.StatusOK, "add-site": http.StatusForbidden, "make-demo": http.StatusOK, // there are sites, and nothing is made
	"import-log": http.StatusNotFound, "list-people": http.StatusForbidden, "put-person": http.StatusForbidden, "change-role": http.StatusForbidden,
	"change-password": http.StatusForbidden, "sign-out-person": http.StatusForbidden, "remove-person": http.StatusForbidden,
	"change-sites": http.StatusForbidden, "invite-person": http.StatusForbidden, "list-tokens": http.StatusForbidden, "add-token": http.StatusForbidden, "remove-token": http.StatusForbidden,
	"list-security-events": http.StatusForbidden, "list-standby-rules": http.StatusOK, "judge-battery": http.StatusOK, "list-kinds": http.StatusOK,
	"exchange": http.StatusOK, "list-sessions": http.StatusOK, "end-session": http.StatusNotFound,
}

// ofAccount are the operations that do something with what is one's own alone.
var ofAccount = map[string]bool{"sign-out-everywhere": true, "change-own-password": true}

// TestOutsideScopeAtEveryOperation does the same with every operation of the API.
func TestOutsideScopeAtEveryOperation(t *testing.T) {
	w := newBoundWorld(t)
	doc, _ := openAPI(t, w.s)
	for path, methods := range doc.Paths {
		for method, op := range methods {
			call, known := w.calls[op.OperationID]
			if !known {
				t.Errorf("operation %s has no line", op.OperationID)
				continue
			}
			want, listed := ofNoSite[op.OperationID]
			if ofSite := strings.Contains(path, "{site}"); ofSite == listed && !ofAccount[op.OperationID] {
				t.Errorf("operation %s is of a site, or has its line in ofNoSite", op.OperationID)
			} else if ofSite {
				want = http.StatusNotFound
			}
			if ofAccount[op.OperationID] {
				continue
			}
			for who, b := range w.people {
				kind, body := "", ""
				if call.body != nil {
					kind, body = call.body(0)
				}
				res := b.do(strings.ToUpper(method), api.Root+call.address, body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
				where := fmt.Sprintf("%s as %s", op.OperationID, who)
				w.keeps(t, where, read(t, res))
				if res.StatusCode != want && !(who != "manager" && res.StatusCode == http.StatusForbidden) {
					t.Errorf("%s gives %d, want %d", where, res.StatusCode, want)
				}
			}
		}
	}
}

// TestInsideScope: on the sites that are theirs, who is bound does what the role does.
func TestInsideScope(t *testing.T) {
	w := newBoundWorld(t)
	for who, b := range w.people {
		if today := b.get("/"); !strings.Contains(today, "Quiet Mill") {
			t.Errorf("Today as %s lacks the site that is given", who)
		}
		if res := b.do(http.MethodGet, w.mill, "", nil); res.StatusCode != http.StatusOK {
			t.Errorf("the site gives %s %d", who, res.StatusCode)
		}
	}
	note := func() url.Values { return url.Values{"id": {w.s.newID()}, "kind": {"note"}, "text": {"seen"}} }
	for role, want := range map[string]int{"customer": 403, "reader": 403, "technician": 303, "manager": 303} {
		if res := w.people[role].post(w.mill+"/log", note()); res.StatusCode != want {
			t.Errorf("a note by a %s gives %d", role, res.StatusCode)
		}
	}
	if res := w.people["manager"].post(w.mill+"/settings", url.Values{"id": {w.s.newID()}, "remark": {"ours"}}); res.StatusCode != http.StatusSeeOther {
		t.Errorf("settings of their site give a bound manager %d", res.StatusCode)
	}
}

// TestScopeHoldsAtOnce: somebody who is bound sees no more of the rest from the next
// request on, in a session, by a phone and by a calendar address that they had before;
// what is given later opens at once.
func TestScopeHoldsAtOnce(t *testing.T) {
	w := newBoundWorld(t)
	demo := strings.TrimSuffix(w.routes["GET /site/{site}/points"].address, "/points?q=smoke&sort=value&way=down")
	laptop := signIn(t, w.s, "T. Tech")
	phone := pairPhone(t, w.s, laptop, "blue phone")
	key := func(site string) string {
		laptop.post("/due/calendar", url.Values{"site": {site}})
		page := "/due"
		if site != "" {
			page = "/site/" + site + page
		}
		return regexp.MustCompile(`due\.ics\?key=([\w-]+)`).FindStringSubmatch(laptop.get(page))[1]
	}
	all, one := "/due.ics?key="+key(""), demo+"/due.ics?key="+key(strings.TrimPrefix(demo, "/site/"))
	status := func(b *browser, address string) int {
		res := b.do(http.MethodGet, address, "", nil)
		if text := read(t, res); address == all && res.StatusCode == http.StatusOK && !strings.Contains(text, w.secrets[0]) {
			return http.StatusNoContent // it opens, and tells nothing of the demo
		}
		return res.StatusCode
	}
	wanted := func(when string, want [4]int) {
		t.Helper()
		if got := [4]int{status(laptop, demo), status(phone, demo), status(visit(t, w.s), all), status(visit(t, w.s), one)}; got != want {
			t.Errorf("%s: %d, want %d", when, got, want)
		}
	}
	wanted("before", [4]int{200, 200, 200, 200})
	manager := signIn(t, w.s, "M. Manager")
	bind := func(form url.Values) {
		form.Set("name", "T. Tech")
		form.Set("do", "sites")
		if res := manager.post("/people/change", form); res.StatusCode != http.StatusSeeOther {
			t.Fatalf("binding gives %d: %s", res.StatusCode, read(t, res))
		}
	}
	bind(url.Values{"which": {"some"}, "site": {strings.TrimPrefix(w.mill, "/site/")}})
	wanted("bound to the mill", [4]int{404, 404, 204, 404})
	bind(url.Values{"which": {"some"}})
	wanted("bound to none", [4]int{404, 404, 204, 404})
	bind(url.Values{"which": {"some"}, "customer": {"Larch & Sons"}})
	wanted("bound to a customer that no site has", [4]int{404, 404, 204, 404})
	id, err := sootline.ParseID(strings.TrimPrefix(demo, "/site/"))
	if err == nil {
		err = w.s.App.SetFacts(t.Context(), id, sootline.Opened{SiteFacts: sootline.SiteFacts{Customer: "larch & sons"}})
	}
	if err != nil {
		t.Fatal(err)
	}
	wanted("the site became that customer's", [4]int{200, 200, 200, 200})
	if res := manager.post("/people/change", url.Values{"name": {"T. Tech"}, "do": {"sites"}, "which": {"all"}, "site": {"Quiet Mill"}}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("all sites, and a name of one, give %d", res.StatusCode)
	}
	bind(url.Values{"which": {"all"}})
	wanted("unbound", [4]int{200, 200, 200, 200})
	if page := manager.get("/people/journal"); !strings.Contains(page, "sites changed") || !strings.Contains(page, "from all sites to Quiet Mill") {
		t.Error("the journal does not say so")
	}
}

// TestCalendarOfOneSite: the address that was made for one site opens no other, and
// not all.
func TestCalendarOfOneSite(t *testing.T) {
	w := newBoundWorld(t)
	b := signIn(t, w.s, "T. Tech")
	b.post("/due/calendar", url.Values{"site": {strings.TrimPrefix(w.mill, "/site/")}})
	key := regexp.MustCompile(`due\.ics\?key=([\w-]+)`).FindStringSubmatch(b.get(w.mill + "/due"))[1]
	program := visit(t, w.s)
	if text := program.get(w.mill + "/due.ics?key=" + key); !strings.Contains(text, "BEGIN:VCALENDAR") {
		t.Error(text)
	}
	if res := program.do(http.MethodGet, w.routes["GET /site/{site}/due.ics"].address[:len("/site/")+36]+"/due.ics?key="+key, "", nil); res.StatusCode != http.StatusUnauthorized {
		t.Errorf("it opens another site: %d", res.StatusCode)
	}
	if res := program.do(http.MethodGet, "/due.ics?key="+key, "", nil); res.StatusCode != http.StatusUnauthorized {
		t.Errorf("it opens the address of all sites: %d", res.StatusCode)
	}
	if res := w.people["technician"].post("/due/calendar", url.Values{"site": {w.routes["GET /site/{site}/due.ics"].address[len("/site/"):][:36]}}); res.StatusCode != http.StatusNotFound {
		t.Errorf("an address for a site outside one's scope gives %d", res.StatusCode)
	}
}
