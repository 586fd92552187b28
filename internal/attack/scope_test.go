package attack

import (
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// A site outside of one's scope is as if it did not exist: at every page that a link leads to, at every operation of the
// API, on a phone, in a calendar. Tokens, invitations and sessions are in token_test.go and welcome_test.go.

// bound adds somebody with flags at the command line, such as --site Mill.
func (b *box) bound(name, role, word string, flags ...string) {
	b.t.Helper()
	c := b.command(append([]string{"serve", "person", "add", name, "--role", role}, flags...)...)
	c.Stdin = strings.NewReader(word + "\n" + word + "\n")
	if out, err := c.CombinedOutput(); err != nil {
		b.t.Fatalf("%s %s %v: %s", name, role, flags, out)
	}
}

// volatile is what two answers to the same question may differ in: ids, and the time of day.
var volatile = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}|[0-9a-f]{64}|\d\d:\d\d(:\d\d)?`)

// settledBody is an answer without these; what is wrong with a request is listed in no order.
func settledBody(a answer) string {
	parts := strings.Split(volatile.ReplaceAllString(a.body+a.where, "*"), "{")
	for i := range parts {
		parts[i] = strings.Trim(parts[i], ",]} \n")
	}
	slices.Sort(parts)
	return strings.Join(parts, "{")
}

// hidden asks for something of the other site, and looks that the answer is that for something that does not exist.
func (s *scene) hidden(who string, c *caller, method, path, body string) {
	s.t.Helper()
	ask := func(path string) answer {
		switch {
		case method == "GET":
			return c.get(path)
		case strings.HasPrefix(path, "/api/"):
			return c.json(method, path, body)
		}
		return c.do(method, path, "application/x-www-form-urlencoded", []byte(body))
	}
	nowhere := anyID.ReplaceAllStringFunc(path, func(id string) string {
		if slices.Contains(s.ids, id) {
			return unknown()
		}
		return id
	})
	nowhere = regexp.MustCompile(`[0-9a-f]{64}`).ReplaceAllString(nowhere, strings.Repeat("0123456789abcdef", 4))
	got, none := ask(path), ask(nowhere)
	shown := strings.ReplaceAll(path, s.foreign, "FOREIGN")
	if found := s.leaks(path+body, got); len(found) > 0 {
		s.fault("%s, %s %s: leaks %v", who, method, shown, found)
	}
	switch {
	case got.ok():
		s.fault("%s, %s %s is answered: %v", who, method, shown, got)
	case got.status != none.status || nowhere != path && settledBody(got) != settledBody(none):
		s.fault("%s, %s %s is told from what does not exist: %v, not %v", who, method, shown, got, none)
	}
}

// shut tries everything that somebody who is bound to the mill could reach of the other site.
func (s *scene) shut(who string, c *caller) {
	s.t.Helper()
	if sites := c.sites(); sites["Mill"] != s.mill || len(sites) != 1 {
		s.fault("%s sees the sites %v", who, slices.Collect(maps.Keys(sites)))
	}
	s.shutAPI(who, c)
	for _, path := range s.pages {
		s.hidden(who, c, "GET", path, "")
	}
	for _, path := range s.posts {
		s.hidden(who, c, "POST", path, "text=attack&why=attack&do=withdraw&id="+unknown())
	}
	s.mixed(who, c)
	seen, _ := c.crawl("/", "/due", "/phones", "/account", "/people", "/backups", "/people/journal", "/site/"+s.mill)
	for path, a := range seen {
		if found := s.leaks(path+s.defect, a); len(found) > 0 {
			s.fault("%s, by links to %s: leaks %v", who, strings.ReplaceAll(path, s.mill, "MILL"), found)
		}
		if a.status >= 500 {
			s.fault("%s, by links to %s: %v", who, path, a)
		}
	}
	s.untouched(who)
}

// untouched: the other site's log says what it said.
func (s *scene) untouched(who string) {
	s.t.Helper()
	if now := s.exported(foreignName); now != s.before {
		s.fault("%s changed the log of the other site", who)
		s.before = now
	}
}

// shutAPI tries each operation with the other site, and with its things under the mill.
func (s *scene) shutAPI(who string, c *caller) {
	s.t.Helper()
	body := fmt.Sprintf(`{"id":%q,"kind":"note","body":{"text":"attack"},"why":"attack"}`, unknown())
	for _, thing := range []string{s.ids[len(s.ids)-1], "7.2.041"} {
		for _, op := range s.manager.operations(s.foreign, thing) {
			if strings.Contains(op.path, s.foreign) {
				s.hidden(who, c, op.method, op.path+op.query, body)
			}
		}
	}
	for _, op := range s.manager.operations(s.mill, s.ids[len(s.ids)-1]) {
		if strings.Contains(op.path, "/account") {
			continue // that ends sessions of one's own
		}
		var a answer
		if op.method == "GET" {
			a = c.get(op.path + op.query)
		} else if strings.Contains(op.path, s.ids[len(s.ids)-1]) {
			a = c.json(op.method, op.path+op.query, body)
		}
		if found := s.leaks(op.path+op.query+s.defect, a); len(found) > 0 {
			s.fault("%s, %s at the mill: leaks %v", who, op.id, found)
		}
		if strings.Contains(op.path, s.ids[len(s.ids)-1]) && a.ok() {
			s.fault("%s, %s finds a thing of the other site under the mill: %v", who, op.id, a)
		}
	}
	for word := range maps.Values(planted) {
		for _, path := range []string{"/api/v1/sites/" + s.mill + "/log?text=", "/api/v1/sites/" + s.mill + "/points?q=", "/site/" + s.mill + "/points?q=", "/site/" + s.mill + "/log?q="} {
			path += strings.ReplaceAll(word, " ", "+")
			if found := s.leaks(path+word, c.get(path)); len(found) > 0 {
				s.fault("%s, searching for %s: leaks %v", who, word, found)
			}
		}
	}
}

// mixed asks the mill for entries, points, defects and papers of the other site, and amends them through the mill.
func (s *scene) mixed(who string, c *caller) {
	s.t.Helper()
	for _, path := range s.pages {
		rest, of := strings.CutPrefix(path, "/site/"+s.foreign+"/")
		if !of || !slices.ContainsFunc(s.ids, func(id string) bool { return strings.Contains(rest, id) }) {
			continue
		}
		a := c.get("/site/" + s.mill + "/" + rest)
		bare, _, _ := strings.Cut(rest, "?") // an unknown point to narrow by may be no error
		if found := s.leaks(path, a); len(found) > 0 || a.ok() && anyID.MatchString(bare) {
			s.fault("%s, the mill's %s: %d, leaks %v", who, rest, a.status, found)
		}
	}
	// This writes to the mill at most; what is looked at is whether the mill's pages then tell of the other site's defect.
	c.add(s.mill, "followed", "", map[string]string{"defect": s.defect, "told": "attack"})
	for _, id := range s.ids[1:] {
		for kind, body := range map[string]any{
			"withdrawn": map[string]string{"entry": id, "why": "attack"},
			"corrected": map[string]any{"entry": id, "why": "attack", "body": map[string]string{"text": "attack"}},
		} {
			if _, a := c.add(s.mill, kind, "", body); a.ok() {
				s.fault("%s amends an entry of the other site through the mill: %s", who, kind)
			} else if found := s.leaks(id, a); len(found) > 0 {
				s.fault("%s, %s through the mill: leaks %v", who, kind, found)
			}
		}
	}
}

// calendars: an address that a bound person makes reads due dates of the mill only.
func (s *scene) calendars(who string, c *caller) {
	s.t.Helper()
	for _, site := range []string{"", s.mill} {
		a := s.stranger().get(c.calendar(site))
		if found := s.leaks("", a); len(found) > 0 || !a.ok() {
			s.fault("%s, a calendar address of %q: %d, leaks %v", who, site, a.status, found)
		}
	}
	a := c.form("/due/calendar", "site", s.foreign)
	if calendarAddress.MatchString(a.body) || len(s.leaks(s.foreign, a)) > 0 {
		s.fault("%s makes a calendar address of the other site: %v", who, a)
	}
}

func TestScopeOfRoles(t *testing.T) {
	s := newScene(t)
	for _, role := range []string{"reader", "technician", "manager"} {
		t.Run(role, func(t *testing.T) {
			s.t = t
			s.bound("B "+role, role, otherWord, "--site", "Mill")
			c := s.signIn("B "+role, otherWord)
			s.shut("a bound "+role, c)
			if role != "reader" { // who reads makes no addresses
				s.calendars("a bound "+role, c)
			}
		})
	}
}

func TestScopeOfPhone(t *testing.T) {
	s := newScene(t)
	s.bound("B", "technician", otherWord, "--site", "Mill")
	c := s.signIn("B", otherWord)
	p := c.phone("pocket")
	s.shut("a bound technician's phone", p)
	if got, a := p.handIn(s.mill, note("mine")); len(got.Kept) != 1 {
		t.Errorf("the phone may not hand in at its own site: %v", a)
	}
	if got, a := p.handIn(s.foreign, note("attack")); a.ok() || len(got.Kept) > 0 || len(s.leaks(s.foreign, a)) > 0 {
		t.Errorf("the phone hands in at the other site: %v", a)
	}
	for _, path := range []string{"/visit/pack", "/visit/done"} {
		s.hidden("a phone", p, "GET", "/site/"+s.foreign+path, "")
	}
	s.untouched("a phone")
}

// TestScopeOfManager: a manager bound to sites manages these only, and no people; brings in no log of another site.
func TestScopeOfManager(t *testing.T) {
	s := newScene(t)
	s.bound("B", "manager", otherWord, "--site", "Mill")
	s.person("Quillwort", "technician", technicianWord)
	s.needles = append(s.needles, "Quillwort")
	c := s.signIn("B", otherWord)
	s.noPeople("a bound manager", c)
	if _, a := c.add(s.mill, "loop", "", json.RawMessage(`{"panel":"1","loop":"2","first":1,"last":99}`)); !a.ok() {
		t.Errorf("a bound manager does not manage the own site: %v", a)
	}
	a := c.do("POST", "/api/v1/log/import", "application/jsonl", []byte(s.before))
	if a.ok() || len(s.leaks("", a)) > 0 {
		t.Errorf("a bound manager imports the log of the other site: %v", a)
	}
	s.untouched("a bound manager")
}

// noPeople: somebody neither sees who else there is, nor changes it.
func (s *scene) noPeople(who string, c *caller) {
	s.t.Helper()
	before := s.must("serve", "person", "list")
	for _, path := range []string{"/people", "/people/journal", "/journal", "/api/v1/people", "/api/v1/security-events", "/backups"} {
		if a := c.get(path); a.ok() && a.in() || len(s.leaks("", a)) > 0 {
			s.fault("%s reads %s: %v", who, path, a)
		}
	}
	c.json("PUT", "/api/v1/people", map[string]string{"name": "Smuggled", "role": "manager", "password": "ten hollow bridges"})
	c.form("/people", "name", "Smuggled", "role", "manager", "password", "ten hollow bridges", "again", "ten hollow bridges")
	c.json("DELETE", "/api/v1/people/Quillwort", "")
	c.json("PUT", "/api/v1/people/B/role", map[string]string{"role": "manager"})
	c.form("/people/change", "name", "Quillwort", "do", "remove")
	c.form("/people/change", "name", "B", "do", "role", "role", "manager")
	if after := s.must("serve", "person", "list"); after != before {
		s.fault("%s changed people: %s", who, after)
	}
}

// TestScopeNarrowed: within a second after somebody is bound, sessions, phone and calendar show nothing of the other site.
func TestScopeNarrowed(t *testing.T) {
	s := newScene(t)
	s.needs("serve person sites", "--site", "--all")
	s.person("B", "technician", otherWord)
	c := s.signIn("B", otherWord)
	p, all, one := c.phone("pocket"), c.calendar(""), c.calendar(s.foreign)
	if a := s.stranger().get(all); len(s.leaks("", a)) == 0 {
		t.Fatalf("the calendar of all sites does not name the other one while it may: %v", a)
	}
	s.must("serve", "person", "sites", "B", "--site", "Mill")
	quiet := func() bool {
		for _, who := range []*caller{c, p} {
			for _, path := range []string{"/", "/due", "/site/" + s.foreign, "/api/v1/sites", "/api/v1/sites/" + s.foreign + "/log"} {
				if len(s.leaks(path, who.get(path))) > 0 {
					return false
				}
			}
		}
		return len(s.leaks(all, s.stranger().get(all)))+len(s.leaks(one, s.stranger().get(one))) == 0
	}
	if !soon(time.Second, quiet) {
		t.Error("a second after being bound, the other site is still shown")
	}
	if got, _ := p.handIn(s.foreign, note("attack")); len(got.Kept) > 0 {
		t.Error("a phone of somebody who is bound by now hands in at the other site")
	}
	s.must("serve", "person", "sites", "B", "--all")
	if sites := s.signIn("B", otherWord).sites(); len(sites) != 2 {
		t.Errorf("with --all again: %v", sites)
	}
}

// TestUnknownSite: no operation of the API answers for a site that does not exist.
func TestUnknownSite(t *testing.T) {
	s, _ := staffed(t)
	m := s.signIn("M", managerWord)
	nowhere := unknown()
	for _, op := range m.operations(nowhere, unknown()) {
		if !strings.Contains(op.path, nowhere) {
			continue
		}
		a := m.json(op.method, op.path+op.query, `{"id":"`+unknown()+`","kind":"note","body":{"text":"x"},"why":"x"}`)
		if a.ok() || a.status >= 500 {
			t.Errorf("%s for a site that does not exist: %v", op.id, a)
		}
	}
}
