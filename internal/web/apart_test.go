package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
)

// bring hands what one book holds of a site to another.
func bring(t *testing.T, from, to *app.App, site string) {
	t.Helper()
	offer, err := to.Offer(t.Context(), site)
	if err != nil {
		t.Fatal(err)
	}
	sent, err := from.Lacking(t.Context(), offer, app.MostParcel)
	if err != nil {
		t.Fatal(err)
	}
	for i := range sent {
		if _, err := to.TakeParcel(t.Context(), &sent[i]); err != nil {
			t.Fatal(err)
		}
	}
}

// TestChangedApartIsSettledOnItsPage: the site tells of it and leads to the page, which shows
// both values with who wrote them; a button lets one hold, and pressed twice writes once.
func TestChangedApartIsSettledOnItsPage(t *testing.T) {
	s, base := withDemo(t, nil)
	survey := surveyOf(t, s)
	site, point := survey.Register.Site.ID, aSmokePoint(t, survey).ID
	laptop := newServer(t, nil)
	bring(t, s.App, laptop.App, survey.Register.Site.Name)
	number := func(a *app.App, who, station string, n int) {
		t.Helper()
		at := *a
		at.Who = sootline.Actor{Name: who, Role: sootline.Manager, Station: station}
		if _, err := at.AddEntry(t.Context(), site, app.Note{At: today.Add(time.Duration(n-200) * time.Minute), Point: point.String(), Body: sootline.Addressed{Wanted: n}, Sure: true}); err != nil {
			t.Fatal(err)
		}
	}
	number(s.App, "O. Office", "server", 101)
	number(laptop.App, "L. Ladder", "laptop", 102)
	b := visit(t, s)
	if page := b.get(base + "/apart"); !strings.Contains(page, "Nothing was changed in two places") {
		t.Errorf("before anything was exchanged:\n%s", page)
	}
	bring(t, laptop.App, s.App, survey.Register.Site.Name)
	if page := b.get(base); !strings.Contains(page, "was changed in two places") || !strings.Contains(page, base+"/apart") {
		t.Error("the site does not tell of it, or does not lead to the page")
	}
	page := b.get(base + "/apart")
	for _, words := range []string{"the number that it should have", "number wanted 101", "O. Office", "number wanted 102", "L. Ladder", "holds until it is settled"} {
		if !strings.Contains(page, words) {
			t.Errorf("the page does not say %q", words)
		}
	}
	first := regexp.MustCompile(`name="id" value="([^"]+)"><input type="hidden" name="entry" value="([^"]+)"><button aria-label="Let hold: number wanted 101`).FindStringSubmatch(page)
	if first == nil {
		t.Fatalf("there is no button for 101:\n%s", page)
	}
	before := surveyOf(t, s).Register.Entries
	for range 2 {
		if res := b.post(base+"/apart", url.Values{"id": {first[1]}, "entry": {first[2]}}); res.StatusCode != http.StatusSeeOther {
			t.Fatalf("settling gives %d: %s", res.StatusCode, read(t, res))
		}
	}
	after := surveyOf(t, s).Register
	if after.Entries != before+1 || after.Point(point).Wanted != 101 || len(after.Apart()) != 0 {
		t.Errorf("%d entries, then %d; the number wanted is %d; %d facts apart", before, after.Entries, after.Point(point).Wanted, len(after.Apart()))
	}
	page = b.get(base + "/apart?done=" + first[1])
	if !strings.Contains(page, "number wanted 101") || !strings.Contains(page, "Take it back") || !strings.Contains(page, "all of it is settled") {
		t.Errorf("after it was settled:\n%s", page)
	}
	if res := b.post(base+"/undo", url.Values{"deed": {first[1]}, "id": {s.newID()}}); res.StatusCode != http.StatusSeeOther {
		t.Fatalf("taking it back gives %d: %s", res.StatusCode, read(t, res))
	}
	if apart := surveyOf(t, s).Register.Apart(); len(apart) != 1 {
		t.Errorf("after it was taken back %d facts are apart", len(apart))
	}
}
