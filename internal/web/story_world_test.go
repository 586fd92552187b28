package web

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/store"
	"sootline/internal/worlds"
)

// storyStage is a server on which stories are played, each on a site of its own, by the
// same people, each with a browser and a phone.
type storyStage struct {
	*rightsWorld
	now     time.Time
	byName  map[string]*browser
	byPhone map[string]*browser
	station map[string]string // of the phone of a person
	roles   map[string]string
	other   sootline.ID // another site
	may     map[[5]string]bool
}

func newStoryStage(t *testing.T) *storyStage {
	t.Helper()
	g := &storyStage{now: today, byName: map[string]*browser{}, byPhone: map[string]*browser{}, station: map[string]string{}, roles: map[string]string{}, may: map[[5]string]bool{}}
	s := newServer(t, abroad)
	s.App.Logs, s.App.Now = app.NewLogs(1<<26), func() time.Time { return g.now }
	table, err := worlds.Rights()
	if err != nil {
		t.Fatal(err)
	}
	g.rightsWorld = &rightsWorld{t: t, s: s, table: table}
	for _, r := range table {
		g.may[[5]string{r.Kind, r.Act, r.Target, r.Role, r.Door}] = r.Allowed
	}
	for _, p := range worlds.Sequence(rand.New(rand.NewPCG(0, 0)), 0).People {
		g.admit(p)
	}
	if g.other, err = s.App.AddSite(t.Context(), app.NewSite{Name: "Another"}); err != nil {
		t.Fatal(err)
	}
	return g
}

// admit lets a person of a story in.
func (g *storyStage) admit(p worlds.Person) {
	g.t.Helper()
	err := g.s.App.Book.Write(g.t.Context(), func(tx *store.Tx) error {
		known, err := tx.People()
		if err != nil {
			return err
		}
		_, err = tx.AddPerson(store.Person{Name: p.Name, Role: p.Role, Password: known[0].Password, Added: today})
		return err
	})
	if err != nil {
		g.t.Fatal(err)
	}
	g.roles[p.Name] = p.Role
	g.byName[p.Name] = signIn(g.t, g.s, p.Name)
	g.byPhone[p.Name], g.station[p.Name] = phoneOf(g.t, g.s, p.Name)
}

// played is a story that is being played.
type played struct {
	*storyStage
	worlds.Story
	seed    uint64
	id      sootline.ID
	zone    *time.Location
	points  []sootline.ID
	ids     []sootline.ID // by act: the id of its entry
	setup   map[sootline.ID]bool
	first   []sootline.Entry // what is there before the first act
	written []sootline.ID    // by acts, in order
}

// begin makes the site of a story.
func (g *storyStage) begin(seed uint64, n int) *played {
	g.t.Helper()
	p := &played{storyStage: g, Story: worlds.Sequence(rand.New(rand.NewPCG(seed, 1)), n), seed: seed, setup: map[sootline.ID]bool{}}
	p.id = sootline.NewID(g.now, g.s.App.Random())
	var err error
	if p.zone, err = time.LoadLocation(p.Zone); err != nil {
		g.t.Fatal(err)
	}
	name := fmt.Sprint(p.Site, " ", p.id) // each its own: a book knows a name once
	err = g.s.App.Book.Write(g.t.Context(), func(tx *store.Tx) error { return tx.PutSite(p.id, name) })
	if err != nil {
		g.t.Fatal(err)
	}
	p.add(2000, sootline.ID{}, "opened", map[string]any{"name": name, "zone": p.Zone})
	for _, l := range p.Loops {
		p.add(2000, sootline.ID{}, "loop", map[string]any{"panel": l.Panel, "loop": l.Loop, "first": l.First, "last": l.Last})
	}
	for _, t := range p.Types {
		sheet := map[string]any{"name": t.Name, "device": t.Device}
		if t.High > 0 {
			sheet["bands"] = []map[string]any{{"low": t.Low, "high": t.High}}
		}
		p.add(2000, sootline.ID{}, "sheet", sheet)
	}
	for i, spec := range p.Points {
		id := sootline.NewID(g.now, g.s.App.Random())
		p.points = append(p.points, id)
		l := p.Loops[spec.Loop]
		p.add(spec.FittedDaysAgo, id, "fitted", map[string]any{"panel": l.Panel, "loop": l.Loop, "order": i + 1, "zone": spec.Zone, "area": spec.Area, "location": spec.Location, "type": spec.Type})
		p.add(spec.FittedDaysAgo, id, "addressed", map[string]any{"wanted": spec.Address})
	}
	p.put(&rightsSite{id: p.id}, p.first...)
	for range p.Acts {
		p.ids = append(p.ids, sootline.NewID(g.now, g.s.App.Random()))
	}
	return p
}

// add writes an entry that is there before the first act.
func (p *played) add(daysAgo int, point sootline.ID, kind string, says map[string]any) {
	p.t.Helper()
	for key, value := range says {
		if value == "" {
			delete(says, key)
		}
	}
	body := p.body(kind, p.text(says))
	at := today.AddDate(0, 0, -daysAgo)
	e := sootline.Entry{ID: sootline.NewID(at, p.s.App.Random()), Site: p.id, At: at, Noted: at, By: "M. Lead", Station: "laptop", Point: point, Body: body}
	p.setup[e.ID] = true
	p.first = append(p.first, e)
}

// asked is an act as it is asked for: with what it says, under its id.
type asked struct {
	worlds.Act
	id, site, target, point sootline.ID
	raw                     json.RawMessage
	body                    sootline.Body // nil: it cannot be read
	at                      time.Time
	sure                    bool
}

// idFor is the id of the entry of an act; of none, one that is not there.
func (p *played) idFor(act int) sootline.ID {
	if act < 0 || act >= len(p.Acts) {
		return sootline.NewID(p.now, p.s.App.Random())
	}
	if strings.HasPrefix(p.Acts[act].What, "again") {
		return p.idFor(p.Acts[act].Of)
	}
	return p.ids[act]
}

// asks makes an act ready; one that is done again says what it said, by whoever
// does it again, at their door.
func (p *played) asks(act int) asked {
	p.t.Helper()
	a := asked{Act: p.Acts[act], id: p.idFor(act), sure: act%4 != 0}
	if a.What == "again" {
		again := p.asks(a.Of)
		again.Person, again.Role, again.Door = a.Person, a.Role, a.Door
		return again
	}
	if a.What == "again otherwise" {
		a.What = "write"
	}
	a.site = map[int]sootline.ID{0: p.id, 1: p.other, 2: sootline.NewID(p.now, p.s.App.Random())}[a.Site]
	a.target = p.idFor(a.Of)
	switch {
	case a.Point >= len(p.points):
		a.point = sootline.NewID(p.now, p.s.App.Random())
	case a.Point >= 0:
		a.point = p.points[a.Point]
	}
	a.raw = worlds.Resolve(a.Body, func(n int) string { return p.idFor(n).String() }, func(n int) string { return p.points[n%len(p.points)].String() })
	a.body, _ = sootline.DecodeBody(sootline.Kind(a.Kind), a.raw) // what cannot be is handed in all the same
	midnight := today.Truncate(24 * time.Hour)
	a.at = midnight.AddDate(0, 0, -a.DaysAgo).Add(time.Duration(a.Minute) * time.Minute)
	return a
}

// ask asks for it at its door, while the clock says what the story has it say.
func (p *played) ask(a asked) doorSaid {
	p.t.Helper()
	was := p.now
	p.now = was.Add(a.Clock)
	defer func() { p.now = was }()
	switch a.Door {
	case "page":
		return p.page(a)
	case "api":
		return p.api(a)
	case "phone":
		return p.phone(a)
	}
	return p.command(a)
}

func (p *played) page(a asked) doorSaid {
	sent := url.Values{"id": {a.id.String()}}
	if a.sure {
		sent.Set("sure", "1")
	}
	address := "/site/" + a.site.String() + "/log"
	if a.What != "write" {
		address += "/" + a.target.String()
		sent.Set("why", a.Why)
	}
	if a.What == "withdraw" {
		sent.Set("do", "withdraw")
		return p.said(p.byName[a.Person].post(address, sent))
	}
	form := sootline.Form{"nonsense": string(a.raw)}
	if a.body != nil {
		var err error
		if form, err = sootline.FormOf(a.body); err != nil {
			p.t.Fatal(err)
		}
	}
	for key, text := range form {
		sent.Set(key, text)
	}
	sent.Set("at", a.at.In(p.zone).Format("2006-01-02 15:04"))
	if a.Day {
		sent.Set("at", a.at.In(p.zone).Format(time.DateOnly))
	}
	sent.Set("kind", a.Kind)
	if !a.point.Zero() {
		sent.Set("point", a.point.String())
	}
	return p.said(p.byName[a.Person].post(address, sent))
}

func (p *played) api(a asked) doorSaid {
	address := api.Root + "/sites/" + a.site.String() + "/log"
	says := map[string]any{"id": a.id.String()}
	if a.What != "withdraw" {
		says["at"], says["day"], says["body"], says["sure"] = a.at, a.Day, a.raw, a.sure
		if !a.point.Zero() {
			says["point"] = a.point.String()
		}
	}
	switch a.What {
	case "withdraw":
		address += "/entries/" + a.target.String() + "/withdrawal"
		says["why"] = a.Why
	case "correct":
		address += "/entries/" + a.target.String() + "/correction"
		says["why"] = a.Why
	default:
		says["kind"] = a.Kind
	}
	return p.said(p.byName[a.Person].do(http.MethodPost, address, p.text(says), asJSON))
}

func (p *played) phone(a asked) doorSaid {
	kind, raw, point := a.Kind, a.raw, a.point
	switch a.What {
	case "withdraw":
		kind, raw, point = "withdrawn", json.RawMessage(p.text(map[string]any{"entry": a.target.String(), "why": a.Why})), sootline.ID{}
	case "correct":
		says := map[string]any{"entry": a.target.String(), "why": a.Why, "at": a.at.UTC().Format("2006-01-02T15:04:05.000Z"), "kind": a.Kind, "body": a.raw}
		if a.Day {
			says["day"] = true
		}
		if !point.Zero() {
			says["point"] = point.String()
		}
		kind, raw, point = "corrected", json.RawMessage(p.text(says)), sootline.ID{}
	}
	at := a.at
	if a.What != "write" {
		at = p.now
	}
	capture := map[string]any{"id": a.id.String(), "at": at.UnixMilli(), "kind": kind, "body": raw}
	if !point.Zero() {
		capture["point"] = point.String()
	}
	res := p.byPhone[a.Person].do(http.MethodPost, "/site/"+a.site.String()+"/visit/entries", p.text(map[string]any{"entries": []any{capture}}), asJSON)
	if res.StatusCode != http.StatusOK {
		return p.said(res)
	}
	text := read(p.t, res)
	return doorSaid{yes: strings.Contains(text, `"refused":[]`), words: text}
}

func (p *played) command(a asked) doorSaid {
	at := *p.s.App
	at.Who.Name, at.Who.Role = a.Person, sootline.Role(a.Role)
	amendment := app.Amendment{ID: a.id, Entry: a.target, Why: a.Why, Sure: a.sure}
	var err error
	switch {
	case a.What == "withdraw":
		_, err = at.Withdraw(p.t.Context(), a.site, amendment)
	case a.body == nil:
		return doorSaid{words: "it cannot be read"}
	case a.What == "correct":
		_, err = at.Correct(p.t.Context(), a.site, amendment, func(sootline.Entry) (sootline.Corrected, error) {
			return sootline.Corrected{At: sootline.Instant(a.at), Day: a.Day, Point: a.point, Body: a.body}, nil
		})
	default:
		note := app.Note{ID: a.id, At: a.at, Day: a.Day, Body: a.body, Sure: a.sure}
		if !a.point.Zero() {
			note.Point = a.point.String()
		}
		_, err = at.AddEntry(p.t.Context(), a.site, note)
	}
	return doorSaid{yes: err == nil, words: fmt.Sprint(err)}
}
