package attack

import (
	"strings"
	"testing"
	"time"
)

// A customer sees the sites given, writes nothing, and learns of nobody and nothing else.

func newCustomer(t *testing.T, flags ...string) (*scene, *caller) {
	b := newBox(t)
	b.needs("serve person add", "--site", "--customer")
	s := sceneIn(b)
	s.must("log", "add", "opened", "--site", "Mill", "--customer", "Bramblegate Ltd")
	s.bound("C", "customer", otherWord, flags...)
	return s, s.signIn("C", otherWord)
}

func TestCustomerOfSite(t *testing.T) {
	s, c := newCustomer(t, "--site", "Mill")
	s.shut("a customer", c)
	s.person("Quillwort", "technician", technicianWord)
	s.needles = append(s.needles, "Quillwort")
	s.noPeople("a customer", c)
	s.writesNothing(c)
}

// writesNothing: a customer changes no log by any operation or form, and pairs no phone.
func (s *scene) writesNothing(c *caller) {
	s.t.Helper()
	before := s.exported("Mill")
	point := anyID.FindString(before[strings.Index(before, `"point":`):])
	for _, kind := range []string{"note", "tested", "read", "opened", "sheet", "defect"} {
		if _, a := c.add(s.mill, kind, point, map[string]any{"text": "attack", "samples": []int{25}}); a.ok() {
			s.fault("a customer writes %s: %v", kind, a)
		}
	}
	for _, op := range s.manager.operations(s.mill, point) {
		if op.method != "GET" && strings.Contains(op.path, s.mill) {
			c.json(op.method, op.path+op.query, `{"id":"`+uuid7(time.Now())+`","kind":"note","body":{"text":"attack"},"why":"attack"}`)
		}
	}
	_, posts := s.manager.crawl("/site/" + s.mill)
	for path := range posts {
		if strings.Contains(path, s.mill) {
			c.form(path, "id", uuid7(time.Now()), "kind", "note", "text", "attack", "why", "attack", "do", "withdraw")
		}
	}
	if code, _ := c.offer(); code != "" {
		if p, _ := s.pair(code, "attack"); p != nil {
			if got, _ := p.handIn(s.mill, note("attack")); len(got.Kept) > 0 {
				s.t.Error("a customer's phone hands in")
			}
		}
	}
	if s.exported("Mill") != before {
		s.t.Error("a customer changed the log")
	}
}

// TestCustomerOfNothing: by default a customer sees no site at all.
func TestCustomerOfNothing(t *testing.T) {
	s, c := newCustomer(t)
	s.needles = append(s.needles, s.mill, "Bramblegate", "Larch")
	if n := len(c.sites()); n != 0 {
		t.Errorf("%d sites", n)
	}
	for _, path := range []string{"/", "/due", "/phones", "/site/" + s.mill, "/api/v1/sites", "/api/v1/sites/" + s.mill + "/log"} {
		if a := c.get(path); len(s.leaks(path, a)) > 0 || a.status >= 500 || strings.Contains(path, s.mill) && a.status != 404 {
			t.Errorf("%s: %d, leaks %v", path, a.status, s.leaks(path, a))
		}
	}
}

// TestCustomerByName: all sites whose customer is that name, now and later, and no longer when it is another's.
func TestCustomerByName(t *testing.T) {
	s, c := newCustomer(t, "--customer", "Bramblegate Ltd")
	s.shut("a customer by name", c)
	s.must("site", "add", "Annexe", "--loop", "1")
	if sites := c.sites(); len(sites) != 1 {
		t.Errorf("a site that names no customer is seen: %v", sites)
	}
	s.must("log", "add", "opened", "--site", "Annexe", "--customer", "Bramblegate Ltd")
	if !soon(time.Second, func() bool { return len(c.sites()) == 2 }) {
		t.Errorf("a site that names the customer later is not seen: %v", c.sites())
	}
	s.must("log", "add", "opened", "--site", "Mill", "--customer", "Somebody else")
	if !soon(time.Second, func() bool { return c.sites()["Mill"] == "" }) {
		t.Error("the mill is another customer's now, and still seen")
	}
	if a := c.get("/site/" + s.mill); a.status != 404 {
		t.Errorf("its page: %v", a)
	}
	for _, near := range []string{"Bramblegate", "Bramblegate Ltd & Sons"} { // a name is not a part of a name
		s.must("log", "add", "opened", "--site", "Mill", "--customer", near)
		time.Sleep(200 * time.Millisecond)
		if c.sites()["Mill"] != "" {
			t.Errorf("the customer Bramblegate Ltd sees a site of %q", near)
		}
	}
}
