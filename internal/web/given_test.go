package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
)

// clocked is abroad, with a clock that can be set.
func clocked(t *testing.T) (s *Server, site string, set func(time.Time)) {
	t.Helper()
	now := today
	s, site = withDemo(t, func(c *Config) { abroad(c); c.App.Now = func() time.Time { return now } })
	return s, site, func(at time.Time) { now = at }
}

// bearing is a program that shows a token.
func bearing(token string) func(*http.Request) {
	return func(r *http.Request) {
		r.Header.Set("Authorization", "Bearer "+token)
		r.Header.Set("Content-Type", "application/json")
	}
}

// makeToken makes a token on the page People, and gives it.
func makeToken(t *testing.T, manager *browser, form url.Values) string {
	t.Helper()
	page := read(t, manager.post("/people/token", form))
	token := regexp.MustCompile(`sootline_[\w-]{27}`).FindString(page)
	if token == "" {
		t.Fatalf("no token is shown: %s", sentenceIn(page))
	}
	return token
}

// TestTokens: a program reads and writes by its token, in its own name, on the API alone,
// and is out at once when the token is removed, has ended, or its maker went.
func TestTokens(t *testing.T) {
	s, site, set := clocked(t)
	manager := signIn(t, s, "M. Manager")
	root := api.Root + "/sites/" + strings.TrimPrefix(site, "/site/")
	until := today.AddDate(0, 1, 0).Format(time.DateOnly)
	token := func(name, role string) string {
		return makeToken(t, manager, url.Values{"name": {name}, "role": {role}, "until": {until}})
	}
	reads := func(token string) int { return visit(t, s).do(http.MethodGet, root, "", bearing(token)).StatusCode }
	writes := func(token string) int {
		return visit(t, s).do(http.MethodPost, root+"/log", `{"id":"`+s.newID()+`","kind":"note","body":{"text":"by a program"}}`, bearing(token)).StatusCode
	}
	reader, writer := token("night report", "reader"), token("gateway", "technician")
	if got := [4]int{reads(reader), writes(reader), reads(writer), writes(writer)}; got != [4]int{200, 403, 200, 200} {
		t.Errorf("reading and writing give %d", got)
	}
	if by := logOf(t, s); by[len(by)-1].By != "gateway" {
		t.Errorf("it was written by %s", by[len(by)-1].By)
	}
	if page := manager.get("/people"); strings.Contains(page, writer) || !strings.Contains(page, "gateway") {
		t.Error("the list does not hold the name alone")
	}
	for _, address := range []string{"/", site, "/due.ics", "/account"} {
		if res := visit(t, s).do(http.MethodGet, address, "", bearing(reader)); res.StatusCode == http.StatusOK {
			t.Errorf("%s opens to a token", address)
		}
	}
	for _, wrong := range []string{"sootline_" + strings.Repeat("A", 27), "", reader + "x"} {
		res := manager.do(http.MethodGet, root, "", bearing(wrong)) // also with a manager's cookie beside it
		if res.StatusCode != http.StatusUnauthorized {
			t.Errorf("the token %q gives %d", wrong, res.StatusCode)
		}
	}
	for method, address := range map[string]string{"POST": "/account/sign-out", "DELETE": "/account/sessions/x"} {
		if res := visit(t, s).do(method, api.Root+address, "", bearing(writer)); res.StatusCode != http.StatusForbidden {
			t.Errorf("%s gives a program %d", address, res.StatusCode)
		}
	}
	manager.post("/people/token", url.Values{"do": {"remove"}, "name": {"Gateway"}})
	if got := reads(writer); got != http.StatusUnauthorized {
		t.Errorf("a token that was removed gives %d", got)
	}
	set(today.AddDate(0, 1, 2))
	if got := reads(reader); got != http.StatusUnauthorized {
		t.Errorf("a token that has ended gives %d", got)
	}
	set(today)
	if got := reads(reader); got != http.StatusOK {
		t.Fatal(got)
	}
	if err := s.App.AddPerson(t.Context(), "O. Other", sootline.Manager, password); err != nil {
		t.Fatal(err)
	}
	if err := s.App.RemovePerson(t.Context(), "M. Manager"); err != nil {
		t.Fatal(err)
	}
	if got := reads(reader); got != http.StatusUnauthorized {
		t.Errorf("a token whose maker was removed gives %d", got)
	}
	events, _, err := s.App.SecurityEvents(t.Context(), 0, 50)
	if text := fmt.Sprint(events); err != nil || !strings.Contains(text, "token added") || !strings.Contains(text, "token removed") {
		t.Errorf("the journal: %s, %v", text, err)
	}
}

// TestTokensRefused: no token without an end within a year, as a manager, or under a
// name that entries go by already; and a bound one sees its sites alone.
func TestTokensRefused(t *testing.T) {
	s, site, _ := clocked(t)
	add := func(name string, role sootline.Role, until time.Time) error {
		_, err := s.App.AddToken(t.Context(), app.NewToken{Name: name, Role: role, Until: until})
		return err
	}
	soon := today.AddDate(0, 1, 0)
	for what, err := range map[string]error{
		"a manager": add("a", sootline.Manager, soon), "a customer": add("a", sootline.Customer, soon), "two years": add("a", sootline.Reader, today.AddDate(2, 0, 0)),
		"no end": add("a", sootline.Reader, time.Time{}), "a person's name": add("t. tech", sootline.Reader, soon), "no name": add(" ", sootline.Reader, soon),
	} {
		if err == nil {
			t.Errorf("a token of %s is made", what)
		}
	}
	if err := add("gateway", sootline.Reader, soon); err != nil {
		t.Fatal(err)
	}
	if err := s.App.AddPerson(t.Context(), "Gateway", sootline.Reader, password); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("a person under a token's name: %v", err)
	}
	bound, err := s.App.AddToken(t.Context(), app.NewToken{Name: "bound", Role: sootline.Technician, Scope: app.Scope{Bound: true}, Until: soon})
	if err != nil {
		t.Fatal(err)
	}
	if res := visit(t, s).do(http.MethodGet, api.Root+"/sites/"+strings.TrimPrefix(site, "/site/"), "", bearing(bound)); res.StatusCode != http.StatusNotFound {
		t.Errorf("a site outside gives %d", res.StatusCode)
	}
}

// TestOpenBookAndTokens: at the machine itself, where nobody signs in, a token that
// opens nothing is still refused.
func TestOpenBookAndTokens(t *testing.T) {
	s, site := withDemo(t, nil)
	res := visit(t, s).do(http.MethodGet, api.Root+"/sites/"+strings.TrimPrefix(site, "/site/"), "", bearing("sootline_no"))
	if res.StatusCode != http.StatusUnauthorized {
		t.Errorf("it gives %d", res.StatusCode)
	}
}

// TestInvitation: who is asked in chooses a password at an address that is good once,
// for seven days, and as long as whoever asked may ask.
func TestInvitation(t *testing.T) {
	s, site, set := clocked(t)
	var log bytes.Buffer
	s.Log = &log
	manager := signIn(t, s, "M. Manager")
	invite := func(name string) string {
		page := read(t, manager.post("/people/invite", url.Values{"name": {name}, "role": {"customer"}, "which": {"some"}, "site": {strings.TrimPrefix(site, "/site/")}}))
		found := regexp.MustCompile(`https://[^/]+(/welcome/[\w-]{27})<`).FindStringSubmatch(page)
		if found == nil {
			t.Fatalf("no address is shown: %s", sentenceIn(page))
		}
		return found[1]
	}
	const word = "nine brass ladders lean"
	come := func(address string) (*browser, int) {
		b := visit(t, s)
		return b, b.post(address, url.Values{"password": {word}, "again": {word}}).StatusCode
	}
	first, second := invite("C. Client"), invite("c. client")
	if _, got := come(first); got != http.StatusNotFound {
		t.Errorf("the first of two addresses gives %d", got)
	}
	if page := visit(t, s).get(second); !strings.Contains(page, "c. client") || !strings.Contains(page, "customer") {
		t.Error("the page does not say as whom")
	}
	if res := visit(t, s).post(second, url.Values{"password": {"short"}, "again": {"short"}}); res.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a short password gives %d", res.StatusCode)
	}
	guest, got := come(second)
	if got != http.StatusSeeOther || guest.get(site) == "" {
		t.Errorf("coming in gives %d", got)
	}
	if res := guest.do(http.MethodGet, "/people", "", nil); res.StatusCode != http.StatusForbidden {
		t.Errorf("People gives a customer %d", res.StatusCode)
	}
	if _, got := come(second); got != http.StatusNotFound {
		t.Errorf("a second time gives %d", got)
	}
	late, back, ended := invite("L. Late"), invite("B. Back"), invite("E. Ended")
	manager.post("/people/invite", url.Values{"do": {"back"}, "name": {"B. Back"}})
	if _, got := come(back); got != http.StatusNotFound {
		t.Errorf("one that was taken back gives %d", got)
	}
	set(today.Add(app.InvitationStands))
	if _, got := come(late); got != http.StatusNotFound {
		t.Errorf("after seven days it gives %d", got)
	}
	set(today)
	if err := s.App.ChangePassword(t.Context(), "M. Manager", word); err != nil {
		t.Fatal(err)
	}
	if _, got := come(ended); got != http.StatusNotFound {
		t.Errorf("after whoever asked has another password, it gives %d", got)
	}
	events, _, err := s.App.SecurityEvents(t.Context(), 0, 50)
	for _, what := range []string{"person invited", "invitation taken up", "invitation taken back"} {
		if text := fmt.Sprint(events); err != nil || !strings.Contains(text, what) {
			t.Errorf("the journal lacks %q: %v", what, err)
		}
	}
	if strings.Contains(log.String(), second) || !strings.Contains(log.String(), "/welcome/…") {
		t.Error("the log of requests tells the key")
	}
}

// TestOwnPhones: each phone and calendar address of one's own is ended on the account.
func TestOwnPhones(t *testing.T) {
	s, site, _ := clocked(t)
	laptop := signIn(t, s, "T. Tech")
	phone := pairPhone(t, s, laptop, "blue phone")
	laptop.post("/due/calendar", url.Values{"site": {strings.TrimPrefix(site, "/site/")}})
	page := laptop.get("/account")
	stations := regexp.MustCompile(`name="station" value="(p-\w+)"`).FindAllStringSubmatch(page, -1)
	if len(stations) != 2 || !strings.Contains(page, "reads due dates of "+surveyOf(t, s).Register.Site.Name) {
		t.Fatalf("%d are listed", len(stations))
	}
	if phone.get(site) == "" {
		t.Fatal("the phone opens nothing")
	}
	for _, station := range stations {
		if res := laptop.post("/account", url.Values{"do": {"phone-off"}, "station": {station[1]}}); res.StatusCode != http.StatusSeeOther {
			t.Errorf("ending %s gives %d", station[1], res.StatusCode)
		}
	}
	if res := phone.do(http.MethodGet, site, "", nil); res.StatusCode == http.StatusOK {
		t.Error("the phone still opens the site")
	}
}
