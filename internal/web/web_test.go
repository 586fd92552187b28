package web

import (
	"context"
	"crypto/rand"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/pgtest"
	"sootline/internal/store"
)

var today = time.Date(2026, 1, 20, 10, 0, 0, 0, time.UTC)

const password = "seven quiet lanterns"

// newServer puts the application together over a book of its own.
func newServer(t testing.TB, change func(*Config)) *Server {
	t.Helper()
	book, err := store.Open(context.Background(), pgtest.Book(t), true, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	c := Config{
		App: &app.App{
			Book: book, Who: sootline.Actor{Name: "L. Local", Role: sootline.Manager, Station: "laptop"}, Now: func() time.Time { return today },
			Random: func() (r [10]byte) { rand.Read(r[:]); return r }, Heard: filepath.Join(t.TempDir(), "heard"),
		},
		Loopback: true, Zone: time.UTC, DemoFolder: filepath.Join(t.TempDir(), "demo"), Uploads: t.TempDir(), Log: io.Discard,
	}
	if change != nil {
		change(&c)
	}
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// browser is somebody who asks, with the cookies that were given.
type browser struct {
	t       testing.TB
	s       *Server
	cookies map[string]*http.Cookie
}

func visit(t testing.TB, s *Server) *browser {
	return &browser{t: t, s: s, cookies: map[string]*http.Cookie{}}
}

func (b *browser) do(method, address, body string, change func(*http.Request)) *http.Response {
	b.t.Helper()
	r := httptest.NewRequest(method, "http://127.0.0.1:8344"+address, strings.NewReader(body))
	if body != "" {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for _, c := range b.cookies {
		r.AddCookie(c)
	}
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	b.s.ServeHTTP(w, r)
	res := w.Result()
	for _, c := range res.Cookies() {
		b.cookies[c.Name] = c
	}
	return res
}

func (b *browser) get(address string) string {
	b.t.Helper()
	res := b.do(http.MethodGet, address, "", nil)
	text := read(b.t, res)
	if res.StatusCode != http.StatusOK {
		b.t.Fatalf("GET %s gives %d:\n%s", address, res.StatusCode, text)
	}
	return text
}

func (b *browser) post(address string, form url.Values) *http.Response {
	b.t.Helper()
	return b.do(http.MethodPost, address, form.Encode(), nil)
}

func read(t testing.TB, res *http.Response) string {
	t.Helper()
	text, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// withDemo gives a server whose book holds the demo, and the address of its site.
func withDemo(t testing.TB, change func(*Config)) (*Server, string) {
	t.Helper()
	s := newServer(t, change)
	if _, err := s.App.MakeDemo(context.Background(), s.DemoFolder, demoSeed, today.Truncate(24*time.Hour)); err != nil {
		t.Fatal(err)
	}
	lines, err := s.App.Sites(context.Background())
	if err != nil || len(lines) != 1 {
		t.Fatal(lines, err)
	}
	return s, "/site/" + lines[0].ID.String()
}

// surveyOf gives the survey behind a site's pages.
func surveyOf(t testing.TB, s *Server) *app.Survey {
	t.Helper()
	lines, err := s.App.Sites(context.Background())
	if err != nil || len(lines) != 1 {
		t.Fatal(lines, err)
	}
	survey, _, err := s.surveys.of(context.Background(), lines[0])
	if err != nil {
		t.Fatal(err)
	}
	return survey
}

func field(t testing.TB, page, name string) string {
	t.Helper()
	found := regexp.MustCompile(`name="` + name + `" value="([^"]*)"`).FindStringSubmatch(page)
	if found == nil {
		t.Fatalf("the page has no field %s", name)
	}
	return found[1]
}

// abroad is a server that others reach, with one person of each role.
func abroad(c *Config) {
	c.Loopback, c.TLS = false, true
	for name, role := range map[string]sootline.Role{"T. Tech": sootline.Technician, "M. Manager": sootline.Manager} {
		if err := c.App.AddPerson(context.Background(), name, role, password); err != nil {
			panic(err)
		}
	}
}

func signIn(t testing.TB, s *Server, name string) *browser {
	t.Helper()
	b := visit(t, s)
	res := b.post("/sign-in", url.Values{"name": {name}, "password": {password}, "next": {"/"}})
	if res.StatusCode != http.StatusSeeOther {
		t.Fatalf("signing in as %s gives %d", name, res.StatusCode)
	}
	return b
}

// routeCall is a request to a route, and the status that each role gets.
type routeCall struct {
	address string
	body    func() string
	want    [3]int // stranger, technician, manager
}

// aDesign is a design as its form hands it in.
const aDesign = "table=area%2Cfloor%2Cm2%2CSnoddle%0ATest+wing%2C0%2C90%2C4%0A&spare=20"

// routeCalls has a line for every route.
func routeCalls(t *testing.T, s *Server, site string) map[string]routeCall {
	t.Helper()
	survey := surveyOf(t, s)
	point := pointAddress(survey, survey.Register.Points()[0])
	defect := site + "/defect/" + survey.Register.Defects()[0].ID.String()
	facts := anEntry(t, s, site, sootline.AreaKind, sootline.SheetKind)
	entry := func() string {
		return url.Values{"id": {s.newID()}, "kind": {"note"}, "text": {"seen"}}.Encode()
	}
	const ok, to, denied, unknown, missing, wrong, changed = http.StatusOK, http.StatusSeeOther, http.StatusForbidden, http.StatusUnauthorized, http.StatusNotFound, http.StatusUnprocessableEntity, http.StatusConflict
	return map[string]routeCall{
		"GET /{$}":                                     {"/", nil, [3]int{to, ok, ok}},
		"POST /demo":                                   {"/demo", nil, [3]int{unknown, denied, to}},
		"POST /seen":                                   {"/seen", nil, [3]int{unknown, to, to}},
		"GET /site/{site}":                             {site, nil, [3]int{to, ok, ok}},
		"GET /site/{site}/loop":                        {site + "/loop", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/points":                      {site + "/points?q=smoke&sort=value&way=down", nil, [3]int{to, ok, ok}},
		"GET /sites/add":                               {"/sites/add", nil, [3]int{to, denied, ok}},
		"POST /sites/add":                              {"/sites/add", func() string { return "name=&id=" + s.newID() }, [3]int{unknown, denied, wrong}},
		"GET /find":                                    {"/find?q=smoke", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/points":                     {site + "/points", func() string { return "do=describe&zone=9&id=" + s.newID() }, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/points/add":                  {site + "/points/add", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/points/add":                 {site + "/points/add", func() string { return "loop=1.1&id=" + s.newID() }, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/undo":                       {site + "/undo", func() string { return "deed=" + s.newID() + "&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/point/{point}/place":         {point + "/place?do=move", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/point/{point}/place":        {point + "/place", func() string { return "do=move&loop=9.9&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/settings/rules":              {site + "/settings/rules", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/rules":             {site + "/settings/rules", func() string { return "rules=none&id=" + s.newID() }, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/questions":                   {site + "/questions", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/questions/{key}":            {site + "/questions/nosuch", func() string { return "answer=no&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/point/{point}":               {point, nil, [3]int{to, ok, ok}},
		"GET /site/{site}/defects":                     {site + "/defects?added=x&point=1.2.003", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/defects":                    {site + "/defects", entry, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/defect/{defect}":             {defect, nil, [3]int{to, ok, ok}},
		"POST /site/{site}/defect/{defect}":            {defect, entry, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/point/{point}":              {point, entry, [3]int{unknown, to, to}},
		"GET /site/{site}/intake":                      {site + "/intake", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/intake":                     {site + "/intake", nil, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/intake/{intake}":             {site + "/intake/" + s.newID(), nil, [3]int{to, missing, missing}},
		"POST /site/{site}/intake/{intake}":            {site + "/intake/" + s.newID(), func() string { return "do=take" }, [3]int{unknown, missing, missing}},
		"POST /site/{site}/intake/undo":                {site + "/intake/undo", func() string { return "take=" + s.newID() }, [3]int{unknown, missing, missing}},
		"POST /site/{site}/settings/alias":             {site + "/settings/alias", func() string { return "of=type&said=lark&means=Larch&sure=1" }, [3]int{unknown, to, to}},
		"GET /site/{site}/intake/{intake}/left/{file}": {site + "/intake/" + s.newID() + "/left/x.csv", nil, [3]int{to, missing, missing}},
		"GET /site/{site}/numbers":                     {site + "/numbers", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/numbers/plan":                {site + "/numbers/plan", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/numbers/plan":               {site + "/numbers/plan", func() string { return "shown=nothing&id=" + s.newID() }, [3]int{unknown, changed, changed}},
		"POST /site/{site}/numbers/plan/undo":          {site + "/numbers/plan/undo", func() string { return "shown=nothing&id=" + s.newID() }, [3]int{unknown, changed, changed}},
		"POST /site/{site}/point/{point}/replace":      {point + "/replace", func() string { return "read=x&id=" + s.newID() }, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/point/{point}/device":       {point + "/device", func() string { return "act=found&other=blink%3Doff&sure=1&id=" + s.newID() }, [3]int{unknown, to, to}},
		"GET /site/{site}/settings/wanted":             {site + "/settings/wanted", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/wanted":            {site + "/settings/wanted", func() string { return "area=Bakery&settings=blink%3Doff&sure=1&id=" + s.newID() }, [3]int{unknown, to, to}},
		"GET /site/{site}/numbers/order":               {site + "/numbers/order", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/numbers/order":              {site + "/numbers/order", func() string { return "id=" + s.newID() }, [3]int{unknown, changed, changed}},
		"GET /site/{site}/numbers/cards":               {site + "/numbers/cards", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/numbers/found":               {site + "/numbers/found", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/numbers/found":              {site + "/numbers/found", nil, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/numbers/found/{list}":       {site + "/numbers/found/" + s.newID(), nil, [3]int{unknown, missing, missing}},
		"GET /site/{site}/bench":                       {site + "/bench", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/bench":                      {site + "/bench", nil, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/bench/{run}":                 {site + "/bench/" + s.newID(), nil, [3]int{to, ok, ok}},
		"POST /site/{site}/bench/{run}":                {site + "/bench/" + s.newID(), func() string { return `{"act":"undo"}` }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/bench/{run}/pack":            {site + "/bench/" + s.newID() + "/pack", nil, [3]int{to, missing, missing}},
		"GET /bench":                                   {"/bench", nil, [3]int{ok, ok, ok}},
		"GET /site/{site}/settings":                    {site + "/settings", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings":                   {site + "/settings", entry, [3]int{unknown, denied, to}},
		"GET /site/{site}/settings/loop":               {site + "/settings/loop", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/loop":              {site + "/settings/loop", entry, [3]int{unknown, denied, wrong}},
		"POST /site/{site}/settings/supply":            {site + "/settings/supply", entry, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/settings/loads":              {site + "/settings/loads", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/loads":             {site + "/settings/loads", entry, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/settings/area":               {site + "/settings/area", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/area":              {site + "/settings/area", entry, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/settings/how":                {site + "/settings/how", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/how":               {site + "/settings/how", entry, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/settings/type":               {site + "/settings/type", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/settings/type":              {site + "/settings/type", entry, [3]int{unknown, denied, wrong}},
		"GET /people":                                  {"/people", nil, [3]int{to, denied, ok}},
		"POST /people":                                 {"/people", func() string { return "name=X&role=technician" }, [3]int{unknown, denied, wrong}},
		"POST /people/invite":                          {"/people/invite", func() string { return "name=I.+Invited&role=reader" }, [3]int{unknown, denied, ok}},
		"POST /people/token":                           {"/people/token", func() string { return "name=none&do=remove" }, [3]int{unknown, denied, missing}},
		"GET /welcome/{key}":                           {"/welcome/none", nil, [3]int{missing, missing, missing}},
		"POST /welcome/{key}":                          {"/welcome/none", func() string { return "password=a&again=a" }, [3]int{missing, missing, missing}},
		"POST /account/passkey/begin":                  {"/account/passkey/begin", func() string { return "present=wrong" }, [3]int{unknown, wrong, wrong}},
		"POST /account/passkey":                        {"/account/passkey", func() string { return "{}" }, [3]int{unknown, wrong, wrong}},
		"POST /sign-in/passkey/begin":                  {"/sign-in/passkey/begin", nil, [3]int{wrong, wrong, wrong}},
		"POST /sign-in/passkey":                        {"/sign-in/passkey", func() string { return "{}" }, [3]int{wrong, wrong, wrong}},
		"POST /people/change":                          {"/people/change", func() string { return "name=nobody&do=remove" }, [3]int{unknown, denied, missing}},
		"GET /people/journal":                          {"/people/journal", nil, [3]int{to, denied, ok}},
		"GET /people/journal/{format}":                 {"/people/journal/csv", nil, [3]int{to, denied, ok}},
		"GET /backups":                                 {"/backups", nil, [3]int{to, denied, ok}},
		"GET /account":                                 {"/account", nil, [3]int{to, ok, ok}},
		"POST /account":                                {"/account", func() string { return "do=password&password=a&again=b" }, [3]int{unknown, wrong, wrong}},
		"GET /sign-in":                                 {"/sign-in", nil, [3]int{ok, ok, ok}},
		"POST /sign-in":                                {"/sign-in", func() string { return "name=nobody&password=wrong" }, [3]int{422, 422, 422}},
		"POST /look":                                   {"/look", func() string { return "look=dark&back=/" }, [3]int{to, to, to}},
		"GET /static/{file}":                           {"/static/sootline.css", nil, [3]int{ok, ok, ok}},
		"GET /healthz":                                 {"/healthz", nil, [3]int{ok, ok, ok}},
		"GET /metrics":                                 {"/metrics", nil, [3]int{missing, missing, ok}},
		"/":                                            {"/nowhere", nil, [3]int{missing, missing, missing}},
		"POST /sign-out":                               {"/sign-out", nil, [3]int{to, to, to}},
		"GET /site/{site}/power":                       {site + "/power?sort=margin&add=2&type=Snoddle", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/power/advice":                {site + "/power/advice", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/power/find":                  {site + "/power/find", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/power/lead":                  {site + "/power/lead?says=open", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/power/lead":                 {site + "/power/lead", func() string { return "panel=says+open&id=" + s.newID() }, [3]int{unknown, wrong, wrong}},
		"GET /site/{site}/power/design":                {site + "/power/design?" + aDesign, nil, [3]int{to, ok, ok}},
		"POST /site/{site}/power/design":               {site + "/power/design", func() string { return aDesign + "&id=" + s.newID() }, [3]int{unknown, denied, to}},
		"GET /site/{site}/listening":                   {site + "/listening", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/listening":                  {site + "/listening", func() string { return "name=printer&via=none&address=x&id=" + s.newID() }, [3]int{unknown, denied, wrong}},
		"GET /site/{site}/listening/{source}":          {site + "/listening/printer", nil, [3]int{to, missing, missing}},
		"POST /site/{site}/listening/{source}":         {site + "/listening/printer", func() string { return "do=back&id=" + s.newID() }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/battery":                     {site + "/battery", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/log":                         {site + "/log?kind=cleaned&from=2025-01-01", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/log":                        {site + "/log", entry, [3]int{unknown, to, to}},
		"GET /site/{site}/log/verify":                  {site + "/log/verify", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/log/export":                  {site + "/log/export", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/log/readable":                {site + "/log/readable", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/log/{entry}":                 {facts, nil, [3]int{to, ok, ok}},
		"POST /site/{site}/log/{entry}":                {facts, func() string { return "do=withdraw&id=" + s.newID() }, [3]int{unknown, denied, to}},
		"/api/v1/":                                     {"/api/v1/nothing", nil, [3]int{missing, missing, missing}},
		"GET /site/{site}/alarms":                      {site + "/alarms?code=is3218:2009&since=2025-06-01&area=Kitchen", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/alarms":                     {site + "/alarms", func() string { return "category=unwanted&cause=toast&id=" + s.newID() }, [3]int{unknown, to, to}},
		"GET /site/{site}/papers":                      {site + "/papers?size=Letter&on=2026-01-15", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/paper/{file}":                {site + "/paper/schedule.csv", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/papers":                     {site + "/papers", nil, [3]int{unknown, wrong, wrong}},
		"POST /site/{site}/paper/{file}":               {site + "/paper/schedule.csv", func() string { return "id=" + s.newID() }, [3]int{unknown, ok, ok}},
		"GET /firm/logo":                               {"/firm/logo", nil, [3]int{to, missing, missing}},
		"GET /due":                                     {"/due", nil, [3]int{to, ok, ok}},
		"GET /due.ics":                                 {"/due.ics", nil, [3]int{unknown, ok, ok}},
		"GET /site/{site}/due":                         {site + "/due", nil, [3]int{to, ok, ok}},
		"GET /site/{site}/due.ics":                     {site + "/due.ics?key=wrong", nil, [3]int{unknown, ok, ok}},
		"POST /due/calendar":                           {"/due/calendar", nil, [3]int{unknown, to, to}},
		"GET /site/{site}/visit":                       {site + "/visit?minutes=60", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/visit":                      {site + "/visit", func() string { return "minutes=60" }, [3]int{unknown, 422, 422}},
		"POST /site/{site}/visit/close":                {site + "/visit/close", func() string { return "left=normal" }, [3]int{unknown, missing, missing}},
		"GET /site/{site}/visit/pack":                  {site + "/visit/pack", nil, [3]int{to, denied, denied}},
		"GET /site/{site}/visit/done":                  {site + "/visit/done", nil, [3]int{to, ok, ok}},
		"POST /site/{site}/visit/entries":              {site + "/visit/entries", func() string { return `{"entries":[]}` }, [3]int{unknown, denied, denied}},
		"POST /photo":                                  {"/photo", func() string { return "no picture" }, [3]int{unknown, 422, 422}},
		"GET /photo/{hash}":                            {"/photo/" + strings.Repeat("0", 64), nil, [3]int{to, missing, missing}},
		"GET /capture":                                 {"/capture", nil, [3]int{ok, ok, ok}},
		"GET /sw.js":                                   {"/sw.js", nil, [3]int{ok, ok, ok}},
		"GET /phones":                                  {"/phones", nil, [3]int{to, ok, ok}},
		"POST /phones":                                 {"/phones", nil, [3]int{unknown, ok, ok}},
		"POST /phones/drop":                            {"/phones/drop", func() string { return "station=none" }, [3]int{unknown, missing, missing}},
		"GET /pair":                                    {"/pair?code=none", nil, [3]int{ok, ok, ok}},
		"POST /pair":                                   {"/pair", func() string { return "code=none&name=mine" }, [3]int{422, 422, 422}},
		"GET /trust":                                   {"/trust", nil, [3]int{missing, missing, missing}},
	}
}

// TestEveryRoute goes to every address as a stranger, a technician and a manager.
// A route without a line here is a fault.
func TestEveryRoute(t *testing.T) {
	s, site := withDemo(t, abroad)
	scenarios := routeCalls(t, s, site)
	const to = http.StatusSeeOther
	people := [3]*browser{visit(t, s), signIn(t, s, "T. Tech"), signIn(t, s, "M. Manager")}
	var last func()
	for _, route := range s.routes() {
		scenario, known := scenarios[route.pattern]
		if !known {
			t.Errorf("route %s has no scenario", route.pattern)
			continue
		}
		check := func() {
			for i, who := range [...]string{"stranger", "technician", "manager"} {
				method, body := http.MethodGet, ""
				if strings.HasPrefix(route.pattern, "POST") {
					method = http.MethodPost
				}
				if scenario.body != nil {
					body = scenario.body()
				}
				if res := people[i].do(method, scenario.address, body, nil); res.StatusCode != scenario.want[i] {
					t.Errorf("%s as %s gives %d, want %d", route.pattern, who, res.StatusCode, scenario.want[i])
				}
			}
		}
		if route.pattern == "POST /sign-out" {
			last = check
			continue
		}
		check()
	}
	last()
	if res := people[2].do(http.MethodGet, "/", "", nil); res.StatusCode != to {
		t.Errorf("signed out, Today gives %d, want a redirect to signing in", res.StatusCode)
	}
}

func TestHeaders(t *testing.T) {
	s, site := withDemo(t, nil)
	for _, address := range []string{"/", site, "/static/sootline.css", "/nowhere", "/healthz"} {
		res := visit(t, s).do(http.MethodGet, address, "", nil)
		policy := res.Header.Get("Content-Security-Policy")
		if !strings.HasPrefix(policy, "default-src 'none';") || strings.Contains(policy, "unsafe") || strings.Contains(policy, "*") {
			t.Errorf("%s: policy %q", address, policy)
		}
		if res.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s may be sniffed", address)
		}
	}
}

func TestRefused(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	point := pointAddress(surveyOf(t, s), surveyOf(t, s).Register.Points()[0])
	for _, c := range []struct {
		what, method, address, body string
		change                      func(*http.Request)
		want                        int
	}{
		{"another host name", "GET", "/", "", func(r *http.Request) { r.Host = "rebound.example" }, http.StatusMisdirectedRequest},
		{"another site's form", "POST", "/demo", "", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, http.StatusForbidden},
		{"another origin's form", "POST", "/demo", "", func(r *http.Request) { r.Header.Set("Origin", "https://elsewhere.example") }, http.StatusForbidden},
		{"a way out of the files", "GET", "/static/..%2fpage%2ftoday.html", "", nil, http.StatusNotFound},
		{"a source file", "GET", "/static/routes.go", "", nil, http.StatusNotFound},
		{"a body too large", "POST", point, "text=" + strings.Repeat("x", mostForm+1), nil, http.StatusRequestEntityTooLarge},
		{"a site that is no id", "GET", "/site/Works", "", nil, http.StatusNotFound},
		{"a point of nowhere", "GET", site + "/point/01890a5d-ac96-774b-bcce-b302099a8057", "", nil, http.StatusNotFound},
		{"a method that is not there", "DELETE", site, "", nil, http.StatusNotFound},
	} {
		if res := b.do(c.method, c.address, c.body, c.change); res.StatusCode != c.want {
			t.Errorf("%s gives %d, want %d", c.what, res.StatusCode, c.want)
		}
	}
}

// A name that is a script is shown and not run.
func TestHostileText(t *testing.T) {
	s := newServer(t, nil)
	ctx := context.Background()
	const hostile = `"><script>alert(1)</script>`
	id, err := s.App.AddSite(ctx, app.NewSite{Name: "Works " + hostile})
	if err != nil {
		t.Fatal(err)
	}
	at := sootline.DerivedID(today, []byte("point"))
	err = s.App.Book.Write(ctx, func(tx *store.Tx) error {
		return tx.Append(id, "laptop", func(w *store.Writer) error {
			return w.Add(sootline.Entry{
				ID: sootline.DerivedID(today, []byte("fitted")), Site: id, At: today, Noted: today, By: hostile, Station: "laptop", Point: at,
				Body: sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Location: hostile, Area: hostile}, Type: hostile},
			})
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	site := "/site/" + id.String()
	for _, address := range []string{
		"/", site, site + "/points?q=" + url.QueryEscape(hostile), site + "/point/" + at.String(),
		site + "/alarms?area=" + url.QueryEscape(hostile), site + "/papers?loop=" + url.QueryEscape(hostile), site + "/paper/schedule.html",
	} {
		page := visit(t, s).get(address)
		if strings.Contains(page, "<script>alert") {
			t.Errorf("%s runs what it should show", address)
		}
		if !strings.Contains(page, "&lt;script&gt;alert") {
			t.Errorf("%s does not show the text at all", address)
		}
	}
}

func TestTooManyTries(t *testing.T) {
	s := newServer(t, abroad)
	b := visit(t, s)
	for i := range triesAtOnce + 1 {
		want := http.StatusUnprocessableEntity
		if i == triesAtOnce {
			want = http.StatusTooManyRequests
		}
		res := b.post("/sign-in", url.Values{"name": {"M. Manager"}, "password": {"wrong"}})
		if res.StatusCode != want {
			t.Errorf("try %d gives %d, want %d", i+1, res.StatusCode, want)
		}
		if page := read(t, res); strings.Contains(page, "wrong") || !strings.Contains(page, "M. Manager") {
			t.Error("the form comes back with the name, and without the password")
		}
	}
}

// Nobody is sent elsewhere by a crafted address.
func TestLocalPath(t *testing.T) {
	for path, want := range map[string]string{"/site/x?q=1": "/site/x?q=1", "//elsewhere.example": "/", "https://elsewhere.example": "/", `/\elsewhere.example`: "/", "": "/"} {
		if got := localPath(path); got != want {
			t.Errorf("localPath(%q) = %q, want %q", path, got, want)
		}
	}
}
