package web

import (
	"strings"
	"testing"
)

// TestTodayConcludes: the next step leads to a site that needs somebody, and to none where the list is narrowed or goes on.
func TestTodayConcludes(t *testing.T) {
	sites := []siteLine{{Name: "Works", Address: "/site/1"}}
	for name, c := range map[string]struct {
		page todayPage
		says string
		next bool
	}{
		"empty":        {todayPage{}, "", false},
		"nothing":      {todayPage{All: 3, Sites: sites, paging: paging{Page: 1}}, "Nothing needs anybody now at any of 3 sites.", false},
		"behind":       {todayPage{All: 3, Behind: 1, Sites: sites, paging: paging{Page: 1}}, "Nothing needs anybody now, as far as the list is up to date.", false},
		"needing":      {todayPage{All: 3, Needing: 2, Sites: sites, paging: paging{Page: 1}}, "2 of 3 sites need somebody now.", true},
		"by name":      {todayPage{All: 3, Needing: 2, Sites: sites, paging: paging{Page: 1}, siteFilter: siteFilter{Search: "mill"}}, "2 of 3 sites need somebody now.", false},
		"of customer":  {todayPage{All: 3, Needing: 2, Sites: sites, paging: paging{Page: 1}, siteFilter: siteFilter{Customer: "Larch"}}, "2 of 3 sites need somebody now.", false},
		"another page": {todayPage{All: 99, Needing: 2, Sites: sites, paging: paging{Page: 2}}, "2 of 99 sites need somebody now.", false},
	} {
		if got := c.page.concludes(); got.Says != c.says || (got.Next != nil) != c.next {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// TestDueConcludes: the first site that can be shown is told of, and how far it is behind.
func TestDueConcludes(t *testing.T) {
	page := dueEverywherePage{Sites: []dueSite{{Name: "Broken"}, {Name: "Works", Known: true, Overdue: 2, Due: 5, Behind: "as of 2026-01-15, without 3 entries"}}}
	if got := page.concludes(); !strings.HasPrefix(got.Says, "First here, Works: 2 overdue, and 5 due") || got.Why != "As of 2026-01-15, without 3 entries." || got.Next == nil {
		t.Errorf("%+v", got)
	}
	for says, site := range map[string]dueSite{
		"Nothing is overdue, and 5 due at a visit today.": {Known: true, Due: 5}, "Nothing is due today; next due 2026-03-01.": {Known: true, Next: "2026-03-01"}, "Nothing is due.": {Known: true},
	} {
		if got := (&duePage{dueSite: site}).concludes(); got.Says != says {
			t.Errorf("%q, want %q", got.Says, says)
		}
	}
}
