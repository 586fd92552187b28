package app

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/check"
	"sootline/internal/store"
)

// opening finds the entry that opened a site.
func opening(t *testing.T, a *App, site sootline.ID) sootline.ID {
	t.Helper()
	_, lines, err := a.ReadLog(t.Context(), site, LogFilter{Kinds: []sootline.Kind{sootline.OpenedKind}})
	if err != nil || len(lines) == 0 {
		t.Fatal(lines, err)
	}
	return lines[0].Entry.ID
}

// correctTo corrects an entry to say another thing.
func correctTo(a *App, t *testing.T, site, entry sootline.ID, body sootline.Body) error {
	t.Helper()
	_, err := a.Correct(t.Context(), site, Amendment{Entry: entry}, func(holds sootline.Entry) (sootline.Corrected, error) {
		c := AsItHolds(holds)
		c.Body = body
		return c, nil
	})
	return err
}

// misspelt writes a zone that nobody knows past every check, as an older book may
// hold it.
func misspelt(t *testing.T, a *App, site sootline.ID) sootline.ID {
	t.Helper()
	e := a.entry(site, a.Now(), sootline.ID{}, sootline.Opened{Zone: "Mars/Base"})
	if err := a.Book.Write(t.Context(), func(tx *store.Tx) error { return a.write(tx, site, []sootline.Entry{e}) }); err != nil {
		t.Fatal(err)
	}
	return e.ID
}

func TestUnknownZoneIsRefused(t *testing.T) {
	a, b := newApp(t, "laptop"), newApp(t, "tablet")
	site := addSite(t, a)
	for _, zone := range []string{"Mars/Base", "Local", "Europe/Pariss"} {
		bad := sootline.Opened{Name: "Works", Zone: zone}
		_, adding := a.AddSite(t.Context(), NewSite{Name: "Other", Zone: zone})
		_, noting := a.AddEntry(t.Context(), site, Note{Body: bad})
		for how, err := range map[string]error{
			"a new site": adding, "an entry": noting, "facts": a.SetFacts(t.Context(), site, bad), "a correction": correctTo(a, t, site, opening(t, a, site), bad),
		} {
			if sootline.ErrorCode(err) != sootline.Invalid {
				t.Errorf("%s takes the zone %s: %v", how, zone, err)
			}
		}
	}
	misspelt(t, a, site)
	var log bytes.Buffer
	if _, err := a.Export(t.Context(), site, &log); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Import(t.Context(), &log); sootline.ErrorCode(err) != sootline.Invalid || !strings.Contains(err.Error(), "Mars/Base") {
		t.Errorf("an import takes the zone: %v", err)
	}
	if sites, err := b.Sites(t.Context()); err != nil || len(sites) != 0 {
		t.Errorf("the refused import left %v, %v", sites, err)
	}
}

// A site whose zone is not known is read in UTC, says so, harms no other, and is
// put right by a correction.
func TestUnknownZoneIsContained(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	if _, err := a.AddSite(t.Context(), NewSite{Name: "Other", Zone: "Europe/Paris"}); err != nil {
		t.Fatal(err)
	}
	wrong := misspelt(t, a, site)
	r, findings, err := a.Check(t.Context(), site, today)
	if err != nil {
		t.Fatal(err)
	}
	if r.AsOf.Location() != time.UTC || r.Site.Zone != "" {
		t.Errorf("the site is read in %v, its zone is %q", r.AsOf.Location(), r.Site.Zone)
	}
	told := 0
	for _, f := range findings {
		if f.Code == check.ZoneUnknown && strings.Contains(f.Reason, "Mars/Base") && f.Entries[0] == wrong {
			told++
		}
	}
	if told != 1 {
		t.Errorf("%d findings tell of the zone: %v", told, findings)
	}
	if lists, err := a.DueEverywhere(t.Context(), 0); err != nil || len(lists) != 2 {
		t.Errorf("due everywhere: %d lists, %v", len(lists), err)
	}
	if err := correctTo(a, t, site, wrong, sootline.Opened{Zone: "Europe/Rome"}); err != nil {
		t.Fatal(err)
	}
	if r := register(t, a, site); r.Site.Zone != "Europe/Rome" || r.Site.ZoneDoubt() != "" {
		t.Errorf("corrected, the zone is %q: %s", r.Site.Zone, r.Site.ZoneDoubt())
	}
}

func TestOpeningEntryStays(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	first := opening(t, a, site)
	a.Now = func() time.Time { return today.Add(time.Hour) }
	if err := a.SetFacts(t.Context(), site, sootline.Opened{Name: "Old mill"}); err != nil {
		t.Fatal(err)
	}
	_, err := a.Withdraw(t.Context(), site, Amendment{Entry: first})
	for how, err := range map[string]error{
		"withdrawn": err, "without a name": correctTo(a, t, site, first, sootline.Opened{Zone: "UTC"}), "made a note": correctTo(a, t, site, first, sootline.Note{Text: "x"}),
	} {
		if sootline.ErrorCode(err) != sootline.Conflict {
			t.Errorf("the entry that opened the site is %s: %v", how, err)
		}
	}
	if correct, withdraw := a.MayAmend(t.Context(), site, first); correct != nil || withdraw == nil {
		t.Errorf("it may be corrected: %v; withdrawn: %v", correct, withdraw)
	}
	if err := correctTo(a, t, site, first, sootline.Opened{Name: "Works", Zone: "Europe/Rome"}); err != nil {
		t.Error(err)
	}
	if r := register(t, a, site); r.Site.Name != "Old mill" || r.Site.Zone != "Europe/Rome" {
		t.Errorf("the site is %q in %q", r.Site.Name, r.Site.Zone)
	}
}

// A book of a former program may hold the withdrawal; its export is no log of the
// site.
func TestImportWithoutOpeningEntry(t *testing.T) {
	a, b := newApp(t, "laptop"), newApp(t, "tablet")
	site := addSite(t, a)
	gone := a.entry(site, a.Now(), sootline.ID{}, sootline.Withdrawn{Entry: opening(t, a, site)})
	if err := a.Book.Write(t.Context(), func(tx *store.Tx) error { return a.write(tx, site, []sootline.Entry{gone}) }); err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	if _, err := a.Export(t.Context(), site, &log); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Import(t.Context(), &log); sootline.ErrorCode(err) != sootline.Invalid || !strings.Contains(err.Error(), "no name") {
		t.Errorf("an import brings a site without a name: %v", err)
	}
}

// The list of sites calls a site what its log calls it.
func TestCorrectedNameIsFollowed(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	if _, err := a.AddSite(t.Context(), NewSite{Name: "Mill"}); err != nil {
		t.Fatal(err)
	}
	first := opening(t, a, site)
	named := func(want string) {
		t.Helper()
		if lines, err := a.Book.SitesNamed(t.Context(), want); err != nil || len(lines) != 1 || lines[0].ID != site {
			t.Errorf("the site named %q: %v, %v", want, lines, err)
		}
	}
	_, err := a.AddEntry(t.Context(), site, Note{Body: sootline.Opened{Name: "mill"}})
	for how, err := range map[string]error{"a correction": correctTo(a, t, site, first, sootline.Opened{Name: "MILL"}), "an entry": err} {
		if sootline.ErrorCode(err) != sootline.Conflict {
			t.Errorf("%s gives it another site's name: %v", how, err)
		}
	}
	named("Works")
	if err := correctTo(a, t, site, first, sootline.Opened{Name: "Dairy"}); err != nil {
		t.Fatal(err)
	}
	named("Dairy")
	a.Now = func() time.Time { return today.Add(time.Hour) }
	_, lines, err := a.ReadLog(t.Context(), site, LogFilter{Kinds: []sootline.Kind{sootline.CorrectedKind}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.Withdraw(t.Context(), site, Amendment{Entry: lines[0].Entry.ID}); err != nil {
		t.Fatal(err)
	}
	named("Works")
}
