package web

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/papers"
	"sootline/internal/worlds/firm"
)

// The doors of a server: what a person holds in hand when they ask.
const (
	bySession = "session"
	byPhone   = "phone"
	byToken   = "token"
)

// firmDoor is a door of the services of two firms, for the judge of package firm.
type firmDoor struct {
	*firmsWorld
	by string
	// nextDoor: everybody asks the service of the other firm, with what their own gave out.
	nextDoor bool
	got      map[int]int // how many answers of which status
}

// ownAlone end what the next question is asked with.
var ownAlone = []string{"page POST /sign-out", "api sign-out-everywhere"}

// Routes names every route of the pages and every operation; with a token, the operations. A paper is asked for in each kind.
func (d *firmDoor) Routes() (ofSite, others []string) {
	var all []string
	if d.by != byToken {
		for pattern := range d.pages {
			if strings.HasSuffix(pattern, "/paper/{file}") {
				for _, kind := range papers.Kinds() {
					all = append(all, "page "+pattern+" "+kind.Name+".html")
				}
				all = append(all, "page "+pattern+" schedule.csv", "page "+pattern+" schedule.pdf", "page "+pattern+" schedule.xlsx")
				continue
			}
			all = append(all, "page "+pattern)
		}
	}
	for name := range d.operations {
		all = append(all, "api "+name)
	}
	slices.Sort(all)
	for _, route := range all {
		switch {
		case slices.Contains(ownAlone, route):
		case strings.Contains(d.pathOf(route), "{site}") || strings.Contains(route, "{hash}"):
			ofSite = append(ofSite, route)
		default:
			others = append(others, route)
		}
	}
	return ofSite, others
}

func (d *firmDoor) pathOf(route string) string {
	if name, ok := strings.CutPrefix(route, "api "); ok {
		return d.operations[name].path
	}
	return route
}

// Ask asks, and gives status, headers and body.
func (d *firmDoor) Ask(_ context.Context, p *firm.Somebody, route string, site firm.MarkedSite) ([]byte, error) {
	home := p.Firm
	if home == "" {
		home = site.Firm
	}
	s := d.services[home]
	if d.nextDoor {
		s = d.services[otherFirm(home)]
	}
	b := visit(d.t, s)
	held := d.held[p.Name]
	if cookies := held.cookies[d.by]; cookies != nil {
		b.cookies = maps.Clone(cookies)
	}
	r := d.request(s, p, route, site)
	if r.method == "" {
		return nil, errors.New("there is no such route")
	}
	res := b.do(r.method, r.address, r.body, func(q *http.Request) {
		if r.kind != "" {
			q.Header.Set("Content-Type", r.kind)
		}
		if d.by == byToken && held.token != "" {
			q.Header.Set("Authorization", "Bearer "+held.token)
		}
	})
	var answer bytes.Buffer
	if err := res.Header.Write(&answer); err != nil {
		return nil, err
	}
	answer.WriteString(read(d.t, res))
	said := answer.Bytes()
	if strings.Contains(route, "{hash}") { // a refusal repeats what was asked for, which the asker knew; the file has a mark of its own
		said = bytes.ReplaceAll(said, []byte(site.Photo), []byte("*"))
	}
	d.got[res.StatusCode]++
	if res.StatusCode >= http.StatusInternalServerError {
		d.t.Errorf("%s about %s, as %s of %s: %d %.200s", route, site.Name, p.Sees.Kind, p.Firm, res.StatusCode, said)
	}
	return said, nil
}

// firmRequest is a request.
type firmRequest struct{ method, address, kind, body string }

// request fills in an address. About a site that the person may see nothing is written, so that no name of a person comes to
// stand in a log that others read: such a request is refused for its id. About any other it is whole.
func (d *firmDoor) request(s *Server, p *firm.Somebody, route string, site firm.MarkedSite) (r firmRequest) {
	ofSite := strings.Contains(d.pathOf(route), "{site}")
	path, file := "", "schedule.csv"
	if name, ok := strings.CutPrefix(route, "api "); ok {
		op := d.operations[name]
		_, query, _ := strings.Cut(op.call.address, "?")
		r.method, path = op.method, api.Root+op.path
		if r.address = d.fill(path, site, file); !ofSite {
			r.address = api.Root + op.call.address
		} else if query != "" {
			r.address += "?" + d.theirs(query, site)
		}
		if op.call.body != nil {
			r.kind, r.body = op.call.body(0)
		}
		if name == "exchange" {
			r.body = d.parcel // of a station that holds another site, and asks for the rest
		}
		if name == "import-log" {
			r.body = ""
		}
	} else {
		pattern, of, _ := strings.Cut(strings.TrimPrefix(route, "page "), "} ")
		if of != "" {
			pattern, file = pattern+"}", of
		}
		call := d.pages[pattern]
		_, query, _ := strings.Cut(call.address, "?")
		method, path, two := strings.Cut(pattern, " ")
		if !two {
			method, path = http.MethodGet, pattern
		}
		r.method = method
		if r.address = d.fill(path, site, file); !ofSite && !strings.Contains(pattern, "{hash}") {
			r.address = call.address
		} else if query != "" {
			r.address += "?" + d.theirs(query, site)
		}
		if call.body != nil {
			r.body = call.body()
		}
	}
	r.body = d.theirs(r.body, site)
	if ofSite && r.method != http.MethodGet && d.sees(s, p, site) {
		r.body = "id=none"
		if r.kind != "" {
			r.kind, r.body = "application/json", `{"id":"none"}`
		}
	}
	return r
}

// sees reports whether the service lets the person see the site, by the table of the judge.
func (d *firmDoor) sees(s *Server, p *firm.Somebody, site firm.MarkedSite) bool {
	return s == d.services[site.Firm] && slices.ContainsFunc(d.w.Marks, func(m firm.Mark) bool {
		return m.Text == site.Name && p.May(m, d.w.Marks)
	})
}

// fill puts what a site holds into an address.
func (d *firmDoor) fill(path string, site firm.MarkedSite, file string) string {
	of := d.of[site.ID]
	return strings.NewReplacer("{site}", site.ID.String(), "{point}", of.point, "{defect}", of.defect, "{entry}", of.note, "{hash}", site.Photo,
		"{file}", file, "{loop}", "1.1", "{key}", "nosuch", "{run}", "nosuch", "{source}", "nosuch", "{intake}", d.demo.newID(), "{list}", "nosuch").Replace(path)
}

// theirs says of a site what a list of requests says of the demo.
func (d *firmDoor) theirs(text string, site firm.MarkedSite) string {
	return strings.NewReplacer(d.demoSite, site.ID.String(), d.demoPoint, d.of[site.ID].point).Replace(text)
}

// everyMark are all sorts of marks: a door at which nobody sees any.
var everyMark = []firm.What{
	firm.SiteMark, firm.PlaceMark, firm.NoteMark, firm.HandMark, firm.SerialMark, firm.DefectMark, firm.WhyMark, firm.FileMark, firm.CustomerMark, firm.FirmMark,
}

// TestFirmsAreIsolated: two firms live side by side, a service and a book each, with two customers, offices and teams. Every
// route of the pages and every operation is asked by the eight kinds of person, about the sites of both firms, by session,
// phone and token, and at the service of the other firm: no answer holds a mark that the person may not see. The long run
// asks by all of them at every door; else one of each kind is asked for, and by phone, token and next door those who left.
func TestFirmsAreIsolated(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes about a minute")
	}
	inMemory(t)
	f := newFirmsWorld(t)
	long := os.Getenv("SOOTLINE_LONG") != ""
	few, left := *f.w, *f.w
	few.People, left.People = nil, nil
	for i, p := range f.w.People {
		if one := i == 0 || (i-1)%4 == (i-1)/4%4; !long && !one { // of each kind one, of either firm in turn
			continue
		}
		few.People = append(few.People, p)
		if long || p.Sees.Kind == "leaver" {
			left.People = append(left.People, p)
		}
	}
	for _, door := range []struct {
		by       string
		nextDoor bool
		asks     *firm.Marked
		hidden   []firm.What
	}{
		{bySession, false, &few, nil},
		{byPhone, false, &left, nil},
		{byToken, false, &left, nil},
		{bySession, true, &left, everyMark},
	} {
		d := &firmDoor{f, door.by, door.nextDoor, map[int]int{}}
		n := door.asks.Isolated(t.Context(), t, d, door.hidden...)
		t.Logf("by %s (the other firm's service: %t), %d people: %d answers, by status %v", door.by, door.nextDoor, len(door.asks.People), n, d.got)
	}
	f.unwritten()
}

// TestLeaversGetNothing: what was given out to somebody opened the firm's sites until they left, and nothing from the next
// click on.
func TestLeaversGetNothing(t *testing.T) {
	inMemory(t)
	f := newFirmsWorld(t)
	for name, before := range f.opened {
		if before != [3]int{http.StatusOK, http.StatusOK, http.StatusOK} {
			t.Errorf("before %s left, session, phone and token gave %v", name, before)
		}
		if now := f.statuses(name); now != [3]int{http.StatusUnauthorized, http.StatusUnauthorized, http.StatusUnauthorized} {
			t.Errorf("after %s left, session, phone and token give %v", name, now)
		}
	}
	if len(f.opened) != 4 {
		t.Errorf("%d people left, want four", len(f.opened))
	}
}

// unwritten wants that no site's log grew.
func (f *firmsWorld) unwritten() {
	f.t.Helper()
	for _, site := range f.w.Sites {
		for _, e := range f.entriesOf(site) {
			if !f.of[site.ID].entries[e.ID] {
				f.t.Errorf("in the log of %s of %s stands %s, which %s wrote while it was asked", site.Name, site.Firm, e.Body.Kind(), e.By)
			}
		}
	}
}

func (f *firmsWorld) entriesOf(site firm.MarkedSite) []sootline.Entry {
	f.t.Helper()
	entries, err := f.services[site.Firm].App.Book.Entries(f.t.Context(), site.ID)
	if err != nil {
		f.t.Fatal(err)
	}
	return entries
}
