package store

import (
	"fmt"
	"testing"
	"time"

	"sootline"
	"sootline/internal/pgtest"
)

var headNoon = time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC)

// headOf gives the head of a site, which must be there.
func headOf(t *testing.T, s *Store, site sootline.ID) HeadLine {
	t.Helper()
	line, err := s.HeadOf(t.Context(), site)
	if err != nil || line == nil {
		t.Fatal(line, err)
	}
	return *line
}

// A write counts in the row of its site, which so says that its head is behind; a head of
// less, or of before, does not take the place of one of more.
func TestWriteMarksHeadBehind(t *testing.T) {
	s, site := open(t, pgtest.Book(t)), siteID("works")
	add(t, s, readings(site, "laptop", 0, 10))
	line := headOf(t, s, site)
	if line.Entries != 10 || line.Stations != 1 || line.Last.IsZero() || line.Held != -1 || line.Behind() != 10 || line.Current(headNoon) {
		t.Fatalf("never made: %+v", line)
	}
	put := func(held, overdue int, made time.Time) {
		t.Helper()
		head := SiteHead{Held: held, Made: made, Until: headNoon.Add(12 * time.Hour), SiteCounts: SiteCounts{Overdue: overdue}, Customer: "Otter  Foods"}
		if err := s.PutSiteHeads(t.Context(), map[sootline.ID]SiteHead{site: head}); err != nil {
			t.Fatal(err)
		}
	}
	put(10, 1, headNoon)
	if line = headOf(t, s, site); !line.Current(headNoon) || line.Overdue != 1 || line.Current(headNoon.Add(13*time.Hour)) {
		t.Fatalf("made of all: %+v", line)
	}
	add(t, s, readings(site, "laptop", 10, 5))
	if line = headOf(t, s, site); line.Behind() != 5 || line.Current(headNoon) {
		t.Fatalf("5 more: %+v", line)
	}
	put(9, 7, headNoon.Add(time.Minute))
	put(10, 7, headNoon.Add(-time.Minute))
	if line = headOf(t, s, site); line.Overdue != 1 {
		t.Errorf("a head of less or of before was taken: %+v", line)
	}
	put(15, 2, headNoon.Add(-time.Minute))
	if line = headOf(t, s, site); line.Overdue != 2 || line.Behind() != 0 {
		t.Errorf("a head of more was not taken: %+v", line)
	}
}

// Who claims a head has it alone, until the claim ends.
func TestHeadIsClaimedOnce(t *testing.T) {
	s, site := open(t, pgtest.Book(t)), siteID("works")
	add(t, s, readings(site, "laptop", 0, 1))
	claim := func(at time.Time) int {
		t.Helper()
		mine, err := s.ClaimSiteHeads(t.Context(), []sootline.ID{site}, at, at.Add(MostClaim))
		if err != nil {
			t.Fatal(err)
		}
		return len(mine)
	}
	if claim(headNoon) != 1 || claim(headNoon.Add(time.Minute)) != 0 {
		t.Error("two have it")
	}
	if lines, err := s.BehindHeads(t.Context(), headNoon.Add(time.Minute), 10); err != nil || len(lines) != 0 {
		t.Error("what is claimed is offered", lines, err)
	}
	if lines, err := s.BehindHeads(t.Context(), headNoon.Add(3*time.Minute), 10); err != nil || len(lines) != 1 {
		t.Error("what a dead one claimed is never offered again", lines, err)
	}
	if claim(headNoon.Add(3*time.Minute)) != 1 {
		t.Error("what a dead one claimed is never given again")
	}
}

// A list is narrowed by words, customer, need and sites, and comes in the order asked for.
func TestSiteHeadsAreListed(t *testing.T) {
	s := open(t, pgtest.Book(t))
	heads := map[sootline.ID]SiteHead{}
	var all []sootline.ID
	for i, name := range []string{"Mill 100%", "Mill 1000", "Quarry_1", "Quarry11", "Works"} {
		id := siteID(name)
		err := s.Write(t.Context(), func(tx *Tx) error { return tx.PutSite(id, name) })
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, id)
		heads[id] = SiteHead{Made: headNoon, Until: headNoon.Add(time.Hour), Stake: i, Needs: i > 2, Customer: fmt.Sprint("Customer ", i%2), Noted: headNoon.Add(time.Duration(i) * time.Minute), SiteCounts: SiteCounts{NextDue: sootline.Day(100 - 10*i)}}
	}
	if err := s.PutSiteHeads(t.Context(), heads); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		q    HeadList
		want string
	}{
		{HeadList{}, "[Works Quarry11 Quarry_1 Mill 1000 Mill 100%]"},
		{HeadList{Skip: 1, Most: 2}, "[Quarry11 Quarry_1]"},
		{HeadList{ByTurn: true, Most: 2}, "[Works Quarry11]"},
		{HeadList{Words: []string{"MILL"}}, "[Mill 1000 Mill 100%]"},
		{HeadList{Words: []string{"100%"}}, "[Mill 100%]"},
		{HeadList{Words: []string{"quarry_"}}, "[Quarry_1]"},
		{HeadList{Customer: "customer 1"}, "[Quarry11 Mill 1000]"},
		{HeadList{Needs: true}, "[Works Quarry11]"},
		{HeadList{Bound: true, Sites: all[:2]}, "[Mill 1000 Mill 100%]"},
		{HeadList{Bound: true}, "[]"},
	} {
		if c.q.Most == 0 {
			c.q.Most = 10
		}
		lines, err := s.SiteHeads(t.Context(), c.q)
		if err != nil {
			t.Fatal(err)
		}
		names := []string{}
		for _, line := range lines {
			names = append(names, line.Name)
		}
		if got := fmt.Sprint(names); got != c.want {
			t.Errorf("%+v gives %s, want %s", c.q, got, c.want)
		}
	}
	if n, err := s.CountSiteHeads(t.Context(), HeadList{}, headNoon); err != nil || n != (HeadCounts{All: 5, Needing: 2}) {
		t.Errorf("%+v, %v", n, err)
	}
	if n, err := s.CountSiteHeads(t.Context(), HeadList{Bound: true, Sites: all[:3]}, headNoon.Add(2*time.Hour)); err != nil || n != (HeadCounts{All: 3, Behind: 3}) {
		t.Errorf("%+v, %v", n, err)
	}
	for since, want := range map[time.Duration]bool{3 * time.Minute: true, 4 * time.Minute: false} {
		if got, err := s.NotedSince(t.Context(), HeadList{}, headNoon.Add(since)); err != nil || got != want {
			t.Errorf("since %v: %v, %v", since, got, err)
		}
	}
	sites, unsure, err := s.CustomerSites(t.Context(), []string{"CUSTOMER 0"}, headNoon)
	if err != nil || len(sites) != 3 || len(unsure) != 0 {
		t.Errorf("%v %v %v", sites, unsure, err)
	}
}

// A book of the version before rows of sites has them when it is opened, with what its
// index counts.
func TestOpensBookWithoutHeads(t *testing.T) {
	pgtest.FileOnly(t)
	path := pgtest.Book(t)
	s, site := open(t, path), siteID("works")
	add(t, s, readings(site, "laptop", 0, 40))
	add(t, s, readings(site, "phone", 0, 2))
	if err := s.Write(t.Context(), func(tx *Tx) error { return tx.PutSite(siteID("mill"), "Mill") }); err != nil {
		t.Fatal(err)
	}
	if _, err := s.write.Exec("DROP TABLE site_head; DROP TABLE site_said; PRAGMA user_version = 9"); err != nil {
		t.Fatal(err)
	}
	s = open(t, path)
	check(t, s)
	lines, err := s.Sites(t.Context())
	if err != nil || len(lines) != 2 || lines[1].Entries != 42 || lines[1].Stations != 2 || lines[0].Entries != 0 {
		t.Fatalf("%+v, %v", lines, err)
	}
	if behind, err := s.BehindHeads(t.Context(), headNoon, 10); err != nil || len(behind) != 2 {
		t.Errorf("%+v, %v", behind, err)
	}
}
