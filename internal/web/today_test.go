package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
)

// Today tells of more sites than are kept folded, and of each what arrived since
// it was said to have been seen.
func TestManySites(t *testing.T) {
	now := today
	s := newServer(t, func(c *Config) { c.App.Now = func() time.Time { return now } })
	ctx := context.Background()
	var first sootline.ID
	for i := range 40 + 8 {
		id, err := s.App.AddSite(ctx, app.NewSite{Name: fmt.Sprint("Works ", i)})
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = id
		}
	}
	b := visit(t, s)
	for page, tries := b.get("/"), 0; strings.Contains(page, "Not looked at yet"); page = b.get("/") {
		if tries++; tries > 20 {
			t.Fatal("some sites are never looked at")
		}
	}
	if s.surveys.bytes > mostSurveyed {
		t.Errorf("surveys take %d bytes, want at most %d", s.surveys.bytes, mostSurveyed)
	}
	now = now.Add(time.Hour)
	if res := b.post("/seen", url.Values{}); res.StatusCode != http.StatusSeeOther {
		t.Fatal(res.StatusCode)
	}
	if page := b.get("/"); strings.Contains(page, "Arrived since") {
		t.Error("what was seen is shown as new")
	}
	now = now.Add(time.Minute)
	for i := range 5 + 2 {
		if _, err := s.App.AddEntry(ctx, first, app.Note{Body: sootline.Note{Text: fmt.Sprint("remark ", i)}}); err != nil {
			t.Fatal(err)
		}
	}
	page := b.get("/")
	if strings.Count(page, "remark ") != 5 || !strings.Contains(page, "and 2 entries more") || strings.Count(page, "Arrived since") != 1 {
		t.Errorf("Today does not tell of what arrived:\n%s", page)
	}
}
