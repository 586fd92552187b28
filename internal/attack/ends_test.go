package attack

import (
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"
)

// What somebody has, or gave out, that lets in, and what becomes of it within a second of a change to that person, by the
// words of docs/handbook/people.md, web.md and docs/operations.md ("what ends at once", "tokens", "sites of people").

// What becomes of a thing.
const (
	stays = "lets in, and shows the mill"
	blind = "lets in, and shows no mill"
	ends  = "lets nobody in"
	away  = "shows no mill" // whether it lets in is not written
)

// gift is all that a manager has and gave out.
type gift struct {
	s                            *server
	mill, name, from             string
	session, phone, token        *caller
	code, calendar, all, invites string
	tokenName, guest             string
}

// in is the same server, whose faults are of another test.
func (s *server) in(t *testing.T) *server {
	b, here := *s.box, *s
	b.t, here.box = t, &b
	return &here
}

// given makes a manager with all of it.
func (s *server) given(mill string, n int) *gift {
	s.t.Helper()
	name := fmt.Sprint("X", n)
	s.person(name, "manager", otherWord)
	g := &gift{s: s, mill: mill, name: name, from: fmt.Sprintf("127.0.2.%d", n), tokenName: name + "'s program", guest: name + "'s guest"}
	g.session = s.signIn(name, otherWord)
	g.phone = g.session.phone(name + "'s phone")
	g.code, _ = g.session.offer()
	g.calendar, g.all = g.session.calendar(mill), g.session.calendar("")
	a := g.session.json("POST", "/api/v1/tokens", map[string]any{"name": g.tokenName, "role": "technician", "until": time.Now().AddDate(0, 0, 9).UTC().Format(time.RFC3339)})
	g.token = s.bearer(tokenForm.FindString(a.body))
	b := g.session.json("POST", "/api/v1/people/invitations", map[string]string{"name": g.guest, "role": "technician"})
	g.invites = welcomeForm.FindString(b.body)
	if g.invites == "" || g.code == "" || !a.ok() {
		s.t.Fatalf("not given: %v %v", a, b)
	}
	return g
}

// lets says how far somebody gets: by reading, by writing, and by handing in.
func (g *gift) lets(c *caller) string {
	page, list := c.get("/site/"+g.mill), c.get("/api/v1/sites")
	_, wrote := c.add(g.mill, "note", "", map[string]any{"text": "after the change"})
	got, _ := c.handIn(g.mill, note("after the change"))
	switch {
	case page.ok() && page.in() || strings.Contains(list.body, g.mill) || wrote.ok() || len(got.Kept) > 0:
		return stays
	case list.ok() || c.get("/").ok() && c.get("/").in():
		return blind
	}
	return ends
}

// opens says what an address for calendars shows.
func (g *gift) opens(address string) string {
	switch a := g.s.stranger().get(address); {
	case a.ok() && strings.Contains(a.body, "Mill"):
		return stays
	case a.ok():
		return blind
	}
	return ends
}

// things are those that can be looked at again and again; used are good once.
var things = map[string]func(g *gift) string{
	"session":            func(g *gift) string { return g.lets(g.session) },
	"phone":              func(g *gift) string { return g.lets(g.phone) },
	"calendar of a site": func(g *gift) string { return g.opens(g.calendar) },
	"calendar of all":    func(g *gift) string { return g.opens(g.all) },
	"token made by them": func(g *gift) string { return g.lets(g.token) },
	"invitation, looked at": func(g *gift) string {
		if a := g.s.stranger().get(g.invites); a.ok() && strings.Contains(a.body, `type="password"`) {
			return stays
		}
		return ends
	},
}

var used = map[string]func(g *gift) string{
	"pairing code": func(g *gift) string {
		p, _ := g.s.pair(g.code, g.name+"'s late phone")
		if p == nil {
			return ends
		}
		return g.lets(p)
	},
	"invitation made by them": func(g *gift) string {
		g.s.stranger().accept(g.invites, "ten hollow bridges")
		c, in := g.tries(g.guest, "ten hollow bridges")
		if !in {
			return ends
		}
		return g.lets(c)
	},
}

// change is what is done, by each door; m is the other manager.
type change struct {
	by   map[string]func(g *gift, m *caller) string // "" where it was done
	want map[string]string                          // by thing
	then func(g *gift) string                       // what else is to be; "" where it is
}

func said(a answer) string {
	if a.ok() || a.status == 303 && a.in() {
		return ""
	}
	return a.String()
}

// by are the three doors of a change.
func by(command func(g *gift) []string, words string, method, path string, body any, fields ...string) map[string]func(*gift, *caller) string {
	filled := func(g *gift, text string) string { return strings.ReplaceAll(text, "NAME", g.name) }
	return map[string]func(*gift, *caller) string{
		"command": func(g *gift, _ *caller) string {
			c := g.s.command(command(g)...)
			c.Stdin = strings.NewReader(words)
			if out, err := c.CombinedOutput(); err != nil {
				return string(out)
			}
			return ""
		},
		"API": func(g *gift, m *caller) string {
			return said(m.json(method, strings.ReplaceAll(path, "NAME", url.PathEscape(g.name)), body))
		},
		"page": func(g *gift, m *caller) string {
			at, f := "/people/change", append([]string{}, fields...)
			if strings.Contains(path, "/tokens/") {
				at = "/people/token"
			}
			for i := range f {
				f[i] = filled(g, f[i])
			}
			return said(m.form(at, f...))
		},
	}
}

func person(verb string, more ...string) func(g *gift) []string {
	return func(g *gift) []string { return append([]string{"serve", "person", verb, g.name}, more...) }
}

const newWord = "eleven patient herons"

// all of a person's ends, with what they gave to others.
var (
	allEnds = map[string]string{
		"session": ends, "phone": ends, "pairing code": ends, "calendar of a site": ends, "calendar of all": ends,
		"token made by them": ends, "invitation made by them": ends, "invitation, looked at": ends,
	}
)

// tries signs in at an address of its own, since wrong tries from one address are few.
func (g *gift) tries(name, word string) (*caller, bool) {
	c := g.s.from(g.from)
	return c, c.form("/sign-in", "name", name, "password", word).status == 303
}

func (g *gift) signsIn(word string, may bool) string {
	if _, in := g.tries(g.name, word); in != may {
		return fmt.Sprintf("with %q they sign in: %v", word, !may)
	}
	return ""
}

var changes = map[string]change{
	"removed": {
		by(person("remove"), "", "DELETE", "/api/v1/people/NAME", "", "name", "NAME", "do", "remove"), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, false) },
	},
	"another role": {
		by(person("role", "technician"), "", "PUT", "/api/v1/people/NAME/role", map[string]string{"role": "technician"}, "name", "NAME", "do", "role", "role", "technician"), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"another password": {
		by(person("password"), newWord+"\n"+newWord+"\n", "PUT", "/api/v1/people/NAME/password", map[string]string{"password": newWord}, "name", "NAME", "do", "password", "password", newWord, "again", newWord), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, false) + g.signsIn(newWord, true) },
	},
	"another password by themselves": {
		map[string]func(*gift, *caller) string{
			"API": func(g *gift, _ *caller) string {
				return said(g.s.signIn(g.name, otherWord).json("PUT", "/api/v1/account/password", map[string]string{"present": otherWord, "password": newWord}))
			},
			"page": func(g *gift, _ *caller) string {
				return said(g.s.signIn(g.name, otherWord).form("/account", "do", "password", "present", otherWord, "password", newWord, "again", newWord))
			},
		},
		allEnds,
		func(g *gift) string { return g.signsIn(otherWord, false) + g.signsIn(newWord, true) },
	},
	"signed out": {
		by(person("sign-out"), "", "POST", "/api/v1/people/NAME/sign-out", "", "name", "NAME", "do", "sign-out"), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"signed out by themselves": {
		map[string]func(*gift, *caller) string{
			"API": func(g *gift, _ *caller) string {
				return said(g.s.signIn(g.name, otherWord).json("POST", "/api/v1/account/sign-out", ""))
			},
			"page": func(g *gift, _ *caller) string {
				a := g.s.signIn(g.name, otherWord).form("/account", "do", "everywhere")
				if a.status == 303 {
					return ""
				}
				return a.String()
			},
		},
		allEnds,
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	// "It holds from the next click on, for all that was given out to them before."
	"other sites": {
		by(person("sites", "--site", "Quarry"), "", "PUT", "/api/v1/people/NAME/sites", map[string]any{"sites": []string{"Quarry"}}, "name", "NAME", "do", "sites", "which", "some", "site", "Quarry", "customer", ""),
		map[string]string{
			"session": blind, "phone": blind, "pairing code": away, "calendar of a site": ends, "calendar of all": blind,
			"token made by them": away, "invitation made by them": away,
		},
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"no site": {
		by(person("sites", "--none"), "", "PUT", "/api/v1/people/NAME/sites", map[string]any{"sites": []string{}}, "name", "NAME", "do", "sites", "which", "some", "site", "", "customer", ""),
		map[string]string{
			"session": blind, "phone": blind, "pairing code": away, "calendar of a site": ends, "calendar of all": blind,
			"token made by them": away, "invitation made by them": away,
		},
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"token taken away": {
		by(func(g *gift) []string { return []string{"serve", "token", "remove", g.tokenName} }, "", "DELETE", "/api/v1/tokens/NAME's%20program", "", "name", "NAME's program", "do", "remove"),
		map[string]string{
			"session": stays, "phone": stays, "pairing code": stays, "calendar of a site": stays, "calendar of all": stays,
			"token made by them": ends, "invitation made by them": stays, "invitation, looked at": stays,
		},
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
}

// chain does one command after the other, the passwords after each.
func chain(steps ...func(g *gift) []string) map[string]func(*gift, *caller) string {
	return map[string]func(*gift, *caller) string{"commands": func(g *gift, _ *caller) string {
		for _, step := range steps {
			args := step(g)
			c := g.s.command(args...)
			word := otherWord
			if args[len(args)-1] == "new" {
				args, word = args[:len(args)-1], newWord
				c = g.s.command(args...)
			}
			c.Stdin = strings.NewReader(word + "\n" + word + "\n")
			if out, err := c.CombinedOutput(); err != nil {
				return string(out)
			}
		}
		return ""
	}}
}

// chains are changes that are taken back: what ended does not come to life by it.
var chains = map[string]change{
	"removed, and added again": {
		chain(person("remove"), person("add", "--role", "manager")), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"removed, and invited again": {
		chain(person("remove"), person("invite", "--role", "manager")), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, false) },
	},
	"another role, and the old one": {
		chain(person("role", "technician"), person("role", "manager")), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"another password, and the old one": {
		chain(person("password", "new"), person("password")), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, true) + g.signsIn(newWord, false) },
	},
	"another role, and removed and added again": {
		chain(person("role", "reader"), person("remove"), person("add", "--role", "manager")), allEnds,
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"other sites, and all again": {
		chain(person("sites", "--site", "Quarry"), person("sites", "--all")),
		map[string]string{"session": stays, "phone": stays, "calendar of a site": stays, "calendar of all": stays},
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"token taken away, and one of that name made": {
		chain(func(g *gift) []string { return []string{"serve", "token", "remove", g.tokenName} },
			func(g *gift) []string { return []string{"serve", "token", "add", g.tokenName, "--until", day(9)} }),
		map[string]string{"session": stays, "phone": stays, "token made by them": ends, "invitation made by them": stays},
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
	"invitation taken away, and made again": {
		chain(func(g *gift) []string { return []string{"serve", "person", "remove", g.guest} },
			func(g *gift) []string { return []string{"serve", "person", "invite", g.guest, "--role", "reader"} }),
		map[string]string{"session": stays, "phone": stays, "token made by them": stays, "invitation made by them": ends},
		func(g *gift) string { return g.signsIn(otherWord, true) },
	},
}

func TestWhatEndsWithAChange(t *testing.T) { changed(t, changes) }

func TestNothingComesBack(t *testing.T) { changed(t, chains) }

// changed does each change to somebody of its own.
func changed(t *testing.T, changes map[string]change) {
	s, mill := staffed(t)
	s.must("visit", "open", "--site", "Mill", "--minutes", "240", "--confirm", "responsible,monitoring,outputs,disabled")
	s.must("visit", "close", "--site", "Mill", "--normal") // so that calendars have something to show
	m, n, tried := s.signIn("M", managerWord), 0, 0
	for what, change := range changes {
		for door, do := range change.by {
			n++
			t.Run(what+", by "+door, func(t *testing.T) {
				g := s.in(t).given(mill, n)
				for thing, look := range things {
					if got := look(g); got != stays {
						t.Fatalf("before, the %s %s", thing, got)
					}
				}
				if why := do(g, m); why != "" {
					t.Fatalf("it was not done: %s", why)
				}
				tried += g.after(t, change, time.Now().Add(time.Second))
			})
		}
	}
	t.Logf("%d changes by door, %d things looked at", n, tried)
}

// after looks at each thing until it is as it should be, a second at most.
func (g *gift) after(t *testing.T, change change, until time.Time) (tried int) {
	fits := func(got, want string) bool { return got == want || want == away && got != stays }
	judge := func(thing, got string) {
		switch want := change.want[thing]; {
		case !fits(got, want):
			t.Errorf("a second later the %s %s; it %s, by the handbook", thing, got, want)
		case want == away:
			t.Logf("the %s %s", thing, got)
		}
	}
	for thing, look := range things {
		if want := change.want[thing]; want != "" {
			tried++
			got := look(g)
			for ; !fits(got, want) && time.Now().Before(until); got = look(g) {
				time.Sleep(50 * time.Millisecond)
			}
			judge(thing, got)
		}
	}
	time.Sleep(time.Until(until))
	for thing, use := range used {
		if change.want[thing] != "" {
			tried++
			judge(thing, use(g))
		}
	}
	if why := change.then(g); why != "" {
		t.Error(why)
	}
	return tried
}
