package attack

import (
	"encoding/json"
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"
)

// staffed is a server with a manager M, a technician T, and the mill.
func staffed(t *testing.T) (*server, string) {
	b := newBox(t)
	b.mill()
	b.must("site", "add", "Quarry", "--loop", "1")
	b.person("M", "manager", managerWord)
	b.person("T", "technician", technicianWord)
	s := b.serve()
	return s, s.signIn("M", managerWord).sites()["Mill"]
}

// dead waits at most a second for a caller to be shut out of everything that asks who it is.
func (c *caller) dead(site, who string) {
	c.s.t.Helper()
	until := time.Now().Add(time.Second)
	for {
		page, api := c.get("/site/"+site), c.get("/api/v1/sites")
		_, wrote := c.add(site, "note", "", map[string]any{"text": "by the dead"})
		got, hand := c.handIn(site, note("by the dead"))
		if !page.in() && !api.in() && !wrote.ok() && (!hand.ok() || len(got.Kept) == 0) {
			return
		}
		if time.Now().After(until) {
			c.s.t.Errorf("%s: still in after a second: page %d, API %d, writes %d, hands in %d", who, page.status, api.status, wrote.status, hand.status)
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
}

var calendarAddress = regexp.MustCompile(`https?://[^"<> ]+\.ics\?[^"<> ]+`)

// calendar makes an address for a calendar program.
func (c *caller) calendar(site string) string {
	c.s.t.Helper()
	a := c.form("/due/calendar", "site", site)
	if a.status/100 == 3 {
		a = c.get(a.where)
	}
	found := calendarAddress.FindString(strings.ReplaceAll(a.body, "&amp;", "&"))
	if found == "" {
		c.s.t.Fatalf("no calendar address: %v", a)
	}
	return strings.TrimPrefix(found, c.s.base)
}

// belongings is all that one person has that lets somebody in.
type belongings struct {
	session, phone *caller
	code, calendar string
}

func (s *server) belongingsOf(name, word, site string) belongings {
	s.t.Helper()
	c := s.signIn(name, word)
	code, _ := c.offer()
	return belongings{c, c.phone("pocket"), code, c.calendar(site)}
}

func (g belongings) allDead(s *server, site string) {
	s.t.Helper()
	g.session.dead(site, "the old session")
	g.phone.dead(site, "the phone")
	if p, _ := s.pair(g.code, "late"); p != nil {
		s.t.Error("a pairing code from before still makes a phone")
	}
	if a := s.stranger().get(g.calendar); a.ok() {
		s.t.Errorf("the calendar address still answers: %d", a.status)
	}
}

func TestPasswordChanged(t *testing.T) {
	s, site := staffed(t)
	g := s.belongingsOf("T", technicianWord, site)
	s.password("T", otherWord)
	g.allDead(s, site)
}

func TestRoleChanged(t *testing.T) {
	s, site := staffed(t)
	s.person("M2", "manager", otherWord)
	g := s.belongingsOf("M2", otherWord, site)
	s.must("serve", "person", "role", "M2", "technician")
	g.allDead(s, site)
}

// remove tries every way to remove a person that one would expect; empty where there is none.
func (s *server) remove(name string) string {
	for _, verb := range []string{"remove", "drop", "delete"} {
		out, _ := s.run("serve", "person", verb, name)
		if list := s.must("serve", "person", "list"); !strings.Contains(list, name+" ") || strings.Contains(out, "removed") {
			return "serve person " + verb + " " + out
		}
	}
	m := s.signIn("M", managerWord)
	tries := []func(){
		func() { m.json("DELETE", "/api/v1/people/"+name, "") },
		func() { m.form("/people/remove", "name", name) },
		func() { m.form("/people/drop", "name", name) },
		func() { m.form("/people/" + name + "/remove") },
		func() { m.form("/people", "name", name, "do", "remove") },
	}
	for i, try := range tries {
		try()
		if list := s.must("serve", "person", "list"); !strings.Contains(list, name+" ") {
			return fmt.Sprint("page or API, try ", i)
		}
	}
	return ""
}

func TestPersonRemoved(t *testing.T) {
	s, site := staffed(t)
	g := s.belongingsOf("T", technicianWord, site)
	g.session.add(site, "note", "", map[string]any{"text": "written before"})
	s.must("book", "backup", s.path("with-t.db"))
	if s.remove("T") == "" {
		t.Skip("no way to do it found: removing a person")
	}
	g.allDead(s, site)
	if a := s.stranger().form("/sign-in", "name", "T", "password", technicianWord); a.status == 303 {
		t.Error("a removed person signs in")
	}
	s.holdsAll([]string{"written before"})
	s.stop()
	s.must("book", "restore", s.path("with-t.db"))
	again := s.box.serve()
	if a := again.stranger().form("/sign-in", "name", "T", "password", technicianWord); a.status == 303 {
		t.Error("a restored backup revives a removed person")
	}
	g.movedTo(again)
	g.allDead(again, site)
}

// movedTo carries the cookies over to another server of the same book.
func (g belongings) movedTo(s *server) {
	for _, c := range []*caller{g.session, g.phone} {
		c.movedTo(s)
	}
}

func (c *caller) movedTo(s *server) {
	kept := c.cookies()
	c.s = s
	r, _ := http.NewRequest("GET", s.base, nil)
	c.http.Jar.SetCookies(r.URL, kept)
}

func (c *caller) cookies() []*http.Cookie {
	r, _ := http.NewRequest("GET", c.s.base, nil)
	return c.http.Jar.Cookies(r.URL)
}

var stationOf = regexp.MustCompile(`name="station" value="([^"]+)"`)

func TestRestoreRevivesNoPhone(t *testing.T) {
	s, site := staffed(t)
	p := s.signIn("T", technicianWord).phone("pocket")
	s.must("book", "backup", s.path("with-phone.db"))
	m := s.signIn("M", managerWord)
	station := stationOf.FindStringSubmatch(m.get("/phones").body)
	if station == nil {
		t.Fatal("the phone is not listed")
	}
	m.form("/phones/drop", "station", station[1])
	p.dead(site, "a phone that was taken off")
	s.stop()
	s.must("book", "restore", s.path("with-phone.db"))
	again := s.box.serve()
	p.movedTo(again)
	p.dead(site, "a phone that was taken off, after a restore")
}

func TestRestoreRevivesNoPassword(t *testing.T) {
	s, _ := staffed(t)
	s.must("book", "backup", s.path("before.db"))
	s.password("T", otherWord)
	s.stop()
	s.must("book", "restore", s.path("before.db"))
	again := s.box.serve()
	if a := again.stranger().form("/sign-in", "name", "T", "password", technicianWord); a.status == 303 {
		t.Error("a restored backup revives a password that was changed")
	}
}

func TestPhonePairsNoPhone(t *testing.T) {
	s, _ := staffed(t)
	p := s.signIn("T", technicianWord).phone("pocket")
	code, a := p.offer()
	if code == "" {
		return
	}
	if second, _ := s.pair(code, "second"); second != nil {
		t.Errorf("a phone paired a phone: %d", a.status)
	}
}

func TestCalendarOpensOneSite(t *testing.T) {
	s, site := staffed(t)
	m := s.signIn("M", managerWord)
	address := m.calendar(site)
	other := m.sites()["Quarry"]
	if a := s.stranger().get(strings.ReplaceAll(address, site, other)); strings.Contains(address, site) && a.ok() {
		t.Error("the address that was made for one site opens another")
	}
	if a := s.stranger().get(strings.Replace(address, "/site/"+site, "", 1)); strings.Contains(address, "/site/"+site) && a.ok() {
		t.Error("the address that was made for one site opens all")
	}
}

func TestCommonPasswords(t *testing.T) {
	s, _ := staffed(t)
	m := s.signIn("M", managerWord)
	for _, word := range []string{
		"passwordpassword", "123456789012345", "1234567890123456", "qwertyuiopasdfgh", "aaaaaaaaaaaaaaaa", "Passwordpassword1",
		"111111111111111", "abcdefghijklmnop", "iloveyouiloveyou", "sootlinesootline", "password12345678", "letmeinletmeinletmein",
	} {
		if _, ok := s.tryPerson("V", "technician", word); ok {
			t.Errorf("the command line takes %q", word)
		}
		if a := m.form("/people", "name", "V", "role", "technician", "password", word, "again", word); a.status == 303 {
			t.Errorf("the page takes %q", word)
		}
		if a := m.json("PUT", "/api/v1/people", map[string]string{"name": "V", "role": "technician", "password": word}); a.ok() {
			t.Errorf("the API takes %q", word)
		}
	}
}

// TestGuessesByAccount: five tries from each of a dozen addresses are sixty guesses at one account.
func TestGuessesByAccount(t *testing.T) {
	s, _ := staffed(t)
	limited := 0
	for i := range 12 {
		c := s.from(fmt.Sprintf("127.0.1.%d", i+1))
		for n := range 5 {
			a := c.form("/sign-in", "name", "T", "password", fmt.Sprintf("wrong guess number %d %d", i, n))
			if a.status == 0 {
				t.Skip("no other addresses of this machine: ", a.body)
			}
			if a.status == http.StatusTooManyRequests {
				limited++
			}
		}
	}
	if limited == 0 {
		t.Error("sixty guesses at one account from twelve addresses, and none was held back")
	}
}

// TestRightPasswordsUnlimited: a firm behind one address signs in one after the other.
func TestRightPasswordsUnlimited(t *testing.T) {
	s, _ := staffed(t)
	for i := range 12 {
		if a := s.stranger().form("/sign-in", "name", "T", "password", technicianWord); a.status != 303 {
			t.Fatalf("right sign-in number %d from one address: %v", i+1, a)
		}
	}
}

// TestWaysOfPeople looks for what a person should find; each that is not there is skipped by name.
func TestWaysOfPeople(t *testing.T) {
	s, _ := staffed(t)
	m := s.signIn("M", managerWord)
	for what, paths := range map[string][]string{
		"own password":           {"/me", "/account", "/password", "/people/me", "/me/password"},
		"list of sessions":       {"/sessions", "/me/sessions", "/account/sessions", "/people/sessions", "/api/v1/sessions"},
		"second factor":          {"/me/factor", "/second-factor", "/me/totp", "/totp", "/passkeys", "/me/passkeys", "/account/factor"},
		"sign out everywhere":    {"/me", "/account", "/sessions", "/sign-out/everywhere"},
		"tokens for programs":    {"/tokens", "/me/tokens", "/account/tokens", "/api/v1/tokens"},
		"journal of security":    {"/journal", "/security", "/people/journal", "/api/v1/journal", "/api/v1/security"},
		"invitation of a person": {"/people/invite", "/invite", "/invitations", "/api/v1/invitations"},
	} {
		t.Run(strings.ReplaceAll(what, " ", "-"), func(t *testing.T) {
			for _, p := range paths {
				if a := m.get(p); a.ok() || a.status == http.StatusMethodNotAllowed {
					if a := s.stranger().get(p); a.ok() && a.in() {
						t.Errorf("%s is open to strangers", p)
					}
					return
				}
			}
			t.Skip("no way to do it found: ", what)
		})
	}
}

// TestPhoneReadsNoSecrets: what lists people answers no phone and no technician.
func TestPhoneReadsNoSecrets(t *testing.T) {
	s, _ := staffed(t)
	tech := s.signIn("T", technicianWord)
	for name, c := range map[string]*caller{"technician": tech, "phone": tech.phone("pocket"), "stranger": s.stranger()} {
		for _, p := range []string{"/people", "/api/v1/people"} {
			if a := c.get(p); a.ok() {
				t.Errorf("%s reads %s", name, p)
			}
		}
		body, _ := json.Marshal(map[string]string{"name": "X", "role": "manager", "password": otherWord})
		if a := c.json("PUT", "/api/v1/people", string(body)); a.ok() {
			t.Errorf("%s makes a manager", name)
		}
	}
}
