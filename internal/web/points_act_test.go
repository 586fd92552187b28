package web

import (
	"net/http"
	"net/url"
	"reflect"
	"strings"
	"testing"
	"time"

	"sootline"
)

// clockGoesOn gives a server a clock that goes on with each look, as clocks do.
func clockGoesOn(c *Config) {
	now := today
	c.App.Now = func() time.Time { now = now.Add(time.Millisecond); return now }
}

// followed posts a form and gives the page that it leads to.
func followed(t *testing.T, b *browser, address string, form url.Values) string {
	t.Helper()
	res := b.post(address, form)
	if res.StatusCode != http.StatusSeeOther {
		t.Fatalf("%s %v gives %d: %s", address, form, res.StatusCode, sentenceIn(read(t, res)))
	}
	return b.get(res.Header.Get("Location"))
}

// takenBack presses the button that takes back what a page tells was written.
func takenBack(t *testing.T, b *browser, site, page string) string {
	t.Helper()
	_, notice, there := strings.Cut(page, `class="notice done"`)
	if !there {
		t.Fatal("the page tells of nothing written")
	}
	return followed(t, b, site+"/undo", url.Values{"id": {field(t, notice, "id")}, "deed": {field(t, notice, "deed")}, "back": {field(t, notice, "back")}})
}

// A device is added, is moved and described, is removed, and each is taken back; what was
// taken back holds again when that is taken back in turn.
func TestDeviceByDevice(t *testing.T) {
	s, site := withDemo(t, clockGoesOn)
	b := visit(t, s)
	before := len(surveyOf(t, s).Register.Points())
	page := followed(t, b, site+"/points/add", url.Values{"id": {s.newID()}, "loop": {"1.2"}, "number": {"119"}, "type": {surveyOf(t, s).Register.Points()[0].Type}, "location": {"Bell loft"}, "area": {"Tower"}})
	if !strings.Contains(page, "1.2.119") || !strings.Contains(page, "Bell loft, Tower") {
		t.Fatal("the page of the new point does not name it")
	}
	var p *sootline.Point
	for _, one := range surveyOf(t, s).Register.Points() {
		if one.Location == "Bell loft" {
			p = one
		}
	}
	address := "/site/" + surveyOf(t, s).Register.Site.ID.String() + "/point/" + p.ID.String()
	page = followed(t, b, address+"/place", url.Values{"id": {s.newID()}, "do": {"move"}, "loop": {"1.2"}, "was": {"1.2"}, "number": {"1.1.118"}})
	if now := surveyOf(t, s).Register.Point(p.ID); now.Ref().String() != "1.1.118" || now.Location != "Bell loft" || now.Area != "Tower" {
		t.Errorf("moved to %+v", now.Place)
	}
	if !strings.Contains(page, "moved, or described otherwise") {
		t.Error("the story does not tell of the move")
	}
	takenBack(t, b, site, page)
	if now := surveyOf(t, s).Register.Point(p.ID); now.Ref().String() != "1.2.119" || now.Location != "Bell loft" {
		t.Errorf("taken back, it is at %+v", now.Place)
	}
	page = followed(t, b, address+"/place", url.Values{"id": {s.newID()}, "do": {"remove"}, "why": {"the loft is gone"}})
	if surveyOf(t, s).Register.Point(p.ID).Removed == nil {
		t.Error("it is not removed")
	}
	page = takenBack(t, b, site, page)
	if surveyOf(t, s).Register.Point(p.ID).Removed != nil {
		t.Error("the removal is not taken back")
	}
	takenBack(t, b, site, page) // it holds again
	if surveyOf(t, s).Register.Point(p.ID).Removed == nil {
		t.Error("the removal does not hold again")
	}
	if n := len(surveyOf(t, s).Register.Points()); n != before {
		t.Errorf("%d points, want %d", n, before)
	}
}

// What is done to several points is one deed: it keeps what was not said anew, and is taken
// back whole. Handed in twice it is done once.
func TestSeveralPointsAtOnce(t *testing.T) {
	s, site := withDemo(t, clockGoesOn)
	b := visit(t, s)
	was := map[string]sootline.Place{}
	form := url.Values{"id": {s.newID()}, "do": {"describe"}, "area": {"Wing 9"}, "back": {site + "/points?q=1.1"}}
	for _, p := range surveyOf(t, s).Register.Points()[:10] {
		was[p.ID.String()] = p.Place
		form.Add("point", p.ID.String())
	}
	entries := surveyOf(t, s).LogLength()
	page := followed(t, b, site+"/points", form)
	followed(t, b, site+"/points", form)
	if n := surveyOf(t, s).LogLength() - entries; n != 10 {
		t.Errorf("%d entries, want 10", n)
	}
	for id, place := range was {
		parsed, _ := sootline.ParseID(id)
		place.Area = "Wing 9"
		if now := surveyOf(t, s).Register.Point(parsed).Place; !reflect.DeepEqual(now, place) {
			t.Errorf("%+v, want %+v", now, place)
		}
	}
	takenBack(t, b, site, page)
	for id, place := range was {
		parsed, _ := sootline.ParseID(id)
		if now := surveyOf(t, s).Register.Point(parsed).Place; !reflect.DeepEqual(now, place) {
			t.Errorf("taken back: %+v, want %+v", now, place)
		}
	}
	form.Set("id", s.newID())
	form.Del("point")
	if res := b.post(site+"/points", form); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("no point chosen gives %d", res.StatusCode)
	}
}

// A number that another device has is asked about before anything is written.
func TestAddedDeviceWithATakenNumberIsAsked(t *testing.T) {
	s, site := withDemo(t, nil)
	p := surveyOf(t, s).Register.Points()[0]
	form := url.Values{"id": {s.newID()}, "loop": {p.LoopID().String()}, "number": {p.Ref().String()[len("1.1."):]}, "type": {p.Type}}
	res := visit(t, s).post(site+"/points/add", form)
	if page := read(t, res); res.StatusCode != http.StatusConflict || !strings.Contains(page, "is that of another device") || !strings.Contains(page, `name="sure"`) {
		t.Errorf("%d: %s", res.StatusCode, sentenceIn(page))
	}
}
