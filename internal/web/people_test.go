package web

import (
	"context"
	"fmt"
	"net/http"
	"net/netip"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/pquerna/otp/totp"

	"sootline"
	"sootline/internal/api"
)

// gone are the ways in that somebody was given.
type gone struct {
	laptop, phone *browser
	feed, pairing string
}

// letIn gives somebody a session, a phone, a calendar address and a pairing code.
func letIn(t *testing.T, s *Server, site, name string) gone {
	t.Helper()
	g := gone{laptop: signIn(t, s, name)}
	g.phone = pairPhone(t, s, g.laptop, name+" phone")
	g.laptop.post("/due/calendar", url.Values{})
	key := regexp.MustCompile(`due\.ics\?key=([\w-]+)`).FindStringSubmatch(g.laptop.get("/due"))
	code := regexp.MustCompile(`/pair\?code=([A-Z2-7]+)`).FindStringSubmatch(read(t, g.laptop.post("/phones", nil)))
	if key == nil || code == nil {
		t.Fatal("no key, or no code", key, code)
	}
	g.feed, g.pairing = "/due.ics?key="+key[1], code[1]
	if visit(t, s).get(g.feed) == "" || g.laptop.get(site) == "" || g.phone.get(site) == "" {
		t.Fatal("what was given out opens nothing")
	}
	return g
}

// closed wants that nothing of it opens anything.
func (g gone) closed(t *testing.T, s *Server, site string) {
	t.Helper()
	for what, b := range map[string]*browser{"session": g.laptop, "phone": g.phone} {
		if res := b.do(http.MethodGet, site, "", nil); res.StatusCode != http.StatusSeeOther {
			t.Errorf("the old %s gives %d", what, res.StatusCode)
		}
	}
	if res := visit(t, s).do(http.MethodGet, g.feed, "", nil); res.StatusCode != http.StatusUnauthorized {
		t.Errorf("the old calendar address gives %d", res.StatusCode)
	}
	if res := visit(t, s).post("/pair", url.Values{"code": {g.pairing}, "name": {"late"}}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("the old code gives %d", res.StatusCode)
	}
}

// TestWhatWasGivenOutEnds: after each change of a person, all that was given out
// before opens nothing, from the next request on.
func TestWhatWasGivenOutEnds(t *testing.T) {
	s, site := withDemo(t, abroad)
	manager := signIn(t, s, "M. Manager")
	now := password
	for i, form := range []url.Values{
		{"do": {"password"}, "password": {"eleven loud kettles"}, "again": {"eleven loud kettles"}},
		{"do": {"role"}, "role": {"manager"}},
		{"do": {"sign-out"}},
		{"do": {"remove"}},
	} {
		g := letInAs(t, s, site, "T. Tech", now)
		form.Set("name", "t.  tech")
		if res := manager.post("/people/change", form); res.StatusCode != http.StatusSeeOther {
			t.Fatalf("change %d gives %d: %s", i, res.StatusCode, read(t, res))
		}
		if form.Get("do") == "password" {
			now = form.Get("password")
		}
		g.closed(t, s, site)
	}
	if err := s.App.AddPerson(context.Background(), "T. Tech", sootline.Technician, password); err != nil {
		t.Fatal(err)
	}
	g := letIn(t, s, site, "T. Tech")
	if err := s.App.RemovePerson(context.Background(), "T. Tech"); err != nil {
		t.Fatal(err)
	}
	if err := s.App.AddPerson(context.Background(), "T. Tech", sootline.Technician, password); err != nil {
		t.Fatal(err)
	}
	g.closed(t, s, site) // who is added anew is another one
}

func letInAs(t *testing.T, s *Server, site, name, word string) gone {
	t.Helper()
	b := visit(t, s)
	if res := b.post("/sign-in", url.Values{"name": {name}, "password": {word}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("signing in gives %d", res.StatusCode)
	}
	g := gone{laptop: b, phone: pairPhone(t, s, b, "phone")}
	b.post("/due/calendar", url.Values{})
	g.feed = "/due.ics?key=" + regexp.MustCompile(`due\.ics\?key=([\w-]+)`).FindStringSubmatch(b.get("/due"))[1]
	g.pairing = regexp.MustCompile(`/pair\?code=([A-Z2-7]+)`).FindStringSubmatch(read(t, b.post("/phones", nil)))[1]
	return g
}

// TestOwnAccount: whoever changes their password stays signed in here alone; each
// session is listed and can be ended.
func TestOwnAccount(t *testing.T) {
	s, site := withDemo(t, abroad)
	here, there := signIn(t, s, "T. Tech"), signIn(t, s, "T. Tech")
	page := here.get("/account")
	ids := regexp.MustCompile(`name="session" value="([^"]+)"`).FindAllStringSubmatch(page, -1)
	if len(ids) != 2 || strings.Count(page, "(here)") != 1 {
		t.Fatalf("%d sessions are listed", len(ids))
	}
	const fresh = "nine brass ladders lean"
	if res := here.post("/account", url.Values{"do": {"password"}, "present": {"wrong"}, "password": {fresh}, "again": {fresh}}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a wrong present password gives %d", res.StatusCode)
	}
	if res := here.post("/account", url.Values{"do": {"password"}, "present": {password}, "password": {fresh}, "again": {fresh}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("changing the password gives %d", res.StatusCode)
	}
	here.get(site)
	if res := there.do(http.MethodGet, site, "", nil); res.StatusCode != http.StatusSeeOther {
		t.Errorf("the other session gives %d", res.StatusCode)
	}
	other := visit(t, s)
	if res := other.post("/sign-in", url.Values{"name": {"T. Tech"}, "password": {fresh}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("the new password gives %d", res.StatusCode)
	}
	ids = regexp.MustCompile(`name="session" value="([^"]+)"`).FindAllStringSubmatch(here.get("/account"), -1)
	if len(ids) != 2 {
		t.Fatalf("%d sessions are listed, want 2", len(ids))
	}
	for _, id := range ids {
		signIn(t, s, "M. Manager").post("/account", url.Values{"do": {"end"}, "session": {id[1]}}) // another person's: nothing
	}
	here.get(site)
	here.post("/account", url.Values{"do": {"everywhere"}})
	for _, b := range []*browser{here, other} {
		if res := b.do(http.MethodGet, site, "", nil); res.StatusCode != http.StatusSeeOther {
			t.Errorf("after signing out everywhere a session gives %d", res.StatusCode)
		}
	}
}

// TestSessionsEnd by idling and by age, a manager's sooner.
func TestSessionsEnd(t *testing.T) {
	now := today
	s, _ := withDemo(t, func(c *Config) { abroad(c); c.App.Now = func() time.Time { return now } })
	days := map[string]int{}
	for _, name := range []string{"T. Tech", "M. Manager"} {
		now = today
		b := signIn(t, s, name)
		for range 100 {
			now = now.Add(8 * time.Hour)
			if b.do(http.MethodGet, "/account", "", nil).StatusCode != http.StatusOK { // a page that folds no site
				break
			}
			days[name] = int(now.Sub(today).Hours()) / 24
		}
	}
	if days["T. Tech"] != 29 || days["M. Manager"] != 6 {
		t.Errorf("sessions in use last %v whole days", days)
	}
	now = today
	b := signIn(t, s, "T. Tech")
	now = now.Add(12*time.Hour - time.Second)
	b.get("/account")
	now = now.Add(12 * time.Hour)
	if res := b.do(http.MethodGet, "/account", "", nil); res.StatusCode != http.StatusSeeOther {
		t.Errorf("after twelve idle hours a session gives %d", res.StatusCode)
	}
}

// TestTries: wrong passwords are bounded by address and by name, right ones are not,
// and a header counts only from a proxy that is named.
func TestTries(t *testing.T) {
	s, _ := withDemo(t, func(c *Config) { abroad(c); c.Proxies = []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")} })
	try := func(remote, forwarded, name, word string) int {
		return visit(t, s).do(http.MethodPost, "/sign-in", url.Values{"name": {name}, "password": {word}}.Encode(), func(r *http.Request) {
			r.RemoteAddr = remote
			r.Header.Set("X-Forwarded-For", forwarded)
		}).StatusCode
	}
	for i := range 12 {
		if got := try("192.0.2.1:99", "", "T. Tech", password); got != http.StatusSeeOther {
			t.Fatalf("right sign-in %d from one address gives %d", i+1, got)
		}
	}
	for i := range 6 { // somebody who writes the header themselves
		if got, want := try("192.0.2.2:99", fmt.Sprintf("203.0.113.%d", i), "nobody", "x"), 422; i < 5 && got != want || i == 5 && got != http.StatusTooManyRequests {
			t.Errorf("wrong try %d gives %d", i+1, got)
		}
	}
	for i := range 6 { // through the proxy, each their own
		if got := try("10.0.0.7:99", fmt.Sprintf("198.51.100.9, 203.0.113.%d", i), "somebody", "x"); got != 422 {
			t.Errorf("try %d through the proxy gives %d", i+1, got)
		}
	}
	limited := 0
	for i := range 25 { // one name from many addresses
		if try(fmt.Sprintf("198.51.100.%d:99", i), "", "M. MANAGER", "x") == http.StatusTooManyRequests {
			limited++
		}
	}
	if limited != 5 {
		t.Errorf("%d of 25 tries of one name are refused, want 5", limited)
	}
}

// TestJournal shows who did what, to managers, on the page and in both files.
func TestJournal(t *testing.T) {
	s, _ := withDemo(t, abroad)
	visit(t, s).post("/sign-in", url.Values{"name": {"T. Tech"}, "password": {"wrong"}})
	visit(t, s).post("/sign-in", url.Values{"name": {"my secret words"}, "password": {"x"}})
	manager := signIn(t, s, "M. Manager")
	manager.post("/people/change", url.Values{"do": {"remove"}, "name": {"T. Tech"}})
	for _, address := range []string{"/people/journal", "/people/journal/csv", "/people/journal/json", api.Root + "/security-events"} {
		text := manager.get(address)
		for _, want := range []string{"sign-in failed", "person removed", "M. Manager", "T. Tech", "192.0.2.1", "person added"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not tell of %q", address, want)
			}
		}
		if strings.Contains(text, "my secret words") {
			t.Errorf("%s tells what somebody typed as a name", address)
		}
	}
}

// TestNoticeSaysBack: after a form the page says what was written down, of which point
// and how it went.
func TestNoticeSaysBack(t *testing.T) {
	s, site := withDemo(t, nil)
	p := aSmokePoint(t, surveyOf(t, s))
	b := visit(t, s)
	res := b.post(site+"/log", url.Values{"id": {s.newID()}, "kind": {"tested"}, "shown": {"tested"}, "point": {p.Ref().String()}, "failed": {"failed"}, "text": {"no lamp"}, "sure": {"1"}})
	if res.StatusCode != http.StatusSeeOther {
		t.Fatalf("the form gives %d", res.StatusCode)
	}
	page := b.get(strings.TrimSuffix(res.Header.Get("Location"), "#add"))
	if notice := regexp.MustCompile(`role="status"><p><strong>Written down:</strong>([^<]*)<`).FindStringSubmatch(page); notice == nil || !strings.Contains(notice[1], p.Ref().String()+", tested: failed, no lamp") {
		t.Errorf("the notice says %q", notice)
	}
}

// TestSecondFactorAtTheDoor sets a second factor up by the page, and signs in with it.
func TestSecondFactorAtTheDoor(t *testing.T) {
	now := today
	s, _ := withDemo(t, func(c *Config) { abroad(c); c.App.Now = func() time.Time { return now } })
	tech := signIn(t, s, "T. Tech")
	page := read(t, tech.post("/account", url.Values{"do": {"factor"}}))
	secret := field(t, page, "secret")
	if !strings.Contains(page, `<svg class="qr"`) || strings.Contains(tech.get("/account"), secret) {
		t.Error("no picture is shown, or the secret is kept already")
	}
	code := func() string {
		code, err := totp.GenerateCode(secret, now)
		if err != nil {
			t.Fatal(err)
		}
		return code
	}
	if res := tech.post("/account", url.Values{"do": {"factor-set"}, "secret": {secret}, "code": {code()}, "present": {password}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("setting it up gives %d: %s", res.StatusCode, sentenceIn(read(t, res)))
	}
	try := func(code string) int {
		return visit(t, s).post("/sign-in", url.Values{"name": {"T. Tech"}, "password": {password}, "code": {code}}).StatusCode
	}
	if used, none := try(code()), try(""); used != 422 || none != 422 {
		t.Errorf("a code that was used gives %d, none gives %d", used, none)
	}
	now = now.Add(time.Minute)
	if got := try(code()); got != http.StatusSeeOther {
		t.Errorf("password and code give %d", got)
	}
	manager := signIn(t, s, "M. Manager")
	if !strings.Contains(manager.get("/people"), "Take second factor and passkeys of T. Tech away") {
		t.Error("a manager is not offered to take it away")
	}
	manager.post("/people/change", url.Values{"do": {"factor-off"}, "name": {"T. Tech"}})
	if got := try(""); got != http.StatusSeeOther {
		t.Errorf("without the factor the password gives %d", got)
	}
}
