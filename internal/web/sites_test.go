package web

import (
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// A line that does not hold all yet says as of when it is and how many entries are not in
// it; it is never shown as if it were of now.
func TestListSaysHowFarItIsBehind(t *testing.T) {
	now := today
	s := newServer(t, func(c *Config) { c.App.Now = func() time.Time { return now } })
	site, err := s.App.AddSite(t.Context(), app.NewSite{Name: "Works", Zone: "Europe/Paris"})
	if err != nil {
		t.Fatal(err)
	}
	b := visit(t, s)
	pages := func(holds func(string) bool, what string) {
		t.Helper()
		for _, address := range []string{"/", "/due"} {
			if page := b.get(address); !holds(page) {
				t.Errorf("%s: %s: %s", address, what, page)
			}
		}
	}
	behind := func(page string) bool { return strings.Contains(page, "As of 2026-01-20 11:00 CET") }
	pages(func(page string) bool { return !behind(page) && !strings.Contains(page, "Not looked at yet") }, "what is as of now says that it is behind")

	taken := func() { // by a program that does not come to it
		t.Helper()
		mine, err := s.App.Book.ClaimSiteHeads(t.Context(), []sootline.ID{site}, now, now.Add(store.MostClaim))
		if err != nil || len(mine) != 1 {
			t.Fatal(mine, err)
		}
	}
	taken()
	for range 2 {
		if _, err := s.App.AddEntry(t.Context(), site, app.Note{Body: sootline.Note{Text: "a remark"}}); err != nil {
			t.Fatal(err)
		}
	}
	pages(func(page string) bool {
		return behind(page) && strings.Contains(page, ": 2 entries that came since are not in it yet.")
	}, "two entries")
	if page := b.get("/"); !strings.Contains(page, "Of 1 site this list does not say yet all") {
		t.Errorf("Today does not say of how many sites it is behind: %s", page)
	}
	if feed := strings.ReplaceAll(b.get("/due.ics"), "\r\n ", ""); strings.Contains(feed, "BEGIN:VEVENT") && !strings.Contains(feed, "2 entries that came since") {
		t.Errorf("the calendar does not say it: %s", feed)
	}
	now = now.Add(store.MostClaim)
	pages(func(page string) bool { return !behind(page) }, "the claim has ended, and nobody makes it anew")

	now = now.AddDate(0, 0, 1)
	taken()
	pages(func(page string) bool { return strings.Contains(page, "As of 2026-01-20 11:02 CET.") }, "a day has passed")
	now = now.Add(store.MostClaim)
	pages(func(page string) bool { return !strings.Contains(page, "As of 2026-01-20 11:02 CET.") }, "a day has passed, and nobody makes it anew")
}

// A site that nobody came to yet is in the list, and says so.
func TestListNamesWhatNobodyLookedAt(t *testing.T) {
	s := newServer(t, nil)
	site, err := s.App.AddSite(t.Context(), app.NewSite{Name: "Works"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.App.Book.ClaimSiteHeads(t.Context(), []sootline.ID{site}, today, today.Add(store.MostClaim)); err != nil {
		t.Fatal(err)
	}
	b := visit(t, s)
	for _, address := range []string{"/", "/due"} {
		if page := b.get(address); !strings.Contains(page, ">Works</a>") || !strings.Contains(page, "Not looked at yet") {
			t.Errorf("%s says %s", address, page)
		}
	}
	if feed := b.get("/due.ics"); !strings.Contains(feed, "SUMMARY:Works: what is due is not known") {
		t.Errorf("the calendar says %s", feed)
	}
}

// A list is narrowed by customer and by need, and its pages keep that.
func TestListIsNarrowed(t *testing.T) {
	s := newServer(t, nil)
	for _, name := range []string{"Mill", "Works", "Quarry"} {
		id, err := s.App.AddSite(t.Context(), app.NewSite{Name: name})
		if err == nil && name != "Quarry" {
			err = s.App.SetFacts(t.Context(), id, sootline.Opened{SiteFacts: sootline.SiteFacts{Customer: "Otter Foods"}})
		}
		if err == nil && name == "Works" {
			_, err = s.App.AddEntry(t.Context(), id, app.Note{Body: sootline.Defect{Nature: "damage", Grade: "critical", Place: "the lobby", Text: "a cover hangs"}, Sure: true})
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	b := visit(t, s)
	b.get("/") // which makes the heads
	for address, want := range map[string]string{
		"/?customer=OTTER+foods": "Works Mill", "/?needs=1": "Works", "/?q=ua": "Quarry", "/?customer=otter+foods&q=mi": "Mill", "/?q=%25": "",
	} {
		var got []string
		page := b.get(address)
		for _, part := range strings.Split(page, `<section class="card site">`)[1:] {
			_, rest, _ := strings.Cut(part, `">`)
			name, _, _ := strings.Cut(rest, "</a>")
			got = append(got, name)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s lists %v, want %s", address, got, want)
		}
	}
}
