package web

import (
	"net/http"
	"strings"
	"testing"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/pgtest"
)

// withCustomer gives a server that others reach, with two sites of Other, and somebody
// bound to that customer by its name; one of the sites is spoiled before anybody looks.
func withCustomer(t *testing.T, role sootline.Role, bad func(*Server, sootline.ID)) (s *Server, b *browser, good, lost string) {
	t.Helper()
	s = newServer(t, abroad)
	var ids []sootline.ID
	for _, name := range []string{"Works", "Quarry"} {
		id, err := s.App.AddSite(t.Context(), app.NewSite{Name: name, Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126}}})
		if err == nil {
			err = s.App.SetFacts(t.Context(), id, sootline.Opened{SiteFacts: sootline.SiteFacts{Customer: "Other"}})
		}
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, id)
	}
	if err := s.App.AddPersonFor(t.Context(), "B. Bound", role, app.Scope{Bound: true, Customers: []string{"Other"}}, password); err != nil {
		t.Fatal(err)
	}
	bad(s, ids[1])
	return s, signIn(t, s, "B. Bound"), "/site/" + ids[0].String(), "/site/" + ids[1].String()
}

func cutShort(t *testing.T) func(*Server, sootline.ID) {
	return func(s *Server, id sootline.ID) {
		spoil(t, s, "UPDATE page SET lines = substr(lines, 1, length(lines)/2) WHERE site = $1", id.String())
	}
}

// A site whose customer cannot be read is among no customer's sites, and shuts out
// nobody from the others: in the pages, by a phone and by a token.
func TestCustomerOfUnreadableSite(t *testing.T) {
	pgtest.FileOnly(t)
	for name, bad := range map[string]func(*Server, sootline.ID){
		"cut short": cutShort(t),
		"no page":   unreadablePage(t),
		"bad row": func(s *Server, id sootline.ID) {
			spoil(t, s, "UPDATE site SET folded = 'query' WHERE id = $1", id.String())
		},
	} {
		t.Run(name, func(t *testing.T) {
			s, b, good, lost := withCustomer(t, sootline.Technician, bad)
			for _, address := range []string{"/", "/account", "/due", "/phones", good, "/api/v1/sites"} {
				if text := b.get(address); strings.Contains(text, strings.TrimPrefix(lost, "/site/")) || strings.Contains(text, "Quarry") {
					t.Errorf("%s tells of a site that may be another's", address)
				}
			}
			if text := b.get("/"); !strings.Contains(text, "Works") {
				t.Error("Today lacks the site that is theirs")
			}
			if res := b.do(http.MethodGet, lost, "", nil); res.StatusCode != http.StatusNotFound {
				t.Errorf("the site itself gives %d", res.StatusCode)
			}
			phone := pairPhone(t, s, b, "blue phone")
			if res := phone.do(http.MethodPost, good+"/visit/entries", `{"entries":[]}`, asJSON); res.StatusCode != http.StatusOK {
				t.Errorf("handing in gives %d: %s", res.StatusCode, read(t, res))
			}
			secret, err := s.App.AddToken(t.Context(), app.NewToken{Name: "reporting", Role: sootline.Reader, Scope: app.Scope{Bound: true, Customers: []string{"Other"}}, Until: today.AddDate(0, 1, 0)})
			if err != nil {
				t.Fatal(err)
			}
			res := visit(t, s).do(http.MethodGet, "/api/v1/sites", "", func(r *http.Request) { r.Header.Set("Authorization", "Bearer "+secret) })
			if text := read(t, res); res.StatusCode != http.StatusOK || !strings.Contains(text, "Works") {
				t.Errorf("the token gives %d: %s", res.StatusCode, text)
			}
		})
	}
}
