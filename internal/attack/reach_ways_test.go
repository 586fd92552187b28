package attack

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"
)

// More ways of trying an act of the table of reach: amendments, papers, facts, people and tokens.

// noteFor is a note on the mill that is the caller's own, where they may write one there; else the manager's.
func (s *scene) noteFor(c *caller) string {
	if id, a := c.add(s.mill, "note", "", map[string]any{"text": "to be amended"}); a.ok() {
		return id
	}
	return s.managers
}

// amending tries to correct, or to take back, a note by the API.
func amending(correct bool) probe {
	return func(s *scene, c *caller) (bool, answer) {
		address := "/api/v1/sites/" + s.mill + "/log/entries/" + s.noteFor(c)
		if !correct {
			a := c.json("POST", address+"/withdrawal", map[string]any{"id": uuid7(time.Now()), "why": "reach"})
			return a.ok(), a
		}
		a := c.json("POST", address+"/correction", map[string]any{"id": uuid7(time.Now()), "why": "reach", "sure": true, "body": map[string]string{"text": "reach " + unknown()}})
		return a.ok(), a
	}
}

func amendingAtPage(fields ...string) probe {
	return func(s *scene, c *caller) (bool, answer) {
		a := c.form("/site/"+s.mill+"/log/"+s.noteFor(c), append([]string{"id", uuid7(time.Now()), "sure", "1", "why", "reach"}, fields...)...)
		return a.status == 303 && a.in(), a
	}
}

// amendingByPhone amends what the phone captured itself.
func amendingByPhone(kind string) probe {
	return func(s *scene, c *caller) (bool, answer) {
		own := note("to be amended")
		c.handIn(s.mill, own)
		now := time.Now()
		body := map[string]any{"entry": own.ID, "why": "reach"}
		if kind == "corrected" {
			body["at"], body["kind"], body["body"] = stamp(now), "note", map[string]string{"text": "reach"}
		}
		got, a := c.handIn(s.mill, handed{ID: uuid7(now), At: now.UnixMilli(), Kind: kind, Body: body})
		return len(got.Kept) == 1, a
	}
}

func invited(*scene) any {
	return map[string]string{"name": "new " + uuid7(time.Now())[24:], "role": "reader"}
}

func tokenWanted(*scene) any {
	return map[string]string{"name": "new " + uuid7(time.Now())[24:], "role": "reader", "until": time.Now().AddDate(0, 0, 9).UTC().Format(time.RFC3339)}
}

// itself looks for what one could change of an account.
func itself(path, what string) probe {
	return func(s *scene, c *caller) (bool, answer) {
		a := c.get(path)
		return a.ok() && strings.Contains(a.body, what), a
	}
}

// repassword tries to change the password of whom a phone or a token is of.
func repassword(s *scene, c *caller) (bool, answer) {
	a := c.json("PUT", "/api/v1/account/password", map[string]string{"present": otherWord, "password": "ten hollow bridges"})
	return a.ok(), a
}

func offering(s *scene, c *caller) (bool, answer) {
	code, a := c.offer()
	return code != "", a
}

// Forms of the pages.
var (
	issuing  = forming("/site/SITE/paper/schedule.pdf", "id", "UUID")
	settling = forming("/site/SITE/settings", "id", "UUID", "remark", "NEW", "sure", "1")
	hiring   = forming("/people/invite", "name", "NEW", "role", "reader", "which", "all")
	minting  = forming("/people/token", "name", "NEW", "role", "reader", "until", day(9), "which", "all")
	peopling = forming("/people", "name", "NEW", "role", "reader", "password", "ten hollow bridges", "again", "ten hollow bridges", "which", "all")
)

// more ways, by door.
var moreWays = map[string]map[string]probe{
	"api": {
		"correct": amending(true), "withdraw": amending(false),
		"invite": posting("/api/v1/people/invitations", invited), "make tokens": posting("/api/v1/tokens", tokenWanted),
		"change the own account": itself("/api/v1/account/sessions", `"sessions":[{`),
	},
	"token": {
		"correct": amending(true), "withdraw": amending(false),
		"invite": posting("/api/v1/people/invitations", invited), "make tokens": posting("/api/v1/tokens", tokenWanted),
		"change the own account":        repassword,
		"make a calendar address of it": calling, "pair a phone": offering, "see backups": getting("/backups"),
	},
	"page": {
		"correct": amendingAtPage("text", "said otherwise", "at", time.Now().Add(-time.Minute).UTC().Format("2006-01-02 15:04")), "withdraw": amendingAtPage("do", "withdraw"),
		"issue a paper": issuing, "set rules and facts of it": settling, "invite": hiring, "make tokens": minting, "change people": peopling,
		"change the own account": itself("/account", `type="password"`),
	},
	"phone": {
		"correct": amendingByPhone("corrected"), "withdraw": amendingByPhone("withdrawn"),
		"issue a paper": issuing, "set rules and facts of it": settling, "invite": hiring, "make tokens": minting,
		"make a calendar address of it": calling, "change the own account": repassword,
		"add a site": byAPI["add a site"], "bring in a log of it": withLog,
	},
}

// atCommand are commands of whoever holds the book's file; each is run on its own box.
var atCommand = map[string][]string{
	"list sites": {"site", "list"}, "read a site": {"log", "--site", "Mill"}, "write": {"log", "add", "note", "--site", "Mill", "--text", "by reach"},
	"correct": {"log", "correct", "NOTE", "--site", "Mill", "--text", "said otherwise"}, "withdraw": {"log", "withdraw", "NOTE", "--site", "Mill", "--why", "reach"},
	"issue a paper": {"paper", "schedule", "--site", "Mill", "--out", "reach.pdf", "--issue"}, "set rules and facts of it": {"log", "add", "opened", "--site", "Mill", "--contact", "reach"},
	"bring in a log of it": {"log", "import", "reach.jsonl"}, "add a site": {"site", "add", "Reach", "--loop", "1"}, "list people": {"serve", "person", "list"},
	"change people": {"serve", "person", "role", "Q", "technician"}, "invite": {"serve", "person", "invite", "R", "--role", "reader"},
	"make tokens": {"serve", "token", "add", "reach", "--until", day(9)}, "read the journal": {"serve", "person", "journal"},
	"see backups": {"book", "backups", "."}, "open and close a visit": {"visit", "open", "--site", "Mill", "--minutes", "240", "--confirm", "responsible,monitoring,outputs,disabled"},
	"change the own account": {"serve", "person", "sign-out", "Q"},
}

// asHolder tries an act at the command line; ok is false where no command does it.
func (s *scene) asHolder(act string) (let bool, out string, ok bool) {
	args := atCommand[act]
	if args == nil {
		return false, "", false
	}
	args = append([]string{}, args...)
	for i := range args {
		if args[i] == "NOTE" {
			args[i], _ = s.manager.add(s.mill, "note", "", map[string]any{"text": "to be amended"})
		}
	}
	out, code := s.run(args...)
	if act == "open and close a visit" && code == 0 {
		out, code = s.run("visit", "close", "--site", "Mill", "--normal")
	}
	return code == 0, out, true
}

// noWay are acts that a door has no way to do, with the word that would stand in an address that had one.
var noWay = map[string]string{
	"open and close a visit at api":        "the API reads visits, and opens none",
	"open and close a visit at token":      "the API reads visits, and opens none",
	"make a calendar address of it at api": "the API gives no calendar address",
	"pair a phone at api":                  "the API pairs no phone",
	"see backups at api":                   "the API tells of no backups",
	"bring in a log of it at page":         "the pages take listings in, and no log",
	"add a site at page":                   "the pages add no site but the invented one",
}

// withoutWay says why a row is tried by nobody; "" where it has to be.
func withoutWay(role, reach, act, door string) string {
	switch {
	case noWay[act+" at "+door] != "":
		return noWay[act+" at "+door]
	case door == "command line" && (role != "manager" || reach != "all"):
		return "at the command line whoever holds the file acts as a manager of all sites"
	case door == "command line" && atCommand[act] == nil:
		return "no command does it"
	}
	return ""
}

// TestDoorsWithoutAWay: what noWay says of the API is so.
func TestDoorsWithoutAWay(t *testing.T) {
	s, site := staffed(t)
	for _, op := range s.signIn("M", managerWord).operations(site, unknown()) {
		for _, word := range []string{"phone", "calendar", "backup", "pair"} {
			if strings.Contains(op.path, word) {
				t.Errorf("there is %s %s: take it into the ways of trying", op.method, op.path)
			}
		}
		if strings.Contains(op.path, "/visits") && op.method != "GET" {
			t.Errorf("there is %s %s: take it into the ways of trying", op.method, op.path)
		}
	}
}

// closedDoor tries to get to a door that a role has not: a phone for who writes nothing, a token of another role. nil: it
// was not let.
func (s *scene) closedDoor(role, reach, door string) error {
	flags := map[string][]string{"all": nil, "given": {"--site", "Mill"}, "other": {"--site", foreignName}}[reach]
	if door == "token" {
		if out, code := s.run(append([]string{"serve", "token", "add", fmt.Sprint(role, " ", reach), "--until", day(9), "--role", role}, flags...)...); code == 0 {
			return fmt.Errorf("a token of the role %s: %s", role, out)
		}
		return nil
	}
	name := fmt.Sprint(role, " ", reach, " ", door)
	s.bound(name, role, otherWord, flags...)
	c := s.signIn(name, otherWord)
	if code, a := c.offer(); code != "" {
		return fmt.Errorf("a %s is offered a phone: %v", role, a)
	}
	if door != "phone" && len(c.sites()) > 0 {
		return fmt.Errorf("a %s bound to nothing sees %v", role, c.sites())
	}
	return nil
}

// forHolder puts what commands need into the box.
func (s *scene) forHolder() {
	s.person("Q", "reader", otherWord)
	s.write("reach.jsonl", s.exported("Mill"))
	if err := os.Remove(s.path("reach.pdf")); err != nil && !os.IsNotExist(err) {
		s.t.Fatal(err)
	}
}
