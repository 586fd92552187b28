package attack

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline/internal/worlds"
)

// The table of reach (internal/worlds/reach.csv) at the doors that can be tried from outside: each row that has a way of
// trying is tried with somebody of that role who sees all, the mill, or only another site.

// probe tries an act on the mill; it says whether it was let happen, and what was answered.
type probe func(s *scene, c *caller) (bool, answer)

func getting(path string) probe {
	return func(s *scene, c *caller) (bool, answer) {
		a := c.get(strings.ReplaceAll(path, "SITE", s.mill))
		return a.ok() && a.in(), a
	}
}

func posting(path string, body func(s *scene) any) probe {
	return func(s *scene, c *caller) (bool, answer) {
		a := c.json("POST", strings.ReplaceAll(path, "SITE", s.mill), body(s))
		return a.ok(), a
	}
}

func forming(path string, fields ...string) probe {
	return func(s *scene, c *caller) (bool, answer) {
		f := slices.Clone(fields)
		for i := range f {
			f[i] = strings.ReplaceAll(strings.ReplaceAll(f[i], "SITE", s.mill), "NEW", "new "+uuid7(time.Now())[24:])
			f[i] = strings.ReplaceAll(f[i], "UUID", uuid7(time.Now()))
		}
		a := c.form(strings.ReplaceAll(path, "SITE", s.mill), f...)
		return a.status < 400 && a.in(), a
	}
}

func listing(s *scene, c *caller) (bool, answer) {
	a := c.get("/api/v1/sites")
	return strings.Contains(a.body, s.mill), a
}

func withLog(s *scene, c *caller) (bool, answer) {
	a := c.do("POST", "/api/v1/log/import", "application/jsonl", []byte(s.exported("Mill")))
	return a.ok(), a
}

func calling(s *scene, c *caller) (bool, answer) {
	a := c.form("/due/calendar", "site", s.mill)
	if a.status/100 == 3 {
		a = c.get(a.where)
	}
	return calendarAddress.MatchString(a.body), a
}

func visiting(s *scene, c *caller) (bool, answer) {
	a := c.do("POST", "/site/"+s.mill+"/visit", "application/x-www-form-urlencoded",
		[]byte("minutes=240&confirm=responsible&confirm=monitoring&confirm=outputs&confirm=disabled"))
	if a.status == 303 {
		return c.form("/site/"+s.mill+"/visit/close", "left", "normal", "text", "").status == 303, a
	}
	return false, a
}

func newPerson(*scene) any {
	return map[string]string{"name": "new " + uuid7(time.Now())[24:], "role": "reader", "password": "ten hollow bridges"}
}

func noting(*scene) any {
	return map[string]any{"id": uuid7(time.Now()), "kind": "note", "body": map[string]string{"text": "by reach"}}
}

var byAPI = map[string]probe{
	"list sites":  listing,
	"read a site": getting("/api/v1/sites/SITE/points"),
	"write":       posting("/api/v1/sites/SITE/log", noting),
	"issue a paper": posting("/api/v1/sites/SITE/papers", func(*scene) any {
		return map[string]string{"id": uuid7(time.Now()), "paper": "schedule"}
	}),
	"set rules and facts of it": posting("/api/v1/sites/SITE/facts", func(*scene) any { return map[string]string{"id": uuid7(time.Now()), "contact": "reach " + unknown()} }),
	"bring in a log of it":      withLog,
	"add a site": posting("/api/v1/sites", func(*scene) any {
		return map[string]any{"id": uuid7(time.Now()), "name": "new " + uuid7(time.Now())[24:]}
	}),
	"list people":      getting("/api/v1/people"),
	"read the journal": getting("/api/v1/security-events"),
	"change people": func(s *scene, c *caller) (bool, answer) {
		a := c.json("PUT", "/api/v1/people", newPerson(s))
		return a.ok(), a
	},
}

// probes are the ways of trying by door; a phone goes to the pages, a token to the API.
var probes = map[string]map[string]probe{
	"api":   byAPI,
	"token": byAPI,
	"page": {
		"list sites": func(s *scene, c *caller) (bool, answer) {
			a := c.get("/")
			return strings.Contains(a.body, s.mill), a
		},
		"read a site":                   getting("/site/SITE/points"),
		"write":                         forming("/site/SITE/log", "id", "UUID", "kind", "note", "shown", "note", "point", "", "at", "", "text", "by reach"),
		"open and close a visit":        visiting,
		"make a calendar address of it": calling,
		"list people":                   getting("/people"),
		"read the journal":              getting("/people/journal"),
		"see backups":                   getting("/backups"),
		"change people":                 forming("/people", "name", "NEW", "role", "reader", "password", "ten hollow bridges", "again", "ten hollow bridges"),
		"pair a phone": func(s *scene, c *caller) (bool, answer) {
			code, a := c.offer()
			return code != "", a
		},
		"change the own account": getting("/account"),
	},
	"phone": {
		"list sites":  listing,
		"read a site": getting("/site/SITE/points"),
		"write": func(s *scene, c *caller) (bool, answer) {
			got, a := c.handIn(s.mill, note("by reach"))
			return len(got.Kept) == 1, a
		},
		"open and close a visit": visiting,
		"list people":            getting("/people"),
		"change people":          forming("/people", "name", "NEW", "role", "reader", "password", "ten hollow bridges", "again", "ten hollow bridges"),
		"read the journal":       getting("/people/journal"),
		"see backups":            getting("/backups"),
		"pair a phone": func(s *scene, c *caller) (bool, answer) {
			code, a := c.offer()
			return code != "", a
		},
	},
}

// somebody of a role who has the mill by a reach, at a door; nil where there is no such way in.
func (s *scene) somebody(role, reach, door string) *caller {
	s.t.Helper()
	flags := map[string][]string{"all": nil, "given": {"--site", "Mill"}, "other": {"--site", foreignName}}[reach]
	if role == "customer" && reach == "all" || door == "phone" && (role == "customer" || role == "reader") {
		return nil
	}
	if door == "token" {
		if role == "customer" || role == "manager" {
			return nil
		}
		if help, _ := s.run("serve", "token", "add", "--help"); !strings.Contains(help, "sootline serve token add") {
			return nil
		}
		return s.bearer(s.token(role+" "+reach, append([]string{"--until", day(9), "--role", role}, flags...)...))
	}
	name := fmt.Sprint(role, " ", reach, " ", door)
	s.bound(name, role, otherWord, flags...)
	c := s.signIn(name, otherWord)
	if door == "phone" {
		return c.phone(name)
	}
	return c
}

// ways are those by which an act is tried at a door.
func ways(act, door string) probe {
	if try := moreWays[door][act]; try != nil {
		return try
	}
	return probes[door][act]
}

// newReach is a scene with who tries, and a note of the manager's.
func newReach(t *testing.T) *scene {
	b := newBox(t)
	b.needs("serve person add", "--site")
	b.mill()
	b.must("site", "add", foreignName, "--loop", "1")
	b.person("M", "manager", managerWord)
	s := &scene{server: b.serve(), red: map[*testing.T]int{}}
	s.manager = s.signIn("M", managerWord)
	s.mill = s.manager.sites()["Mill"]
	s.managers, _ = s.manager.add(s.mill, "note", "", map[string]any{"text": "the manager's"})
	s.forHolder()
	return s
}

// TestReach tries every row of the table, or says why nobody does.
func TestReach(t *testing.T) {
	s := newReach(t)
	rows, err := worlds.Reaches()
	if err != nil {
		t.Fatal(err)
	}
	who, closed := map[string]*caller{}, map[string]bool{}
	tried, shut, none := 0, 0, map[string]int{}
	for _, r := range rows {
		if why := withoutWay(r.Role, r.Reach, r.Act, r.Door); why != "" {
			none[why]++
			continue
		}
		may := r.Answer == worlds.ReachAllowed || r.Answer == worlds.ReachByKind
		if r.Door == "command line" {
			let, out, ok := s.asHolder(r.Act)
			if tried++; !ok || let != may {
				t.Errorf("%s at the command line: %s, and: %s", r.Act, r.Answer, out)
			}
			continue
		}
		key := r.Role + r.Reach + r.Door
		if _, ok := who[key]; !ok {
			if who[key] = s.somebody(r.Role, r.Reach, r.Door); who[key] == nil {
				if err := s.closedDoor(r.Role, r.Reach, r.Door); err != nil {
					t.Error(err)
				}
				closed[key] = true
			}
		}
		if closed[key] {
			if shut++; may {
				t.Errorf("%s by a %s of %s at %s is %s, and that role has no such door", r.Act, r.Role, r.Reach, r.Door, r.Answer)
			}
			continue
		}
		try := ways(r.Act, r.Door)
		if try == nil {
			t.Errorf("nobody tries %+v", r)
			continue
		}
		tried++
		let, a := try(s, who[key])
		if let != may || r.Answer == worlds.ReachNotThere && a.status != 404 && !strings.Contains(r.Act, "list") && a.in() {
			t.Errorf("%s, %s of %s by %s: %s (%s), and: %v", r.Role, r.Act, r.Reach, r.Door, r.Answer, r.Reason, a)
		}
	}
	t.Logf("%d of %d rows tried; %d are of %d doors that were tried to open and are not there; without a way: %v", tried, len(rows), shut, len(closed), none)
}
