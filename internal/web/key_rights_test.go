package web

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/api"
)

// withReader adds a reader to those of abroad.
func withReader(t *testing.T, s *Server) *browser {
	t.Helper()
	if err := s.App.AddPerson(context.Background(), "R. Reader", sootline.Reader, password); err != nil {
		t.Fatal(err)
	}
	return signIn(t, s, "R. Reader")
}

// TestReaderWritesNothing goes to every address and every operation as a reader:
// what writes is refused, and no page shows a form that would be.
func TestReaderWritesNothing(t *testing.T) {
	s, site := withDemo(t, abroad)
	reader := withReader(t, s)
	before := surveyOf(t, s).Register.Entries
	point := pointAddress(surveyOf(t, s), surveyOf(t, s).Register.Points()[0])
	defect := site + "/defect/" + surveyOf(t, s).Register.Defects()[0].ID.String()
	fill := strings.NewReplacer("/site/{site}/point/{point}", point, "/site/{site}/defect/{defect}", defect, "{site}", strings.TrimPrefix(site, "/site/"), "{$}", "",
		"{entry}", strings.TrimPrefix(anEntry(t, s, site, sootline.NoteKind, sootline.ReadKind), site+"/log/"), "{key}", "k", "{intake}", s.newID(), "{file}", "schedule.csv", "{list}", s.newID(), "{format}", "csv", "{hash}", strings.Repeat("0", 64))
	own := regexp.MustCompile(`^POST /(seen|account|account/passkey|account/passkey/begin|sign-in/passkey|sign-in/passkey/begin|sign-in|sign-out|look|pair|welcome/\{key\})$`)
	shown := 0
	for _, route := range s.routes() {
		method, address, found := strings.Cut(route.pattern, " ")
		if !found || strings.HasPrefix(route.pattern, "POST /sign-out") {
			continue
		}
		res := reader.do(method, fill.Replace(address), "", nil)
		page := read(t, res)
		if method == http.MethodPost && !own.MatchString(route.pattern) && res.StatusCode != http.StatusForbidden {
			t.Errorf("%s gives a reader %d", route.pattern, res.StatusCode)
		}
		if res.StatusCode == http.StatusOK && strings.HasPrefix(page, "<!doctype") {
			shown++
			for _, form := range forms.FindAllStringSubmatch(page, -1) {
				if !ofAnybody.MatchString(form[1]) {
					t.Errorf("%s shows a reader the form of %s", route.pattern, form[1])
				}
			}
		}
	}
	if shown < 20 {
		t.Errorf("only %d pages were shown to a reader", shown)
	}
	if menu := reader.get(site); strings.Contains(menu, `/intake">Intake</a></li>`) || strings.Contains(menu, `/phones">Phones</a></li>`) || !strings.Contains(menu, ">Papers<") {
		t.Error("the menu of a reader is not what a reader may see")
	}
	for id, call := range apiCalls(t, s) {
		if want := call.want[1]; want != http.StatusOK || call.body == nil {
			continue
		}
		kind, body := call.body(0)
		res := reader.do(http.MethodPost, api.Root+call.address, body, func(r *http.Request) { r.Header.Set("Content-Type", kind) })
		if res.StatusCode == http.StatusOK && !readsOnly[id] {
			t.Errorf("a reader does %s", id)
		}
	}
	if after := surveyOf(t, s).Register.Entries; after < before {
		t.Error(after)
	}
	for _, e := range logOf(t, s) {
		if e.By == "R. Reader" {
			t.Errorf("a reader wrote %s", e.Body.Kind())
		}
	}
}

// readsOnly are operations that are given a body and write nothing.
var readsOnly = map[string]bool{"solve-loop-with-file": true, "design-loops": true, "size-battery": true, "explain-found": true}

// logOf gives the entries of the book's only site.
func logOf(t testing.TB, s *Server) []sootline.Entry {
	t.Helper()
	entries, err := s.App.Book.Entries(context.Background(), surveyOf(t, s).Register.Site.ID)
	if err != nil {
		t.Fatal(err)
	}
	return entries
}

// TestPhoneByKey: a phone by its key hands in, opens and closes its visit, and does
// nothing else at any door.
func TestPhoneByKey(t *testing.T) {
	now := today
	s, site := withDemo(t, func(c *Config) { abroad(c); c.App.Now = func() time.Time { now = now.Add(time.Second); return now } })
	phone := pairPhone(t, s, signIn(t, s, "T. Tech"), "blue phone")
	root := api.Root + "/sites/" + strings.TrimPrefix(site, "/site/")
	point := surveyOf(t, s).Register.Points()[0].ID.String()
	before := len(logOf(t, s))
	for _, say := range []string{
		`"kind":"removed","point":"` + point + `","body":{}`, `"kind":"alarm","point":"` + point + `","body":{"category":"malicious"}`,
		`"kind":"rebased","point":"` + point + `","body":{}`, `"kind":"read","point":"` + point + `","body":{"samples":[25]}`,
		`"kind":"disabled","body":{"text":"all"}`,
	} {
		res := phone.do(http.MethodPost, root+"/log", `{"id":"`+s.newID()+`","sure":true,`+say+`}`, asJSON)
		if res.StatusCode != http.StatusForbidden {
			t.Errorf("%s through the API gives a phone %d: %s", say, res.StatusCode, read(t, res))
		}
	}
	kind, listing := multipartOf(t, "files", "s.csv", "loop,address,type,location,fitted on\n9,1,Larch,N,2026-01-01\n")
	for address, body := range map[string]string{root + "/intake": listing, "/phones": "", "/due/calendar": "", root + "/numbers/plan": "{}"} {
		res := phone.do(http.MethodPost, address, body, func(r *http.Request) {
			if body == listing {
				r.Header.Set("Content-Type", kind)
			}
		})
		if res.StatusCode != http.StatusForbidden && !(strings.HasSuffix(address, "/plan") && res.StatusCode >= 400) {
			t.Errorf("POST %s gives a phone %d", address, res.StatusCode)
		}
	}
	if res := phone.post(site+"/log", url.Values{"id": {s.newID()}, "kind": {"note"}, "text": {"x"}}); res.StatusCode != http.StatusForbidden {
		t.Errorf("the form of the log gives a phone %d", res.StatusCode)
	}
	if after := len(logOf(t, s)); after != before {
		t.Errorf("a phone wrote %d entries", after-before)
	}
	openAt(t, phone, site, url.Values{"disabled": {"sounders"}})
	if res := phone.do("POST", site+"/visit/entries", captureBody(s.newID(), point, now.UnixMilli(), "25"), asJSON); !strings.Contains(read(t, res), `"refused":[]`) {
		t.Error("a phone does not hand in")
	}
	if res := phone.post(site+"/visit/close", url.Values{"left": {"not normal"}, "restored": {"sounders"}}); res.StatusCode != http.StatusSeeOther {
		t.Errorf("closing gives a phone %d: %s", res.StatusCode, read(t, res))
	}
	if page := phone.get(site + "/visit?minutes=60"); !strings.Contains(page, `action="`+site+`/visit"`) {
		t.Error("the form that opens a visit is not shown to a phone")
	}
}

// A manager's phone is told that it is the phone that may not, and not the manager.
func TestPhoneIsToldWhy(t *testing.T) {
	s, _ := withDemo(t, abroad)
	phone := pairPhone(t, s, signIn(t, s, "M. Manager"), "blue phone")
	if page := read(t, phone.do(http.MethodGet, "/people", "", nil)); !strings.Contains(page, "phone by its key") {
		t.Error("the reason is another one")
	}
}
