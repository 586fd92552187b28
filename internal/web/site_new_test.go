package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"sootline/internal/app"
)

// In an empty book a site is added with its clock, rules, loops and firm, once; its page
// says what comes next.
func TestSiteIsAddedInTheBrowser(t *testing.T) {
	s := newServer(t, nil)
	b := visit(t, s)
	if page := b.get("/"); !strings.Contains(page, `href="/sites/add"`) || strings.Contains(page, "sootline site add") {
		t.Error("the empty book does not lead to a site, or speaks of a shell")
	}
	form := url.Values{"id": {s.newID()}, "name": {"Weir Mill"}, "zone": {"Europe/Paris"}, "rules": {"bs5839-1-2025"}, "loops": {"1.1 1.2"}, "firm": {"Quiet Lanterns"}}
	page := followed(t, b, "/sites/add", form)
	followed(t, b, "/sites/add", form)
	r := surveyOf(t, s).Register
	if r.Site.Name != "Weir Mill" || r.Site.Zone != "Europe/Paris" || app.RuleSetOf(r) != "bs5839-1-2025" || len(r.Loops()) != 2 || r.Site.Firm != "Quiet Lanterns" {
		t.Errorf("%+v, %d loops", r.Site, len(r.Loops()))
	}
	if !strings.Contains(page, "/intake") || !strings.Contains(page, "/points/add") {
		t.Error("the page of the new site does not say what comes next")
	}
	form.Set("zone", "Nowhere/None")
	form.Set("id", s.newID())
	form.Set("name", "Other")
	if res := b.post("/sites/add", form); res.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(read(t, res), `value="Other"`) {
		t.Errorf("an unknown zone gives %d", res.StatusCode)
	}
}

// The rules of a site are chosen in the settings, told, and taken back.
func TestRulesAreChosenAndTakenBack(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	before := app.RuleSetOf(surveyOf(t, s).Register)
	page := followed(t, b, site+"/settings/rules", url.Values{"id": {s.newID()}, "rules": {"nfpa72-2019"}})
	if got := app.RuleSetOf(surveyOf(t, s).Register); got == before || got == "" {
		t.Fatalf("the rules are %q, as before", got)
	}
	takenBack(t, b, site, page)
	if got := app.RuleSetOf(surveyOf(t, s).Register); got != before {
		t.Errorf("taken back, the rules are %q, want %q", got, before)
	}
}

// Whoever adds the first person, themselves, goes on signed in.
func TestAddingOneselfKeepsOneSignedIn(t *testing.T) {
	s := newServer(t, nil)
	b := visit(t, s)
	page := followed(t, b, "/people", url.Values{"name": {"M. Manager"}, "role": {"manager"}, "password": {password}, "again": {password}})
	if !strings.Contains(page, "<h1>People</h1>") || !strings.Contains(page, "Sign out") {
		t.Error("whoever added themselves is not signed in")
	}
}
