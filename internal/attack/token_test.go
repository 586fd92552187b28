package attack

import (
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// Tokens for programs: for the API only, with a role, sites and an end; dead at once; nowhere to be read again.

var tokenForm = regexp.MustCompile(`sootline_[A-Za-z0-9_-]{16,}`)

// token makes one at the command line.
func (b *box) token(name string, flags ...string) string {
	b.t.Helper()
	out := b.must(append([]string{"serve", "token", "add", name}, flags...)...)
	found := tokenForm.FindString(out)
	if found == "" {
		b.t.Fatalf("no token in %s", out)
	}
	return found
}

type bearing struct {
	token string
	http.RoundTripper
}

func (b bearing) RoundTrip(r *http.Request) (*http.Response, error) {
	r = r.Clone(r.Context())
	r.Header.Set("Authorization", "Bearer "+b.token)
	return b.RoundTripper.RoundTrip(r)
}

// bearer is a program with a token.
func (s *server) bearer(token string) *caller {
	c := s.stranger()
	c.http.Transport = bearing{token, http.DefaultTransport}
	return c
}

func day(n int) string { return time.Now().AddDate(0, 0, n).Format(time.DateOnly) }

// tokens is a staffed server that knows tokens.
func tokens(t *testing.T) (*server, string) {
	newBox(t).needs("serve token add", "--until", "--role", "--site")
	return staffed(t)
}

func TestTokenOpensTheAPIOnly(t *testing.T) {
	s, site := tokens(t)
	key := s.token("meter", "--until", day(30), "--role", "technician")
	p := s.bearer(key)
	if a := p.get("/api/v1/sites"); !a.ok() {
		t.Fatalf("a token reads nothing: %v", a)
	}
	for _, path := range []string{"/", "/site/" + site, "/site/" + site + "/log", "/site/" + site + "/log/export", "/due", "/account", "/people", "/phones", "/backups", "/site/" + site + "/visit/done"} {
		if a := p.get(path); a.ok() && a.in() {
			t.Errorf("a token opens the page %s: %v", path, a)
		}
	}
	if got, _ := p.handIn(site, note("attack")); len(got.Kept) > 0 {
		t.Error("a token hands in as a phone")
	}
	if code, a := p.offer(); code != "" {
		t.Errorf("a token pairs a phone: %v", a)
	}
	plain := s.stranger()
	for what, ask := range map[string]func() answer{
		"in the address": func() answer { return plain.get("/api/v1/sites?token=" + key + "&access_token=" + key) },
		"as a cookie":    func() answer { return s.withCookie("session", key).get("/api/v1/sites") },
		"cut short":      func() answer { return s.bearer(key[:len(key)-1]).get("/api/v1/sites") },
		"prolonged":      func() answer { return s.bearer(key + "A").get("/api/v1/sites") },
		"empty":          func() answer { return s.bearer("").get("/api/v1/sites") },
		"as a password":  func() answer { return plain.form("/sign-in", "name", "meter", "password", key) },
	} {
		if a := ask(); a.ok() || a.status == 303 && !strings.Contains(a.where, "sign-in") {
			t.Errorf("a token %s lets in: %v", what, a)
		}
	}
}

func (s *server) withCookie(name, value string) *caller {
	c := s.stranger()
	r, _ := http.NewRequest("GET", s.base, nil)
	c.http.Jar.SetCookies(r.URL, []*http.Cookie{{Name: name, Value: value}})
	return c
}

func TestTokenRoles(t *testing.T) {
	s, site := tokens(t)
	reader := s.bearer(s.token("display", "--until", day(30)))
	tech := s.bearer(s.token("meter", "--until", day(30), "--role", "technician"))
	if _, a := reader.add(site, "note", "", map[string]any{"text": "by a reader"}); a.ok() {
		t.Error("by default a token writes")
	}
	id, a := tech.add(site, "note", "", map[string]any{"text": "by a program"})
	if !a.ok() {
		t.Fatalf("a technician's token does not write: %v", a)
	}
	for _, e := range tech.log(site, "text=program") {
		if e.ID == id && e.By != "meter" {
			t.Errorf("what a token writes is by %q", e.By)
		}
	}
	if _, a := tech.add(site, "loop", "", map[string]any{"panel": "1", "loop": "3", "first": 1, "last": 99}); a.ok() {
		t.Error("a technician's token writes what is a manager's")
	}
	for _, c := range []*caller{reader, tech} {
		if a := c.get("/api/v1/people"); a.ok() {
			t.Error("a token reads people")
		}
		if a := c.json("PUT", "/api/v1/people", map[string]string{"name": "X", "role": "manager", "password": otherWord}); a.ok() {
			t.Error("a token makes a manager")
		}
		if a := c.json("PUT", "/api/v1/account/password", map[string]string{"present": technicianWord, "password": otherWord}); a.ok() {
			t.Error("a token changes a password")
		}
		if a := c.do("POST", "/api/v1/log/import", "application/jsonl", []byte(newSite("Smuggled", "UTC", "s-aaaaaaaaaa").out.String())); a.ok() {
			t.Error("a token imports a log")
		}
	}
	for _, role := range []string{"manager", "customer", "owner"} {
		if out, code := s.run("serve", "token", "add", "high", "--until", day(30), "--role", role); code == 0 {
			t.Errorf("a token of the role %s: %s", role, out)
		}
	}
	if out, code := s.run("serve", "token", "add", "meter", "--until", day(30)); code == 0 {
		t.Errorf("a second token of the same name: entries would not say which: %s", out)
	}
}

func TestTokenOfSite(t *testing.T) {
	b := newBox(t)
	b.needs("serve token add", "--until", "--site")
	b.needs("serve person add", "--site")
	s := sceneIn(b)
	c := s.bearer(s.token("display", "--until", day(30), "--site", "Mill"))
	if sites := c.sites(); len(sites) != 1 || sites["Mill"] != s.mill {
		t.Errorf("it sees %v", sites)
	}
	s.shutAPI("a token of the mill", c)
	s.shutAPI("a technician's token", s.bearer(s.token("meter", "--until", day(30), "--site", "Mill", "--role", "technician")))
	s.untouched("a token of the mill")
	if out, code := s.run("serve", "token", "add", "lost", "--until", day(30), "--site", "Nowhere"); code == 0 {
		t.Errorf("a token of a site that does not exist: %s", out)
	}
}

func TestTokenRemoved(t *testing.T) {
	s, _ := tokens(t)
	gone, stays := s.bearer(s.token("gone", "--until", day(30))), s.bearer(s.token("stays", "--until", day(30)))
	for _, c := range []*caller{gone, stays} {
		if a := c.get("/api/v1/sites"); !a.ok() {
			t.Fatal(a)
		}
	}
	s.must("serve", "token", "remove", "gone")
	if !soon(time.Second, func() bool { return gone.get("/api/v1/sites").status == 401 }) {
		t.Errorf("a second after its removal: %v", gone.get("/api/v1/sites"))
	}
	if a := stays.get("/api/v1/sites"); !a.ok() {
		t.Errorf("another token died with it: %v", a)
	}
	if out, code := s.run("serve", "token", "remove", "gone"); code == 0 {
		t.Errorf("removed twice: %s", out)
	}
}

func TestTokenEnds(t *testing.T) {
	s, _ := tokens(t)
	for _, until := range []string{day(-1), day(380), "2026-13-45", "soon"} {
		if out, code := s.run("serve", "token", "add", "odd", "--until", until); code == 0 {
			t.Errorf("a token until %s: %s", until, out)
		}
	}
	if out, code := s.run("serve", "token", "add", "endless"); code == 0 {
		t.Errorf("a token without an end: %s", out)
	}
	key := s.token("meter", "--until", day(30))
	s.stop()
	for _, c := range []struct {
		days int
		lets bool
	}{{29, true}, {32, false}, {29, true}} {
		s.at(time.Now().AddDate(0, 0, c.days))
		again := s.box.serve()
		if a := again.bearer(key).get("/api/v1/sites"); a.ok() != c.lets {
			t.Errorf("a token of thirty days after %d: %v", c.days, a)
		}
		again.stop()
	}
	s.at(time.Time{})
}

// TestTokenNowhereToRead: once printed, a token is in no list, page, journal, log or file.
func TestTokenNowhereToRead(t *testing.T) {
	s, site := tokens(t)
	key := s.token("meter", "--until", day(30), "--role", "technician")
	p := s.bearer(key)
	p.get("/api/v1/sites")
	p.get("/site/" + site)
	p.get("/api/v1/sites/" + site + "/nothing")
	p.add(site, "note", "", map[string]any{"text": "by a program"})
	s.bearer(key + "x").get("/api/v1/sites")
	m := s.signIn("M", managerWord)
	said := map[string]string{"the list": s.must("serve", "token", "list"), "the journal": s.must("serve", "person", "journal"), "the log": s.exported("Mill")}
	for _, path := range []string{"/people", "/people/journal", "/account", "/metrics", "/api/v1/people", "/api/v1/security-events"} {
		said[path] = m.get(path).body
	}
	if !strings.Contains(said["the list"], "meter") || !strings.Contains(said["the journal"], "meter") || !strings.Contains(said["/people"], "meter") {
		t.Error("list, journal and the page People do not all name the token")
	}
	s.stop()
	said["what the server prints"] = s.log.String()
	files, _ := filepath.Glob(s.book + "*")
	for _, f := range files {
		text, _ := os.ReadFile(f)
		said[filepath.Base(f)] = string(text)
	}
	secret := strings.TrimPrefix(key, "sootline_")
	for where, text := range said {
		if strings.Contains(text, secret) || strings.Contains(text, secret[:len(secret)/2]) {
			t.Errorf("the token stands in %s", where)
		}
	}
}
