package attack

import (
	"encoding/json"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// Invitations open once, for seven days, with the role that was given; and the list of one's sessions ends what it says.

var welcomeForm = regexp.MustCompile(`/welcome/[A-Za-z0-9_-]{16,}`)

// invite makes the address of an invitation.
func (b *box) invite(name, role string, flags ...string) string {
	b.t.Helper()
	out := b.must(append([]string{"serve", "person", "invite", name, "--role", role}, flags...)...)
	found := welcomeForm.FindString(out)
	if found == "" {
		b.t.Fatalf("no address in %s", out)
	}
	return found
}

func inviting(t *testing.T) (*server, string) {
	newBox(t).needs("serve person invite", "--role")
	return staffed(t)
}

var (
	inputs    = regexp.MustCompile(`<input[^>]*>`)
	attribute = regexp.MustCompile(`(name|value|type)="([^"]*)"`)
)

// accept fills in the form of an invitation: hidden fields as they are, each password, and whatever more is tried.
func (c *caller) accept(address, word string, more ...string) answer {
	page := c.get(address)
	if !page.ok() {
		return page
	}
	fields := more
	for _, tag := range inputs.FindAllString(page.body, -1) {
		a := map[string]string{}
		for _, m := range attribute.FindAllStringSubmatch(tag, -1) {
			a[m[1]] = html.UnescapeString(m[2])
		}
		switch {
		case a["type"] == "password":
			fields = append(fields, a["name"], word)
		case a["name"] != "" && a["name"] != "back" && a["name"] != "look":
			fields = append(fields, a["name"], a["value"])
		}
	}
	return c.form(address, fields...)
}

// roleOf is what the list says; empty where the person is not in it.
func (b *box) roleOf(name string) string {
	for line := range strings.Lines(b.must("serve", "person", "list")) {
		if rest, ok := strings.CutPrefix(line, name+" "); ok {
			return strings.Fields(rest)[0]
		}
	}
	return ""
}

func (s *server) canSignIn(name, word string) bool {
	return s.stranger().form("/sign-in", "name", name, "password", word).status == 303
}

func TestInvitedOnce(t *testing.T) {
	s, _ := inviting(t)
	address := s.invite("Novice", "reader")
	for range 2 { // programs that look at links before people do use nothing up
		if a := s.stranger().get(address); !a.ok() || !strings.Contains(a.body, `type="password"`) {
			t.Fatalf("the address shows no form: %v", a)
		}
	}
	for _, weak := range []string{"short", "passwordpassword", ""} {
		if s.stranger().accept(address, weak); s.canSignIn("Novice", weak) {
			t.Errorf("the password %q is taken", weak)
		}
	}
	if a := s.stranger().accept(address, otherWord); !s.canSignIn("Novice", otherWord) {
		t.Fatalf("invited, and cannot sign in: %v", a)
	}
	if role := s.roleOf("Novice"); role != "reader" {
		t.Errorf("invited as a reader, and is %q", role)
	}
	if a := s.stranger().accept(address, "ten hollow bridges"); a.ok() || s.canSignIn("Novice", "ten hollow bridges") {
		t.Errorf("the address is good twice: %v", a)
	}
	journal := s.must("serve", "person", "journal")
	if strings.Count(journal, "Novice") < 2 {
		t.Errorf("the journal does not hold both the invitation and its acceptance: %s", journal)
	}
	s.keyNowhere(t, strings.TrimPrefix(address, "/welcome/"), journal)
}

// keyNowhere: the key of an invitation is in no journal, log of the server, or file.
func (s *server) keyNowhere(t *testing.T, key, journal string) {
	s.stop()
	said := map[string]string{"the journal": journal, "what the server prints": s.log.String()}
	files, _ := filepath.Glob(s.book + "*")
	for _, f := range files {
		text, _ := os.ReadFile(f)
		said[filepath.Base(f)] = string(text)
	}
	for where, text := range said {
		if strings.Contains(text, key) {
			t.Errorf("the key stands in %s", where)
		}
	}
}

// TestInvitedRoleStays: what the form is given besides raises nothing.
func TestInvitedRoleStays(t *testing.T) {
	s, _ := inviting(t)
	more := []string{"role", "manager", "name", "M", "site", "", "sites", "all", "all", "on", "customer", "", "scope", "all", "person", "M"}
	s.stranger().accept(s.invite("Novice", "reader"), otherWord, more...)
	if role := s.roleOf("Novice"); role != "reader" && role != "" {
		t.Errorf("the form made a reader %q", role)
	}
	if s.canSignIn("M", otherWord) || !s.canSignIn("M", managerWord) {
		t.Error("the form gave another person a password")
	}
	address := s.invite("Apprentice", "reader")
	s.stranger().accept(address+"?role=manager&name=M", otherWord)
	if role := s.roleOf("Apprentice"); role != "reader" && role != "" {
		t.Errorf("the address made a reader %q", role)
	}
	if out, code := s.run("serve", "person", "invite", "T", "--role", "manager"); code == 0 {
		if s.stranger().accept(welcomeForm.FindString(out), otherWord); s.roleOf("T") != "technician" || s.canSignIn("T", otherWord) {
			t.Errorf("an invitation takes over who is there: %s", out)
		}
	}
}

func TestInvitationEnds(t *testing.T) {
	s, _ := inviting(t)
	early, late := s.invite("Early", "reader"), s.invite("Late", "reader")
	s.stop()
	s.at(time.Now().Add(6*24*time.Hour + 12*time.Hour))
	after := s.box.serve()
	if after.stranger().accept(early, otherWord); !after.canSignIn("Early", otherWord) {
		t.Error("after six days an invitation is not good")
	}
	after.stop()
	s.at(time.Now().Add(7*24*time.Hour + time.Hour))
	after = s.box.serve()
	if a := after.stranger().accept(late, otherWord); a.ok() || after.canSignIn("Late", otherWord) {
		t.Errorf("after seven days and an hour an invitation is good: %v", a)
	}
	after.stop()
	s.at(time.Time{})
}

func TestInvitationAfterRemoval(t *testing.T) {
	s, _ := inviting(t)
	s.needs("serve person remove")
	first := s.invite("Novice", "reader")
	if out, code := s.run("serve", "person", "remove", "Novice"); code != 0 {
		t.Errorf("an invitation cannot be taken back: %s", out)
	} else if a := s.stranger().accept(first, otherWord); a.ok() || s.canSignIn("Novice", otherWord) {
		t.Errorf("an invitation is good after its person was removed: %v", a)
	}
	second := s.invite("Novice2", "reader")
	s.stranger().accept(second, otherWord)
	s.must("serve", "person", "remove", "Novice2")
	if s.stranger().accept(second, otherWord); s.canSignIn("Novice2", otherWord) {
		t.Error("a removed person comes back by the old invitation")
	}
	third := s.invite("Novice3", "manager")
	s.must("book", "backup", s.path("with-invitation.db"))
	s.run("serve", "person", "remove", "Novice3")
	s.stop()
	s.must("book", "restore", s.path("with-invitation.db"))
	again := s.box.serve()
	if again.stranger().accept(third, otherWord); again.canSignIn("Novice3", otherWord) {
		t.Error("a restored backup revives an invitation that was taken back")
	}
}

// TestInvitedToSite: who is invited to the mill sees the mill.
func TestInvitedToSite(t *testing.T) {
	b := newBox(t)
	b.needs("serve person invite", "--site")
	b.needs("serve person add", "--site")
	s := sceneIn(b)
	s.stranger().accept(s.invite("Novice", "technician", "--site", "Mill"), otherWord, "site", s.foreign, "site", foreignName)
	if !s.canSignIn("Novice", otherWord) {
		t.Fatal("invited, and cannot sign in")
	}
	s.shut("somebody invited to the mill", s.signIn("Novice", otherWord))
}

// TestInvitationsGuessed: a key that nobody was given opens nothing, and says as little as one that was used.
func TestInvitationsGuessed(t *testing.T) {
	s, _ := inviting(t)
	address := s.invite("Novice", "reader")
	s.stranger().accept(address, otherWord)
	guess := "/welcome/" + strings.Repeat("A", len(address)-len("/welcome/"))
	used, none := s.stranger().get(address), s.stranger().get(guess)
	if none.ok() || used.ok() {
		t.Errorf("answered: %v, %v", used, none)
	}
	if strings.Contains(used.body, "Novice") {
		t.Error("an address that was used names the person")
	}
}

// session is one line of the list of one's own.
type session struct{ ID, Device string }

func (c *caller) sessions() []session {
	c.s.t.Helper()
	var got struct{ Sessions []session }
	if a := c.get("/api/v1/account/sessions"); json.Unmarshal([]byte(a.body), &got) != nil {
		c.s.t.Fatal(a)
	}
	return got.Sessions
}

// sessionAdded is the session of the list that was not there before.
func sessionAdded(before, after []session) string {
	for _, s := range after {
		known := false
		for _, b := range before {
			known = known || b.ID == s.ID
		}
		if !known {
			return s.ID
		}
	}
	return ""
}

// TestOneSessionEnds: ending one ends that one, and neither the others, nor the phone, nor anybody else's.
func TestOneSessionEnds(t *testing.T) {
	s, site := staffed(t)
	first := s.signIn("T", technicianWord)
	phone := first.phone("pocket")
	before := first.sessions()
	second := s.signIn("T", technicianWord)
	secondID := sessionAdded(before, first.sessions())
	third := s.signIn("T", technicianWord)
	m := s.signIn("M", managerWord)
	foreign := m.sessions()[0].ID
	if a := first.json("DELETE", "/api/v1/account/sessions/"+foreign, ""); a.ok() {
		t.Errorf("a technician ends the session of a manager: %v", a)
	}
	first.form("/account", "do", "end", "session", foreign)
	if a := first.json("DELETE", "/api/v1/account/sessions/"+secondID, ""); !a.ok() {
		t.Fatalf("the session %q cannot be ended: %v", secondID, a)
	}
	second.dead(site, "the session that was ended")
	for who, c := range map[string]*caller{"the one that ended it": first, "a third": third, "the phone": phone, "the manager's": m} {
		if a := c.get("/site/" + site); !a.ok() || !a.in() {
			t.Errorf("%s ended with it: %v", who, a)
		}
	}
	if list := first.sessions(); len(list) != len(before)+1 || strings.Contains(first.get("/account").body, secondID) {
		t.Errorf("the list still has it: %v", list)
	}
	for _, c := range first.cookies() {
		for _, one := range first.sessions() {
			if strings.Contains(c.Value, one.ID) || strings.Contains(one.ID, c.Value) {
				t.Error("the list shows the key of a session, with which anybody is in")
			}
		}
	}
}

// TestPhoneEndsNoSession: whoever has a phone of somebody does not sign that person out.
func TestPhoneEndsNoSession(t *testing.T) {
	s, site := staffed(t)
	first := s.signIn("T", technicianWord)
	p := first.phone("pocket")
	p.form("/account", "do", "everywhere")
	p.json("POST", "/api/v1/account/sign-out", "")
	p.form("/account", "do", "end", "session", first.sessions()[0].ID)
	if a := first.get("/site/" + site); !a.in() {
		t.Error("a phone signed its person out")
	}
}
