package web

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/pquerna/otp/totp"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/pgtest"
)

// TestNothingPrivateIsKept: no browser and no proxy keeps what only somebody signed in
// may see, so that nobody reads it there once they have signed out.
func TestNothingPrivateIsKept(t *testing.T) {
	s, site := withDemo(t, abroad)
	manager := signIn(t, s, "M. Manager")
	read(t, manager.do("POST", "/photo", smallPhoto, nil))
	for _, address := range []string{
		"/", "/due", "/due.ics", "/account", "/people", "/people/journal", "/people/journal/csv", "/phones", "/photo/" + jpegSum,
		site, site + "/points", site + "/log", site + "/log/export", site + "/paper/schedule.csv", site + "/paper/schedule.html", site + "/visit/done",
		api.Root + "/sites", api.Root + "/people",
	} {
		res := manager.do(http.MethodGet, address, "", nil)
		if kept := res.Header.Get("Cache-Control"); res.StatusCode != http.StatusOK || !strings.Contains(kept, "no-store") {
			t.Errorf("%s gives %d, to be kept by %q", address, res.StatusCode, kept)
		}
	}
	if kept := manager.do(http.MethodGet, s.assetAddress("sootline.css"), "", nil).Header.Get("Cache-Control"); !strings.Contains(kept, "immutable") {
		t.Errorf("a file that is the same for everybody is kept by %q", kept)
	}
}

// TestCookies: by https each cookie is for this host and for https alone, and no script
// reads it.
func TestCookies(t *testing.T) {
	s, _ := withDemo(t, abroad)
	tech := signIn(t, s, "T. Tech")
	tech.post("/look", url.Values{"look": {"dark"}, "back": {"/"}})
	tech.post("/due/calendar", url.Values{})
	phone := pairPhone(t, s, tech, "blue phone")
	found := map[string]bool{}
	for _, b := range []*browser{tech, phone} {
		for name, c := range b.cookies {
			found[name] = true
			if !strings.HasPrefix(name, "__Host-") || !c.Secure || !c.HttpOnly || c.Path != "/" || c.Domain != "" {
				t.Errorf("cookie %s", c)
			}
			if c.SameSite != http.SameSiteLaxMode && c.SameSite != http.SameSiteStrictMode {
				t.Errorf("cookie %s goes along from other sites", name)
			}
		}
	}
	if len(found) != 4 {
		t.Errorf("cookies %v, want those of session, look, calendar and phone", found)
	}
	if page := tech.get("/"); !strings.Contains(page, `data-look="dark"`) {
		t.Error("the look that was chosen is not shown")
	}
	if page := tech.get("/due"); !strings.Contains(page, "due.ics?key=") {
		t.Error("the address that was made is not shown")
	}
}

// TestNoOtherOrigin: pages of other servers are told nothing and may read nothing.
func TestNoOtherOrigin(t *testing.T) {
	s, site := withDemo(t, abroad)
	tech := signIn(t, s, "T. Tech")
	for _, address := range []string{"/", site, api.Root + "/sites", "/static/sootline.css", "/healthz", "/nowhere"} {
		for _, method := range []string{http.MethodGet, http.MethodOptions, http.MethodTrace} {
			res := tech.do(method, address, "", func(r *http.Request) {
				r.Header.Set("Origin", "https://elsewhere.example")
				r.Header.Set("Access-Control-Request-Method", "POST")
				r.Header.Set("X-Probe", "echo of a head")
			})
			for name := range res.Header {
				if strings.HasPrefix(name, "Access-Control-") {
					t.Errorf("%s %s lets others in by %s", method, address, name)
				}
			}
			if strings.Contains(read(t, res), "echo of a head") {
				t.Errorf("%s %s gives back what was sent", method, address)
			}
			if got := res.Header.Get("Cross-Origin-Resource-Policy"); got != "same-origin" {
				t.Errorf("%s %s may be put into other pages: %q", method, address, got)
			}
		}
	}
}

// TestContentTypes: every answer says what it is, text with its letters.
func TestContentTypes(t *testing.T) {
	s, site := withDemo(t, nil)
	addresses := []string{"/", site, "/nowhere", "/healthz", "/metrics", "/capture", "/sw.js", "/due.ics", site + "/paper/schedule.pdf", site + "/log/export", site + "/visit/done", api.Root + "/sites", api.Root + "/openapi.json", api.Root + "/nothing"}
	for name := range s.assets {
		addresses = append(addresses, "/static/"+name)
	}
	for _, address := range addresses {
		kind := visit(t, s).do(http.MethodGet, address, "", nil).Header.Get("Content-Type")
		text := strings.HasPrefix(kind, "text/")
		if kind == "" || kind == "application/octet-stream" || text && !strings.Contains(kind, "charset=utf-8") {
			t.Errorf("%s is of type %q", address, kind)
		}
	}
	if kind := visit(t, s).do(http.MethodGet, "/static/manifest.webmanifest", "", nil).Header.Get("Content-Type"); kind != "application/manifest+json" {
		t.Errorf("the manifest is of type %q", kind)
	}
}

// TestStrangersLearnNoPaths: where the server keeps its files is told to managers alone,
// and a stranger is told no more than that there is trouble.
func TestStrangersLearnNoPaths(t *testing.T) {
	pgtest.FileOnly(t)
	s, site := withDemo(t, abroad)
	tech, manager := signIn(t, s, "T. Tech"), signIn(t, s, "M. Manager")
	path := s.App.Book.Path()
	if err := os.Rename(path, path+".moved"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Rename(path+".moved", path) }) //nolint:errcheck // the folder goes anyway
	note := func(b *browser, address string) (int, string) {
		res := b.post(address, url.Values{"id": {s.newID()}, "kind": {"note"}, "shown": {"note"}, "text": {"seen"}})
		return res.StatusCode, read(t, res)
	}
	wrong := url.Values{"name": {"M. Manager"}, "password": {"wrong"}}
	res := visit(t, s).post("/sign-in", wrong)
	if page := read(t, res); res.StatusCode != http.StatusServiceUnavailable || strings.Contains(page, "book.db") || strings.Contains(page, filepath.Dir(path)) {
		t.Errorf("a stranger gets %d: %s", res.StatusCode, page)
	}
	if code, page := note(tech, site+"/log"); code != http.StatusServiceUnavailable || strings.Contains(page, filepath.Dir(path)) || !strings.Contains(page, "book.db was moved") {
		t.Errorf("a technician gets %d: %s", code, page)
	}
	answer := read(t, tech.do(http.MethodPost, api.Root+"/sites/"+strings.TrimPrefix(site, "/site/")+"/log", `{"id":"`+s.newID()+`","kind":"note","body":{"text":"seen"}}`, asJSON))
	if strings.Contains(answer, filepath.Dir(path)) || !strings.Contains(answer, "book.db was moved") {
		t.Errorf("a technician's program gets %s", answer)
	}
	if _, page := note(manager, site+"/log"); !strings.Contains(page, filepath.Dir(path)) {
		t.Errorf("a manager gets %s", page)
	}
}

// TestLogOfRequests: a line a request; who was refused is named, and nobody writes
// lines of their own into it.
func TestLogOfRequests(t *testing.T) {
	var log bytes.Buffer
	s, site := withDemo(t, func(c *Config) { abroad(c); c.Log = &log })
	tech := signIn(t, s, "T. Tech")
	said := func(do func()) string {
		log.Reset()
		do()
		return log.String()
	}
	if line := said(func() { tech.get(site) }); strings.Count(line, "\n") != 1 || strings.Contains(line, "Tech") || strings.Contains(line, "192.0.2.1") {
		t.Errorf("of a page it says %q", line)
	}
	for address, want := range map[string]string{"/people": `403`, api.Root + "/people": `403`} {
		line := said(func() { tech.do(http.MethodGet, address, "", nil) })
		if !strings.Contains(line, want) || !strings.HasSuffix(line, ` refused to "T. Tech" (technician) at 192.0.2.1`+"\n") {
			t.Errorf("of a refusal at %s it says %q", address, line)
		}
	}
	if line := said(func() { visit(t, s).do(http.MethodGet, api.Root+"/sites", "", nil) }); !strings.Contains(line, " 401 ") || !strings.HasSuffix(line, ` refused to a stranger at 192.0.2.1`+"\n") {
		t.Errorf("of a stranger it says %q", line)
	}
	line := said(func() {
		r := httptest.NewRequest(http.MethodGet, "/site/x%0a2026-01-01T00:00:00Z%20GET%20/%20200", nil)
		s.ServeHTTP(httptest.NewRecorder(), r)
		s.tell(httptest.NewRecorder(), r, errors.New("reading \"a\nforged line\x1b[2J\""))
	})
	if strings.Count(line, "\n") != 2 || strings.Contains(line, "\x1b") || strings.Contains(line, "\nforged") {
		t.Errorf("it holds lines that others wrote: %q", line)
	}
}

// TestPanicIsAnswered: what nobody foresaw ends one request, with an answer and a line in
// the log, and nothing else.
func TestPanicIsAnswered(t *testing.T) {
	var log bytes.Buffer
	s := newServer(t, func(c *Config) { c.Log = &log })
	fail := s.sessions.LoadAndSave(s.admit(route{answer: func(http.ResponseWriter, *http.Request) error { panic("a broken\npage") }}))
	w := httptest.NewRecorder()
	s.guard(fail).ServeHTTP(w, httptest.NewRequest(http.MethodGet, "http://127.0.0.1/", nil).WithContext(context.Background()))
	if page := w.Body.String(); w.Code != http.StatusInternalServerError || strings.Contains(page, "broken") || !strings.Contains(page, "nobody foresaw") {
		t.Errorf("it gives %d: %s", w.Code, page)
	}
	for line := range strings.Lines(log.String()) {
		if strings.HasPrefix(line, "page") {
			t.Errorf("the log holds a line that the panic wrote: %q", line)
		}
	}
	if text := log.String(); !strings.Contains(text, "a broken page") || !strings.Contains(text, "guard_test.go") {
		t.Errorf("the log says %s", text)
	}
	visit(t, s).get("/healthz")
}

// TestHeadersByHTTPS: what browsers are told besides what [TestHeaders] looks for.
func TestHeadersByHTTPS(t *testing.T) {
	s, site := withDemo(t, abroad)
	tech := signIn(t, s, "T. Tech")
	for _, address := range []string{"/", site, "/capture", "/sign-in", "/nowhere", site + "/paper/schedule.html", api.Root + "/sites", "/static/sootline.css"} {
		h := tech.do(http.MethodGet, address, "", nil).Header
		policy := h.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "base-uri 'none'", "frame-ancestors 'none'"} {
			if !strings.Contains(policy, want) {
				t.Errorf("%s: policy %q lacks %s", address, policy, want)
			}
		}
		if h.Get("Strict-Transport-Security") != "max-age=31536000" || h.Get("Referrer-Policy") != "same-origin" {
			t.Errorf("%s: %v", address, h)
		}
	}
	if h := visit(t, newServer(t, nil)).do(http.MethodGet, "/", "", nil).Header; h.Get("Strict-Transport-Security") != "" {
		t.Error("a server without https asks for it")
	}
}

// TestSignInRenews: signing in gives another token, and the one before opens nothing,
// so that nobody signs others in to a session of their own.
func TestSignInRenews(t *testing.T) {
	s, site := withDemo(t, abroad)
	b := signIn(t, s, "T. Tech")
	before := *b.cookies["__Host-session"]
	if res := b.post("/sign-in", url.Values{"name": {"M. Manager"}, "password": {password}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("signing in again gives %d", res.StatusCode)
	}
	if b.cookies["__Host-session"].Value == before.Value {
		t.Error("the token is the same")
	}
	b.get("/people")
	old := visit(t, s)
	old.cookies[before.Name] = &before
	if res := old.do(http.MethodGet, site, "", nil); res.StatusCode != http.StatusSeeOther {
		t.Errorf("the token of before gives %d", res.StatusCode)
	}
}

// TestSignOutIsOnEveryPage that somebody sees who is signed in.
func TestSignOutIsOnEveryPage(t *testing.T) {
	s, site := withDemo(t, abroad)
	manager := signIn(t, s, "M. Manager")
	for _, route := range s.routes() {
		address, found := strings.CutPrefix(route.pattern, "GET ")
		address = strings.NewReplacer("{site}", strings.TrimPrefix(site, "/site/"), "{$}", "").Replace(address)
		if !found || strings.Contains(address, "{") || address == "/capture" || address == "/bench" { // the pages of the phone hold no data
			continue
		}
		res := manager.do(http.MethodGet, address, "", nil)
		if page := read(t, res); strings.HasPrefix(res.Header.Get("Content-Type"), "text/html") && !strings.Contains(page, `action="/sign-out"`) {
			t.Errorf("%s shows no way to sign out", address)
		}
	}
}

// TestPasswordFields: a field for a password hides it, may be pasted into, and tells
// programs that keep passwords what it is for.
func TestPasswordFields(t *testing.T) {
	names, err := pageFiles.ReadDir("page")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, name := range names {
		text, err := pageFiles.ReadFile("page/" + name.Name())
		if err != nil {
			t.Fatal(err)
		}
		for _, input := range regexp.MustCompile(`<input[^>]*name="(?:password|present|again)"[^>]*>`).FindAllString(string(text), -1) {
			found++
			if !strings.Contains(input, `type="password"`) || !regexp.MustCompile(`autocomplete="(current|new)-password"`).MatchString(input) || strings.Contains(input, "length") {
				t.Errorf("%s: %s", name.Name(), input)
			}
		}
	}
	if found < 8 {
		t.Errorf("only %d fields were found", found)
	}
}

// TestLongPassword: a sentence of hundreds of characters of any script is a password, and
// every character of it counts.
func TestLongPassword(t *testing.T) {
	s := newServer(t, abroad)
	long := "The quick Füchsin, jumping over 13 dogs, met nobody on the long way from the quarry to the mill; behind the third gate a lamp was burning, and somebody had left a ladder there"
	if err := s.App.AddPerson(context.Background(), "L. Long", sootline.Reader, long); err != nil {
		t.Fatal(err)
	}
	for word, want := range map[string]int{long: http.StatusSeeOther, long[:len(long)-1]: 422, strings.ToUpper(long): 422} {
		if res := visit(t, s).post("/sign-in", url.Values{"name": {"L. Long"}, "password": {word}}); res.StatusCode != want {
			t.Errorf("%d bytes give %d, want %d", len(word), res.StatusCode, want)
		}
	}
}

// TestBookHoldsNoTokens: whoever reads the book's file finds no token and no password that
// opens anything.
func TestBookHoldsNoTokens(t *testing.T) {
	pgtest.FileOnly(t)
	s, _ := withDemo(t, abroad)
	tech := signIn(t, s, "T. Tech")
	phone := pairPhone(t, s, tech, "blue phone")
	tech.post("/due/calendar", url.Values{})
	secrets := map[string]string{
		"session": tech.cookies["__Host-session"].Value, "calendar": tech.cookies["__Host-feed"].Value, "phone": phone.cookies["__Host-phone"].Value, "password": password,
		"token": makeToken(t, signIn(t, s, "M. Manager"), url.Values{"name": {"report"}, "role": {"reader"}, "until": {today.AddDate(0, 1, 0).Format(time.DateOnly)}}),
	}
	var err error
	if secrets["invitation"], err = s.App.InvitePerson(t.Context(), "N. New", sootline.Reader, app.Scope{}); err != nil {
		t.Fatal(err)
	}
	var held []byte
	for _, end := range []string{"", "-wal"} {
		text, err := os.ReadFile(s.App.Book.Path() + end)
		if err != nil {
			t.Fatal(err)
		}
		held = append(held, text...)
	}
	if !bytes.Contains(held, []byte("blue phone")) {
		t.Fatal("what was read is not the whole book")
	}
	for what, secret := range secrets {
		if len(secret) < 15 || bytes.Contains(held, []byte(secret)) {
			t.Errorf("the book holds the %s as it is", what)
		}
	}
}

// TestUnknownKeysAreRefused: an operation takes the keys that it describes, and says of any
// other that it does not know it, rather than pass over it.
func TestUnknownKeysAreRefused(t *testing.T) {
	s, _ := withDemo(t, abroad)
	b, tried := signIn(t, s, "M. Manager"), 0
	for id, call := range apiCalls(t, s) {
		if call.body == nil {
			continue
		}
		kind, body := call.body(0)
		if kind != "application/json" || !strings.HasPrefix(body, "{") || body == "{}" {
			continue
		}
		tried++
		for _, method := range []string{http.MethodPost, http.MethodPut, http.MethodPatch} {
			res := b.do(method, api.Root+call.address, `{"nobody_knows":1,`+body[1:], asJSON)
			if res.StatusCode == http.StatusNotFound || res.StatusCode == http.StatusMethodNotAllowed {
				continue
			}
			if text := read(t, res); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(text, "nobody_knows") {
				t.Errorf("%s gives %d: %s", id, res.StatusCode, text)
			}
		}
	}
	if tried < 8 {
		t.Errorf("only %d operations were tried", tried)
	}
}

// TestNewPasswordKeepsFactor: who is given another password still shows the code of the
// second factor.
func TestNewPasswordKeepsFactor(t *testing.T) {
	s, _ := withDemo(t, abroad)
	tech := signIn(t, s, "T. Tech")
	secret := field(t, read(t, tech.post("/account", url.Values{"do": {"factor"}})), "secret")
	code, err := totp.GenerateCode(secret, today)
	if err != nil {
		t.Fatal(err)
	}
	if res := tech.post("/account", url.Values{"do": {"factor-set"}, "secret": {secret}, "code": {code}, "present": {password}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("setting it up gives %d", res.StatusCode)
	}
	const fresh = "eleven loud kettles"
	if res := signIn(t, s, "M. Manager").post("/people/change", url.Values{"do": {"password"}, "name": {"T. Tech"}, "password": {fresh}, "again": {fresh}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("another password gives %d", res.StatusCode)
	}
	if res := visit(t, s).post("/sign-in", url.Values{"name": {"T. Tech"}, "password": {fresh}}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("the new password alone gives %d", res.StatusCode)
	}
}
