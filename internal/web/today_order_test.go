package web

import (
	"fmt"
	"strings"
	"testing"

	"sootline/internal/app"
)

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
