package web

import (
	"encoding/json"
	"net/http"
	"os"
	"regexp"
	"slices"
	"testing"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/store"
	"sootline/internal/worlds"
)

// scopedWorld is a rightsWorld with somebody of each role who is bound to no site, to those on which something is tried, or
// to another one alone; with a browser and a phone each, and with tokens likewise.
type scopedWorld struct {
	*rightsWorld
	given   []sootline.ID
	other   sootline.ID
	actors  map[string]*scopedActor // by role, reach and door
	refused map[string]string       // tokens that are not given out, by role
}

// scopedActor is one of these, at a door.
type scopedActor struct {
	actor
	b     *browser
	ready func(*http.Request)
}

func newScopedWorld(t *testing.T) *scopedWorld {
	t.Helper()
	w := &scopedWorld{rightsWorld: newRightsWorld(t), actors: map[string]*scopedActor{}, refused: map[string]string{}}
	for _, kind := range sootline.Kinds() {
		w.given = append(w.given, w.site(string(kind.Kind)).id)
	}
	var err error
	if w.other, err = w.s.App.AddSite(t.Context(), app.NewSite{Name: "Elsewhere"}); err != nil {
		t.Fatal(err)
	}
	for _, role := range []string{"customer", "reader", "technician", "manager"} {
		for _, reach := range []string{"all", "given", "other"} {
			w.admit(role, reach)
			w.token(role, reach)
		}
	}
	return w
}

// scope are the sites of a reach, as ids in words, and as a scope.
func (w *scopedWorld) scope(reach string) (ids []string, scope sootline.Scope) {
	switch reach {
	case "given":
		for _, id := range w.given {
			ids = append(ids, id.String())
		}
		return ids, sootline.OnlySites(w.given...)
	case "other":
		return []string{w.other.String()}, sootline.OnlySites(w.other)
	}
	return nil, sootline.Scope{}
}

// admit lets a person in, with a browser and a phone, after the manager bound them.
func (w *scopedWorld) admit(role, reach string) {
	w.t.Helper()
	name := role + " " + reach
	err := w.s.App.Book.Write(w.t.Context(), func(tx *store.Tx) error {
		known, err := tx.People()
		if err != nil {
			return err
		}
		_, err = tx.AddPerson(store.Person{Name: name, Role: role, Password: known[0].Password, Added: today})
		return err
	})
	if err != nil {
		w.t.Fatal(err)
	}
	ids, scope := w.scope(reach)
	if role == "customer" && reach == "all" {
		scope = sootline.OnlySites() // bound to nothing, a customer has no site at all
	}
	if reach != "all" {
		res := w.people["manager"].do(http.MethodPut, api.Root+"/people/"+role+"%20"+reach+"/sites", w.text(map[string]any{"sites": ids}), asJSON)
		if res.StatusCode != http.StatusOK {
			w.t.Fatal(w.said(res).words)
		}
	}
	b := signIn(w.t, w.s, name)
	phone, station := phoneOf(w.t, w.s, name)
	for door, with := range map[string]*browser{"page": b, "api": b, "phone": phone, "command line": nil} {
		w.actors[role+reach+door] = &scopedActor{actor{name, station, scope}, with, asJSON}
	}
}

// token makes a token, where one of that role is given out.
func (w *scopedWorld) token(role, reach string) {
	w.t.Helper()
	name := "program of a " + role + " " + reach
	says := map[string]any{"name": name, "role": role, "until": today.AddDate(0, 0, 90).Format(time.RFC3339)}
	ids, _ := w.scope(reach)
	if ids != nil {
		says["sites"] = ids
	}
	res := w.people["manager"].do(http.MethodPost, api.Root+"/tokens", w.text(says), asJSON)
	text := read(w.t, res)
	var made struct{ Token string }
	if res.StatusCode != http.StatusOK {
		w.refused[role] = text
		return
	}
	if err := json.Unmarshal([]byte(text), &made); err != nil || made.Token == "" {
		w.t.Fatal(text, err)
	}
	w.actors[role+reach+"token"] = &scopedActor{actor{name: name}, visit(w.t, w.s), func(r *http.Request) {
		asJSON(r)
		r.Header.Set("Authorization", "Bearer "+made.Token)
	}}
}

// ask asks at the door of a row.
func (w *scopedWorld) ask(of *scopedActor, x try) (doorSaid, bool) {
	switch x.Door {
	case "page":
		return w.atPage(of.b, x)
	case "phone":
		return w.atPhone(of.b, x), false
	case "command line":
		return w.atCommand(x), false
	}
	return w.asProgram(of.b, x, of.ready), false
}

// untried are rows of the table that nobody tries, by role and door, with the reason; each is held against what is there.
var untried = map[string]string{
	"customer at token": "no token of that role is given out",
	"manager at token":  "no token of that role is given out",
}

var anyUUID = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}`)

// scopedSum counts.
type scopedSum struct {
	t                     *testing.T
	tried, listed, nobody int
	later                 int // left to the long run
	byDoor                map[string]int
	red                   map[string]int
}

// fault tells of a row that is answered otherwise; of a sort of them the first.
func (s *scopedSum) fault(row worlds.Scoped, how, words string) {
	sort := how + ": " + row.Act + " by a " + row.Role + " of " + row.Reach + " at " + row.Door
	if s.red[sort]++; s.red[sort] == 1 {
		s.t.Errorf("%s: kind %s, target %s (%s, %s): %s", sort, row.Kind, row.Target, row.Answer, row.Reason, words)
	}
}

// TestScopedRights tries the table of rights by everybody who is bound to no site, to this one, or to another one. The long
// run tries every row; else of those that nobody may, one of four is tried.
func TestScopedRights(t *testing.T) {
	inMemory(t)
	w := newScopedWorld(t)
	rows, err := worlds.ScopedRights()
	if err != nil {
		t.Fatal(err)
	}
	answers := map[worlds.Scoped]string{}
	key := func(r worlds.Scoped) worlds.Scoped {
		r.Allowed, r.Answer, r.Reason = false, "", ""
		return r
	}
	for _, r := range rows {
		answers[key(r)] = r.Answer
	}
	sum := &scopedSum{t: t, byDoor: map[string]int{}, red: map[string]int{}}
	for i, r := range rows {
		if os.Getenv("SOOTLINE_LONG") == "" && !r.Allowed && (i+i/4+i/16)%4 != 0 { // so that each role, reach and door comes up
			sum.later++
			continue
		}
		if r.Door == "command line" && r.Reach != "all" { // no such actor has this door: the use case beneath it answers as for the API
			beneath := key(r)
			beneath.Door = "api"
			r.Answer, r.Reason = answers[beneath], "by the use case, as at the API"
		}
		of := w.actors[r.Role+r.Reach+r.Door]
		switch why := untried[r.Role+" at "+r.Door]; {
		case of != nil:
			w.try(r, of, sum)
		case why != "" && w.refused[r.Role] != "":
			sum.nobody++
		default:
			t.Errorf("nobody tries %+v", r)
		}
	}
	t.Logf("%d rows of %d tried (%v), %d stand in noDoor, of %d no token is given out (%v), %d are left to the long run",
		sum.tried, len(rows), sum.byDoor, sum.listed, sum.nobody, w.refused, sum.later)
	if sum.tried+sum.listed+sum.nobody+sum.later != len(rows) {
		t.Errorf("%d rows are neither tried nor listed", len(rows)-sum.tried-sum.listed-sum.nobody-sum.later)
	}
	for sort, n := range sum.red {
		t.Logf("%d rows: %s", n, sort)
	}
}

// try tries one row.
func (w *scopedWorld) try(r worlds.Scoped, of *scopedActor, sum *scopedSum) {
	x := w.readyBy(r.Right, of.actor)
	facts, _ := sootline.KindNamed(sootline.Kind(r.Kind))
	door := r.Kind + " at " + r.Door
	if r.Door == "token" {
		door = r.Kind + " at api"
	}
	want := r.Answer == worlds.ReachAllowed
	if r.Act == "write" && want && noDoor[door] != "" {
		if !facts.ByProgram {
			sum.listed++
			return
		}
		want = false
	}
	got, none := w.ask(of, x)
	if none {
		if sum.listed++; noDoor[door] == "" {
			w.t.Errorf("%s has no way to write %s", r.Door, r.Kind)
		}
		return
	}
	sum.tried++
	sum.byDoor[r.Door]++
	holds := w.holds(x)
	switch {
	case holds && !want:
		sum.fault(r, "is written", got.words)
	case !holds && want && !slices.Contains(redRights, r.Act+" "+r.Kind+", "+r.Target+", by a "+r.Role):
		sum.fault(r, "is not written", got.words)
	case want:
	case got.yes && !facts.ByProgram:
		sum.fault(r, "is answered with yes", got.words)
	case r.Answer == worlds.ReachNotThere || r.Role == "customer" && r.Reach == "all":
		w.asNowhere(of, x, got, r, sum)
	case !got.forbidden && noDoor[door] == "" && !amendsAmendment(r.Right):
		sum.fault(r, "is refused for another reason than who asks", got.words)
	}
}

// asNowhere: what is not there is answered word for word as what does not exist.
func (w *scopedWorld) asNowhere(of *scopedActor, x try, got doorSaid, r worlds.Scoped, sum *scopedSum) {
	nowhere := *x.site
	nowhere.id = sootline.NewID(today, w.s.App.Random())
	x.site = &nowhere
	as, _ := w.ask(of, x)
	if anyUUID.ReplaceAllString(got.words, "*") != anyUUID.ReplaceAllString(as.words, "*") {
		sum.fault(r, "is told from a site that does not exist", got.words+", and there "+as.words)
	}
}
