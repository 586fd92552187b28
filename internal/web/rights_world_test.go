package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
	"sootline/internal/worlds"
)

// Who is at work where rights are tried, by role, and the two who wrote before them.
const (
	anotherTechnician = "O. Tech"
	anotherManager    = "O. Lead"
	anotherPhone      = "p-another"
)

var roleNames = map[string]string{"reader": "R. Reader", "technician": "T. Tech", "manager": "M. Manager"}

// rightsWorld is a server whose book knows a person of each role, each with a
// phone, and has a site for each kind.
type rightsWorld struct {
	t       *testing.T
	s       *Server
	table   []worlds.Right
	people  map[string]*browser // by role
	phones  map[string]*browser // by the role of their owner
	station map[string]string   // of these phones
	sites   map[string]*rightsSite
	n       int // a number that is new each time
}

// rightsSite is a site on which one kind of entry is tried.
type rightsSite struct {
	id, defect sootline.ID
	points     []sootline.ID
	said       map[string]string
}

// abroadWithReader is a server with a person of each role, and the two others.
func abroadWithReader(c *Config) {
	abroad(c)
	ctx := context.Background()
	err := c.App.Book.Write(ctx, func(tx *store.Tx) error {
		known, err := tx.People()
		if err != nil {
			return err
		}
		for name, role := range map[string]sootline.Role{roleNames["reader"]: sootline.Reader, anotherTechnician: sootline.Technician, anotherManager: sootline.Manager} {
			if _, err := tx.AddPerson(store.Person{Name: name, Role: string(role), Password: known[0].Password, Added: today}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		panic(err)
	}
}

func newRightsWorld(t *testing.T) *rightsWorld {
	t.Helper()
	s := newServer(t, abroadWithReader)
	s.App.Logs = app.NewLogs(1 << 26)
	table, err := worlds.Rights()
	if err != nil {
		t.Fatal(err)
	}
	w := &rightsWorld{t: t, s: s, table: table, people: map[string]*browser{}, phones: map[string]*browser{}, station: map[string]string{}, sites: map[string]*rightsSite{}}
	for role, name := range roleNames {
		w.people[role] = signIn(t, s, name)
		w.phones[role], w.station[role] = phoneOf(t, s, name)
	}
	return w
}

// phoneOf pairs a phone in a person's name.
func phoneOf(t testing.TB, s *Server, name string) (*browser, string) {
	t.Helper()
	// It is put into the book as it is, since a reader is given none.
	key, station := "key-of-"+strings.ReplaceAll(name, " ", "-"), "p-"+strings.ToLower(strings.ReplaceAll(name, " ", ""))
	hash := sha256.Sum256([]byte(key))
	err := s.App.Book.Write(t.Context(), func(tx *store.Tx) error {
		owner, err := tx.Person(name)
		if err != nil {
			return err
		}
		p := store.Phone{Station: station, Name: "phone of " + name, Person: name, Purpose: string(app.ForPhone), Key: hex.EncodeToString(hash[:]), Added: today}
		if owner != nil {
			p.Mark = owner.Mark
		}
		return tx.PutPhone(p)
	})
	if err != nil {
		t.Fatal(err)
	}
	b := visit(t, s)
	b.cookies[s.phoneCookie()] = &http.Cookie{Name: s.phoneCookie(), Value: key}
	return b, station
}

// site gives the site of a kind: a loop, a type, four points, and a defect.
func (w *rightsWorld) site(kind string) *rightsSite {
	w.t.Helper()
	if site := w.sites[kind]; site != nil {
		return site
	}
	id, err := w.s.App.AddSite(w.t.Context(), app.NewSite{Name: "Mill " + kind, Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126}}})
	if err != nil {
		w.t.Fatal(err)
	}
	site := &rightsSite{id: id}
	entries := []sootline.Entry{w.past(site, anotherManager, "laptop", sootline.ID{}, w.body("sheet", `{"name":"Larch","device":"smoke"}`))}
	for i := range 4 {
		p := sootline.DerivedID(today, fmt.Append(nil, kind, i))
		site.points = append(site.points, p)
		entries = append(entries, w.past(site, anotherManager, "laptop", p, w.body("fitted", fmt.Sprintf(`{"panel":"1","loop":"1","order":%d,"area":"Hall","type":"Larch"}`, i+1))))
		entries[len(entries)-1].At = today.AddDate(-1, 0, 0)
	}
	found := w.past(site, anotherTechnician, "laptop", site.points[0], w.body("defect", `{"nature":"damage","grade":"minor","text":"cracked"}`))
	site.defect = found.ID
	w.put(site, append(entries, found)...)
	site.said = saidOf(site.points[1].String(), site.defect.String())
	site.said["issued"] = `{"paper":"visit","day":"2026-01-15","code":"AAAA-BBBB","content":"` + strings.Repeat("ab", 32) + `"}`
	site.said["listening"] = `{"name":"printer","style":"{}"}`
	site.said["taken"] = `{"name":"2026-01-15-1","added":{"read":1},"first":1,"last":1}`
	site.said["pinned"] = `{"heads":[{"station":"laptop","seq":1,"hash":"AAAAAAAAAAAAAAAAAAAAAA"}],"why":"a backup"}`
	w.sites[kind] = site
	return site
}

func (w *rightsWorld) body(kind, raw string) sootline.Body {
	w.t.Helper()
	body, err := sootline.DecodeBody(sootline.Kind(kind), []byte(raw))
	if err != nil {
		w.t.Fatal(kind, raw, err)
	}
	return body
}

// past is an entry that was written a while ago.
func (w *rightsWorld) past(site *rightsSite, by, station string, point sootline.ID, body sootline.Body) sootline.Entry {
	w.n++
	at := today.Add(-6*time.Hour + time.Duration(w.n)*time.Millisecond)
	return sootline.Entry{ID: sootline.NewID(at, w.s.App.Random()), Site: site.id, At: at, Noted: at, By: by, Station: station, Point: point, Body: body}
}

// put writes entries into the book, whoever may.
func (w *rightsWorld) put(site *rightsSite, entries ...sootline.Entry) {
	w.t.Helper()
	err := w.s.App.Book.Write(w.t.Context(), func(tx *store.Tx) error {
		for len(entries) > 0 {
			n := 1
			for n < len(entries) && entries[n].Station == entries[0].Station {
				n++
			}
			err := tx.Append(site.id, entries[0].Station, func(l *store.Writer) error {
				for _, e := range entries[:n] {
					if err := l.Add(e); err != nil {
						return err
					}
				}
				return nil
			})
			if err != nil {
				return err
			}
			entries = entries[n:]
		}
		return nil
	})
	if err != nil {
		w.t.Fatal(err)
	}
}

// try is one cell of the table, ready to be tried at its door.
type try struct {
	worlds.Right
	by     actor
	site   *rightsSite
	id     sootline.ID // of the entry that is asked for
	body   sootline.Body
	point  sootline.ID
	target sootline.Entry // what is amended
}

// actor is who tries, with the station of the phone, and the sites that are theirs.
type actor struct {
	name, station string
	scope         sootline.Scope
}

// ready prepares the entry that a row amends, or says what it writes, for somebody of the row's role who is bound to
// no site.
func (w *rightsWorld) ready(r worlds.Right) try {
	w.t.Helper()
	return w.readyBy(r, actor{name: roleNames[r.Role], station: w.station[r.Role]})
}

func (w *rightsWorld) readyBy(r worlds.Right, by actor) try {
	w.t.Helper()
	x := try{Right: r, by: by, site: w.site(r.Kind)}
	w.n++
	x.id = sootline.NewID(today.Add(time.Duration(w.n)*time.Millisecond), w.s.App.Random())
	kind := r.Kind
	amends := kind == "corrected" || kind == "withdrawn"
	if amends && r.Act == "write" { // its target decides: one's own note
		kind, x.Act, x.Target = "note", "correct", "own"
		if r.Kind == "withdrawn" {
			x.Act = "withdraw"
		}
	} else if amends {
		kind = "note"
	}
	facts, known := sootline.KindNamed(sootline.Kind(kind))
	raw := x.site.said[kind]
	if !known || raw == "" {
		w.t.Fatalf("no body of kind %s is tried", kind)
	}
	x.body = w.body(kind, raw)
	if !facts.OfSite && facts.Kind != sootline.WishKind { // a wish with all its keys names no point
		x.point = x.site.points[2]
	}
	if r.Kind == "fitted" && r.Act == "write" && r.Door == "phone" {
		x.point = sootline.NewID(today.Add(time.Duration(w.n)*time.Millisecond), w.s.App.Random()) // a phone makes points, and changes none
	}
	if x.Act != "write" {
		x.target = w.target(x, amends && r.Act != "write")
	}
	return x
}

// target writes the entry that a row amends, in the hand that the row says.
func (w *rightsWorld) target(x try, amendment bool) sootline.Entry {
	w.t.Helper()
	by, station := x.by.name, "laptop"
	if x.Door == "phone" {
		station = x.by.station
	}
	switch x.Target {
	case "another technician's":
		by = anotherTechnician
		if x.Door == "phone" {
			station = anotherPhone
		}
	case "a manager's":
		by, station = anotherManager, "laptop"
	}
	of := w.past(x.site, by, station, x.point, x.body)
	entries := []sootline.Entry{of}
	if amendment {
		of = w.past(x.site, by, station, sootline.ID{}, w.amends(x.Kind, of))
		entries = append(entries, of)
	}
	if x.Target == "one that a manager amended" {
		how := "corrected"
		if amendment {
			how = "withdrawn" // no amendment is corrected
		}
		entries = append(entries, w.past(x.site, anotherManager, "laptop", sootline.ID{}, w.amends(how, of)))
	}
	w.put(x.site, entries...)
	return of
}

// amends is the body of an amendment of an entry, that says another time.
func (w *rightsWorld) amends(kind string, of sootline.Entry) sootline.Body {
	if kind == "withdrawn" {
		return sootline.Withdrawn{Entry: of.ID, Why: "by mistake"}
	}
	c := sootline.Corrected{Entry: of.ID, Why: "at another time", At: of.At.Add(-time.Hour), Point: of.Point, Body: of.Body}
	if a, ok := of.Body.(sootline.Corrected); ok {
		c.Point, c.Body = a.Point, a.Body
	}
	if a, ok := of.Body.(sootline.Withdrawn); ok {
		c.Body = sootline.Note{Text: "said otherwise than " + a.Why}
	}
	return c
}
