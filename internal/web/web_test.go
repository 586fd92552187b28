package web

import (
	"context"
	"crypto/rand"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

var today = time.Date(2026, 1, 20, 10, 0, 0, 0, time.UTC)

const password = "seven quiet lanterns"

// newServer puts the application together over a book of its own.
func newServer(t testing.TB, change func(*Config)) *Server {
	t.Helper()
	book, err := store.Open(context.Background(), pgtest.Book(t), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	c := Config{
		App: &app.App{
			Book: book, Who: sootline.Actor{Name: "L. Local", Role: sootline.Manager, Station: "laptop"}, Now: func() time.Time { return today },
			Random: func() (r [10]byte) { rand.Read(r[:]); return r }, Heard: filepath.Join(t.TempDir(), "heard"),
		},
		Loopback: true, Zone: time.UTC, DemoFolder: filepath.Join(t.TempDir(), "demo"), Uploads: t.TempDir(), Log: io.Discard,
	}
	if change != nil {
		change(&c)
	}
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// browser is somebody who asks, with the cookies that were given.
type browser struct {
	t       testing.TB
	s       *Server
	cookies map[string]*http.Cookie
}

func visit(t testing.TB, s *Server) *browser {
	return &browser{t: t, s: s, cookies: map[string]*http.Cookie{}}
}

func (b *browser) do(method, address, body string, change func(*http.Request)) *http.Response {
	b.t.Helper()
	r := httptest.NewRequest(method, "http://127.0.0.1:8344"+address, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for _, c := range b.cookies {
		r.AddCookie(c)
	}
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	b.s.ServeHTTP(w, r)
	res := w.Result()
	for _, c := range res.Cookies() {
		b.cookies[c.Name] = c
	}
	return res
}

func (b *browser) get(address string) string {
	b.t.Helper()
	res := b.do(http.MethodGet, address, "", nil)
	text := read(b.t, res)
	if res.StatusCode != http.StatusOK {
		b.t.Fatalf("GET %s gives %d:\n%s", address, res.StatusCode, text)
	}
	return text
}

func (b *browser) post(address string, form url.Values) *http.Response {
	b.t.Helper()
	return b.do(http.MethodPost, address, form.Encode(), nil)
}

func read(t testing.TB, res *http.Response) string {
	t.Helper()
	text, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// withDemo gives a server whose book holds the demo, and the address of its site.
func withDemo(t testing.TB, change func(*Config)) (*Server, string) {
	t.Helper()
	s := newServer(t, change)
	if _, err := s.App.MakeDemo(context.Background(), s.DemoFolder, demoSeed, today.Truncate(24*time.Hour)); err != nil {
		t.Fatal(err)
	}
	lines, err := s.App.Sites(context.Background())
	if err != nil || len(lines) != 1 {
		t.Fatal(lines, err)
	}
	return s, "/site/" + lines[0].ID.String()
}

// surveyOf gives the survey behind a site's pages.
func surveyOf(t testing.TB, s *Server) *app.Survey {
	t.Helper()
	lines, err := s.App.Sites(context.Background())
	if err != nil || len(lines) != 1 {
		t.Fatal(lines, err)
	}
	survey, _, err := s.surveys.of(context.Background(), lines[0])
	if err != nil {
		t.Fatal(err)
	}
	return survey
}

func field(t testing.TB, page, name string) string {
	t.Helper()
	found := regexp.MustCompile(`name="` + name + `" value="([^"]*)"`).FindStringSubmatch(page)
	if found == nil {
		t.Fatalf("the page has no field %s", name)
	}
	return found[1]
}

// abroad is a server that others reach, with one person of each role.
func abroad(c *Config) {
	c.Loopback, c.TLS = false, true
	for name, role := range map[string]sootline.Role{"T. Tech": sootline.Technician, "M. Manager": sootline.Manager} {
		if err := c.App.AddPerson(context.Background(), name, role, password); err != nil {
			panic(err)
		}
	}
}

func signIn(t testing.TB, s *Server, name string) *browser {
	t.Helper()
	b := visit(t, s)
	res := b.post("/sign-in", url.Values{"name": {name}, "password": {password}, "next": {"/"}})
	if res.StatusCode != http.StatusSeeOther {
		t.Fatalf("signing in as %s gives %d", name, res.StatusCode)
	}
	return b
}

func TestHeaders(t *testing.T) {
	s, site := withDemo(t, nil)
	for _, address := range []string{"/", site, "/static/sootline.css", "/nowhere", "/healthz"} {
		res := visit(t, s).do(http.MethodGet, address, "", nil)
		policy := res.Header.Get("Content-Security-Policy")
		if !strings.HasPrefix(policy, "default-src 'none';") || strings.Contains(policy, "unsafe") || strings.Contains(policy, "*") {
			t.Errorf("%s: policy %q", address, policy)
		}
		if res.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s may be sniffed", address)
		}
	}
}

func TestRefused(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	point := pointAddress(surveyOf(t, s), surveyOf(t, s).Register.Points()[0])
	for _, c := range []struct {
		what, method, address, body string
		change                      func(*http.Request)
		want                        int
	}{
		{"another host name", "GET", "/", "", func(r *http.Request) { r.Host = "rebound.example" }, http.StatusMisdirectedRequest},
		{"another site's form", "POST", "/demo", "", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, http.StatusForbidden},
		{"another origin's form", "POST", "/demo", "", func(r *http.Request) { r.Header.Set("Origin", "https://elsewhere.example") }, http.StatusForbidden},
		{"a way out of the files", "GET", "/static/..%2fpage%2ftoday.html", "", nil, http.StatusNotFound},
		{"a source file", "GET", "/static/routes.go", "", nil, http.StatusNotFound},
		{"a body too large", "POST", point, "text=" + strings.Repeat("x", mostForm+1), nil, http.StatusRequestEntityTooLarge},
		{"a site that is no id", "GET", "/site/Works", "", nil, http.StatusNotFound},
		{"a point of nowhere", "GET", site + "/point/01890a5d-ac96-774b-bcce-b302099a8057", "", nil, http.StatusNotFound},
		{"a method that is not there", "DELETE", site, "", nil, http.StatusNotFound},
	} {
		if res := b.do(c.method, c.address, c.body, c.change); res.StatusCode != c.want {
			t.Errorf("%s gives %d, want %d", c.what, res.StatusCode, c.want)
		}
	}
}

// A name that is a script is shown and not run.
func TestHostileText(t *testing.T) {
	s := newServer(t, nil)
	ctx := context.Background()
	const hostile = `"><script>alert(1)</script>`
	id, err := s.App.AddSite(ctx, app.NewSite{Name: "Works " + hostile})
	if err != nil {
		t.Fatal(err)
	}
	at := sootline.DerivedID(today, []byte("point"))
	err = s.App.Book.Write(ctx, func(tx *store.Tx) error {
		return tx.Append(id, "laptop", func(w *store.Writer) error {
			return w.Add(sootline.Entry{
				ID: sootline.DerivedID(today, []byte("fitted")), Site: id, At: today, Noted: today, By: hostile, Station: "laptop", Point: at,
				Body: sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Location: hostile, Area: hostile}, Type: hostile},
			})
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	site := "/site/" + id.String()
	for _, address := range []string{
		"/", site, site + "/points?q=" + url.QueryEscape(hostile), site + "/point/" + at.String(),
		site + "/alarms?area=" + url.QueryEscape(hostile), site + "/papers?loop=" + url.QueryEscape(hostile), site + "/paper/schedule.html",
	} {
		page := visit(t, s).get(address)
		if strings.Contains(page, "<script>alert") {
			t.Errorf("%s runs what it should show", address)
		}
		if !strings.Contains(page, "&lt;script&gt;alert") {
			t.Errorf("%s does not show the text at all", address)
		}
	}
}

func TestTooManyTries(t *testing.T) {
	s := newServer(t, abroad)
	b := visit(t, s)
	for i := range triesAtOnce + 1 {
		want := http.StatusUnprocessableEntity
		if i == triesAtOnce {
			want = http.StatusTooManyRequests
		}
		res := b.post("/sign-in", url.Values{"name": {"M. Manager"}, "password": {"wrong"}})
		if res.StatusCode != want {
			t.Errorf("try %d gives %d, want %d", i+1, res.StatusCode, want)
		}
		if page := read(t, res); strings.Contains(page, "wrong") || !strings.Contains(page, "M. Manager") {
			t.Error("the form comes back with the name, and without the password")
		}
	}
}

// Nobody is sent elsewhere by a crafted address.
func TestLocalPath(t *testing.T) {
	for path, want := range map[string]string{"/site/x?q=1": "/site/x?q=1", "//elsewhere.example": "/", "https://elsewhere.example": "/", `/\elsewhere.example`: "/", "": "/"} {
		if got := localPath(path); got != want {
			t.Errorf("localPath(%q) = %q, want %q", path, got, want)
		}
	}
}
