package web

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"sootline/internal/app"
)

// A list of many sites has what is at stake first, and is shown by pages.
func TestTodayHasWhatIsAtStakeFirst(t *testing.T) {
	page := &todayPage{Sites: []siteLine{
		{Name: "quiet", Known: true},
		{Name: "unseen"},
		{Name: "due", Known: true, Due: 3},
		{Name: "overdue", Known: true, Overdue: 1},
		{Name: "dirty", Known: true, Now: []actionCount{{Count: 1}}},
		{Name: "critical", Known: true, Critical: 1},
		{Name: "damaged", Trouble: &siteTrouble{}},
	}}
	page.narrow(url.Values{})
	var order []string
	for _, line := range page.Sites {
		order = append(order, line.Name)
	}
	if got := strings.Join(order, " "); got != "damaged critical dirty overdue due quiet unseen" || page.Needing != 4 {
		t.Errorf("%s; %d need somebody", got, page.Needing)
	}
	page.narrow(url.Values{"q": {"OVER"}})
	if len(page.Sites) != 1 || page.Sites[0].Name != "overdue" {
		t.Errorf("%+v", page.Sites)
	}
}

// Two hundred sites fit pages that a phone loads at once.
func TestTodayIsSmallAtManySites(t *testing.T) {
	s := newServer(t, nil)
	for i := range 200 {
		if _, err := s.App.AddSite(t.Context(), app.NewSite{Name: fmt.Sprintf("Mill %d", i)}); err != nil {
			t.Fatal(err)
		}
	}
	page := visit(t, s).get("/")
	if len(page) > 50<<10 || !strings.Contains(page, "Page 1 of 4") || strings.Count(page, `class="card site"`) != rowsOnPage {
		t.Errorf("%d bytes, %d sites", len(page), strings.Count(page, `class="card site"`))
	}
	if page := visit(t, s).get("/?q=mill+199"); strings.Count(page, `class="card site"`) != 1 {
		t.Error("the name narrows the list to no single site")
	}
}
