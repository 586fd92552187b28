package web

import (
	"maps"
	"net/http"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/store"
	"sootline/internal/worlds/firm"
)

// firmsWorld is two firms with a service and a book each, and their people as the judge has drawn them.
type firmsWorld struct {
	t          *testing.T
	w          *firm.Marked
	services   map[string]*Server
	of         map[sootline.ID]siteHolds
	held       map[string]holding // by name
	opened     map[string][3]int  // what each way in of somebody who left gave before
	pages      map[string]routeCall
	operations map[string]operation
	// The lists of requests were written for the demo.
	demo                *Server
	demoSite, demoPoint string
	parcel              string
}

// siteHolds is what addresses of a site name.
type siteHolds struct {
	point, defect, note string
	entries             map[sootline.ID]bool
}

// holding is what somebody has in hand.
type holding struct {
	cookies map[string]map[string]*http.Cookie // by the door
	token   string
}

// operation is an operation of the API, as its document says it, and a request to it.
type operation struct {
	method, path string
	call         apiCall
}

func newFirmsWorld(t *testing.T) *firmsWorld {
	t.Helper()
	f := &firmsWorld{
		t: t, services: map[string]*Server{}, of: map[sootline.ID]siteHolds{}, held: map[string]holding{}, opened: map[string][3]int{},
		operations: map[string]operation{},
	}
	drawn := newServer(t, abroad) // the judge writes both firms into one book, from which each firm's own is made
	var err error
	if f.w, err = firm.MarkedFirms(t.Context(), drawn.App.Book, 11, today); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"firm 1", "firm 2"} {
		f.services[name] = newServer(t, abroad)
		f.services[name].App.Logs = app.NewLogs(1 << 26)
	}
	for _, site := range f.w.Sites {
		f.copySite(drawn.App.Book, site)
	}
	f.admit()
	f.readLists()
	return f
}

func otherFirm(name string) string {
	if name == "firm 1" {
		return "firm 2"
	}
	return "firm 1"
}

// copySite writes a site into the book of its firm.
func (f *firmsWorld) copySite(from *store.Store, site firm.MarkedSite) {
	f.t.Helper()
	to := f.services[site.Firm].App.Book
	entries, err := from.Entries(f.t.Context(), site.ID)
	if err != nil {
		f.t.Fatal(err)
	}
	photo, err := from.Photo(f.t.Context(), site.Photo)
	if err != nil {
		f.t.Fatal(err)
	}
	err = to.Write(f.t.Context(), func(tx *store.Tx) error {
		if err := tx.PutSite(site.ID, site.Name); err != nil {
			return err
		}
		if err := tx.PutPhoto(site.Photo, photo); err != nil {
			return err
		}
		return firm.Append(tx, to, site.ID, "office", entries)
	})
	if err != nil {
		f.t.Fatal(err)
	}
	holds := siteHolds{entries: map[sootline.ID]bool{}}
	for _, e := range entries {
		holds.entries[e.ID] = true
		switch e.Body.(type) {
		case sootline.Fitted:
			holds.point = e.Point.String()
		case sootline.Defect:
			holds.defect = e.ID.String()
		case sootline.Note:
			holds.note = e.ID.String()
		}
	}
	f.of[site.ID] = holds
}

// admit lets the people in, each with what the kind is given, a browser, a phone and a token; those who leave were managers of
// the whole firm, and left. Of each firm the journal names its mark: somebody who came and was taken off.
func (f *firmsWorld) admit() {
	f.t.Helper()
	for i := range f.w.People {
		if p := &f.w.People[i]; p.Firm != "" {
			f.give(p)
		}
	}
	for _, p := range f.w.People {
		if p.Sees.Kind != "leaver" {
			continue
		}
		f.opened[p.Name] = f.statuses(p.Name)
		if err := f.services[p.Firm].App.RemovePerson(f.t.Context(), p.Name); err != nil {
			f.t.Fatal(err)
		}
	}
	for _, m := range f.w.Marks {
		if m.What != firm.JournalMark {
			continue
		}
		err := f.services[m.Firm].App.AddPerson(f.t.Context(), m.Text, sootline.Reader, password)
		if err == nil {
			err = f.services[m.Firm].App.RemovePerson(f.t.Context(), m.Text)
		}
		if err != nil {
			f.t.Fatal(err)
		}
	}
}

// grant is what the kind of a person is given.
func (f *firmsWorld) grant(p *firm.Somebody) (role sootline.Role, scope app.Scope) {
	role = map[firm.PersonKind]sootline.Role{
		"leaver": sootline.Manager, "customer": sootline.Customer, "reader": sootline.Reader, "team technician": sootline.Technician,
		"office technician": sootline.Technician, "office manager": sootline.Manager, "firm manager": sootline.Manager,
	}[p.Sees.Kind]
	switch p.Sees.Sites {
	case firm.SitesOfClient:
		scope.Bound = true
		for _, m := range f.w.Marks {
			if m.What == firm.CustomerMark && m.Customer == p.Customer {
				scope.Customers = []string{m.Text}
			}
		}
	case firm.SitesOfOffice, firm.SitesOfTeam: // a grant of an office or a team is one of its sites
		scope.Bound = true
		for _, site := range f.w.Sites {
			if site.Office == p.Office && p.Sees.Sites == firm.SitesOfOffice || site.Team == p.Team && p.Sees.Sites == firm.SitesOfTeam {
				scope.Sites = append(scope.Sites, site.ID)
			}
		}
	}
	return role, scope
}

// give makes the account, and all that is given out with it.
func (f *firmsWorld) give(p *firm.Somebody) {
	f.t.Helper()
	s := f.services[p.Firm]
	role, scope := f.grant(p)
	if err := s.App.AddPersonFor(f.t.Context(), p.Name, role, scope, password); err != nil {
		f.t.Fatal(p.Sees.Kind, err)
	}
	maker := *s.App
	maker.Who = sootline.Actor{Name: "M. Manager", Role: sootline.Manager, Station: "server"}
	if p.Sees.Kind == "leaver" {
		maker.Who.Name = p.Name // what a program was given goes with who gave it
	}
	program := sootline.Reader
	if role.May(sootline.Technician) {
		program = sootline.Technician
	}
	token, err := maker.AddToken(f.t.Context(), app.NewToken{Name: "for " + p.Name, Role: program, Scope: scope, Until: today.AddDate(0, 1, 0)})
	if err != nil {
		f.t.Fatal(err)
	}
	phone, _ := phoneOf(f.t, s, p.Name)
	f.held[p.Name] = holding{map[string]map[string]*http.Cookie{bySession: signIn(f.t, s, p.Name).cookies, byPhone: phone.cookies}, token}
}

// statuses asks for the list of sites by session, phone and token.
func (f *firmsWorld) statuses(name string) (got [3]int) {
	f.t.Helper()
	var service *Server
	for _, p := range f.w.People {
		if p.Name == name {
			service = f.services[p.Firm]
		}
	}
	for i, by := range []string{bySession, byPhone, byToken} {
		b := visit(f.t, service)
		if cookies := f.held[name].cookies[by]; cookies != nil {
			b.cookies = maps.Clone(cookies)
		}
		got[i] = b.do(http.MethodGet, api.Root+"/sites", "", func(r *http.Request) {
			if by == byToken {
				r.Header.Set("Authorization", "Bearer "+f.held[name].token)
			}
		}).StatusCode
	}
	return got
}

// readLists takes the requests to every route and operation from the lists that every other test of them goes by. A route or
// an operation without a line is a fault.
func (f *firmsWorld) readLists() {
	f.t.Helper()
	s, site := withDemo(f.t, abroad)
	survey := surveyOf(f.t, s)
	f.demo, f.demoSite, f.demoPoint = s, survey.Register.Site.ID.String(), survey.Register.Points()[0].ID.String()
	f.pages = routeCalls(f.t, s, site)
	for _, route := range s.routes() {
		if _, known := f.pages[route.pattern]; !known {
			f.t.Errorf("route %s has no line", route.pattern)
		}
	}
	calls := apiCalls(f.t, s)
	doc, _ := openAPI(f.t, s)
	for path, methods := range doc.Paths {
		for method, op := range methods {
			call, known := calls[op.OperationID]
			if !known {
				f.t.Errorf("operation %s has no line", op.OperationID)
				continue
			}
			f.operations[op.OperationID] = operation{strings.ToUpper(method), path, call}
		}
	}
	other := newServer(f.t, abroad).App
	if _, err := other.AddSite(f.t.Context(), app.NewSite{Name: "Elsewhere"}); err != nil {
		f.t.Fatal(err)
	}
	offer, err := other.Offer(f.t.Context())
	if err != nil {
		f.t.Fatal(err)
	}
	parcel, err := offer.Pack()
	if err != nil {
		f.t.Fatal(err)
	}
	f.parcel = string(parcel)
}
