package firm

import (
	"context"
	"fmt"
	"strings"
	"testing"
)

// openDoor answers from what the sites say, with one mistake or none.
type openDoor struct {
	w       *Marked
	texts   [][]byte
	mistake string
}

func (*openDoor) Routes() (ofSite, others []string) {
	return []string{"log", "photo"}, []string{"sites", "search"}
}

func (d *openDoor) may(p *Somebody, n int) bool {
	site := d.w.Sites[n]
	if d.mistake == "the office is not asked" && p.Sees.Sites == SitesOfOffice || d.mistake == "a leaver stays in" && p.Sees.Kind == "leaver" {
		return p.Firm == site.Firm
	}
	return p.May(Mark{What: SiteMark, Firm: site.Firm, Office: site.Office, Team: site.Team, Customer: site.Customer, Site: fmt.Sprint("site ", n+1)}, d.w.Marks)
}

func (d *openDoor) Ask(_ context.Context, p *Somebody, route string, site MarkedSite) ([]byte, error) {
	var answer []byte
	for n, other := range d.w.Sites {
		switch {
		case route == "sites" && (d.may(p, n) || d.mistake == "a total of all" && p.Sees.Kind != "stranger"):
			answer = append(answer, other.Name...)
		case route == "log" && other.ID == site.ID && d.mistake == "the refusal names it" && !d.may(p, n):
			answer = append(answer, "you may not see "+other.Name...)
		case route == "log" && other.ID == site.ID && d.may(p, n) && d.mistake != "blind":
			answer = append(answer, d.texts[n]...)
		case route == "photo" && other.ID == site.ID && d.mistake == "files by hash alone":
			answer = append(answer, d.texts[n]...)
		}
	}
	return answer, nil
}

// TestIsolated: a door that keeps to the table is quiet, and each planted mistake is found.
func TestIsolated(t *testing.T) {
	w, book := someMarked(t)
	var texts [][]byte
	for _, site := range w.Sites {
		texts = append(texts, answerOf(t, book, site))
	}
	want := len(w.People) * (2*len(w.Sites) + 2)
	if asked := w.Isolated(t.Context(), t, &openDoor{w, texts, ""}); asked != want {
		t.Errorf("%d answers, not %d", asked, want)
	}
	for mistake, found := range map[string]string{
		"the office is not asked": "as office", "a leaver stays in": "as leaver", "a total of all": "sites about", "the refusal names it": "log about",
		"files by hash alone": "photo about", "blind": "the search is blind there",
	} {
		h := &heard{}
		w.Isolated(t.Context(), h, &openDoor{w, texts, mistake})
		if !strings.Contains(strings.Join(h.said, "\n"), found) {
			t.Errorf("%s: not found; %d told", mistake, len(h.said))
		}
	}
}
