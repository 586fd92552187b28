package web

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/csv"
	"errors"
	"image"
	"image/png"
	"mime"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/papers"
)

// Every paper that can be made is on the page, once.
func TestShelvesHoldEveryPaper(t *testing.T) {
	var shown, known []string
	for _, shelf := range paperShelves() {
		for _, p := range shelf.papers {
			shown = append(shown, p.kind)
		}
	}
	for _, kind := range papers.Kinds() {
		known = append(known, kind.Name)
	}
	slices.Sort(shown)
	slices.Sort(known)
	if !slices.Equal(shown, known) {
		t.Errorf("the page shows %v, the papers are %v", shown, known)
	}
}

// Every address on the page of papers gives a paper: of the kind that its ending
// promises, under a name that every system takes.
func TestEveryPaperIsGiven(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	page := b.get(site + "/papers?point=1.2.073&loop=1.2&on=2026-01-15&size=Letter")
	addresses := regexp.MustCompile(`href="(/site/[^"]*/paper/[^"]*)"`).FindAllStringSubmatch(page, -1)
	if want := len(papers.Kinds())*len(paper.Formats()) - 1; len(addresses) != want {
		t.Fatalf("%d addresses of papers, want %d", len(addresses), want)
	}
	begins := map[string]string{"pdf": "%PDF-", "xlsx": "PK\x03\x04", "html": "<!doctype html>", "csv": ""}
	safe := regexp.MustCompile(`^[a-z0-9-]+-2026-01-15\.(pdf|xlsx|html|csv)$`)
	for _, found := range addresses {
		address := html.UnescapeString(found[1])
		res := b.do(http.MethodGet, address, "", nil)
		body := read(t, res)
		if res.StatusCode == http.StatusNotFound && strings.Contains(address, "order.csv") && strings.Contains(body, "holds no table") {
			continue // every number of that loop is as wanted
		}
		how, with, err := mime.ParseMediaType(res.Header.Get("Content-Disposition"))
		if res.StatusCode != http.StatusOK || err != nil || !safe.MatchString(with["filename"]) {
			t.Errorf("%s gives %d, as %q", address, res.StatusCode, res.Header.Get("Content-Disposition"))
			continue
		}
		_, ending, _ := strings.Cut(with["filename"], ".")
		if !strings.HasPrefix(body, begins[ending]) || (how == "inline") != (ending == "html") || !strings.Contains(address, "."+ending+"?") {
			t.Errorf("%s gives %s, of %d bytes, as %s", address, with["filename"], len(body), how)
		}
		if format, _ := paper.FindFormat(ending); res.Header.Get("Content-Type") != format.Type {
			t.Errorf("%s is of type %q", address, res.Header.Get("Content-Type"))
		}
		readable(t, address, ending, body)
	}
}

// readable has those forms read that the standard library can read.
func readable(t *testing.T, address, ending, body string) {
	t.Helper()
	switch ending {
	case "xlsx":
		if _, err := zip.NewReader(strings.NewReader(body), int64(len(body))); err != nil {
			t.Errorf("%s: %v", address, err)
		}
	case "csv":
		in := csv.NewReader(strings.NewReader(strings.TrimPrefix(body, "\ufeff"))) // spreadsheets tell UTF-8 by that mark
		in.FieldsPerRecord = -1
		if rows, err := in.ReadAll(); err != nil || len(rows) == 0 {
			t.Errorf("%s: %d rows, %v", address, len(rows), err)
		}
	}
}

// A paper that is read here is under a policy that allows its one style by its
// hash (CSP level 3, 2.3.1: base64 of SHA-256 of what stands in the element), and
// the style in the page is that one, for both sizes.
func TestPolicyOfReadPaper(t *testing.T) {
	s, site := withDemo(t, nil)
	for _, size := range paper.Sizes() {
		res := visit(t, s).do(http.MethodGet, site+"/paper/visit.html?size="+size.Name, "", nil)
		page := read(t, res)
		styles := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindAllStringSubmatch(page, -1)
		if len(styles) != 1 || strings.Contains(page, "style=\"") || strings.Contains(page, "<script") {
			t.Fatalf("%d styles, or one in a tag, or a script", len(styles))
		}
		sum := sha256.Sum256([]byte(styles[0][1]))
		policy := res.Header.Get("Content-Security-Policy")
		if !strings.Contains(policy, "style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'") || !strings.HasPrefix(policy, "default-src 'none';") ||
			strings.Contains(policy, "unsafe") || strings.Contains(policy, "script-src") {
			t.Errorf("%s: the policy %q is not that of the page", size.Name, policy)
		}
		if !strings.Contains(page, "size: "+size.Name+";") {
			t.Errorf("the page does not say that it prints on %s", size.Name)
		}
	}
}

func TestMistakenPapers(t *testing.T) {
	s, site := withDemo(t, nil)
	for address, want := range map[string]int{
		"/paper/nosuch.pdf":                                http.StatusNotFound,
		"/paper/schedule.exe":                              http.StatusNotFound,
		"/paper/schedule":                                  http.StatusNotFound,
		"/paper/cards.csv":                                 http.StatusNotFound,
		"/paper/labels.csv":                                http.StatusNotFound,
		"/paper/..%2f..%2fbook.pdf":                        http.StatusNotFound,
		"/paper/schedule.pdf?on=yesterday":                 http.StatusUnprocessableEntity,
		"/paper/schedule.pdf?size=A9":                      http.StatusUnprocessableEntity,
		"/paper/schedule.pdf?loop=no":                      http.StatusNotFound,
		"/paper/point.pdf":                                 http.StatusUnprocessableEntity,
		"/paper/point.pdf?point=9.9.999":                   http.StatusNotFound,
		"/paper/alarms.pdf?code=none":                      http.StatusUnprocessableEntity,
		"/paper/labels.pdf?first=0":                        http.StatusUnprocessableEntity,
		"/paper/labels.pdf?first=999":                      http.StatusUnprocessableEntity,
		"/paper/labels.pdf?sheet=none":                     http.StatusUnprocessableEntity,
		"/paper/log.csv?from=2026-01-02&to=2026-01-01":     http.StatusUnprocessableEntity,
		"/papers?on=tomorrow":                              http.StatusUnprocessableEntity,
		"/papers?from=2026-01-02&to=2026-01-01":            http.StatusUnprocessableEntity,
		"/paper/labels.pdf?first=24&point=1.2.073&loop=no": http.StatusOK,
	} {
		res := visit(t, s).do(http.MethodGet, site+address, "", nil)
		page := read(t, res)
		if res.StatusCode != want {
			t.Errorf("%s gives %d, want %d", address, res.StatusCode, want)
		}
		if want != http.StatusOK && (!strings.Contains(page, "trouble") && !strings.Contains(page, "<h1>") || res.Header.Get("Content-Disposition") != "") {
			t.Errorf("%s is no page that says what is wrong", address)
		}
	}
}

// The code that a paper carries is found in the book again, and another is not.
func TestCheckOfPrintedPaper(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	code := regexp.MustCompile(`code ([A-Z2-7]{4}(?:-[A-Z2-7]{4}){3})`).FindStringSubmatch(b.get(site + "/paper/schedule.html"))
	if code == nil {
		t.Fatal("the paper carries no code")
	}
	page := b.get(site + "/papers?check=" + strings.ToLower(code[1]))
	if !strings.Contains(page, "It rests on an entry of this site’s log") || !strings.Contains(page, "Nothing was noted after it") {
		t.Error("the code of a paper that was just made is not found true")
	}
	survey := surveyOf(t, s)
	if res := b.post(pointAddress(survey, survey.Register.Points()[0]), url.Values{"id": {s.newID()}, "kind": {"note"}, "text": {"late"}, "at": {"2025-12-01"}}); res.StatusCode != http.StatusSeeOther {
		t.Fatal(res.StatusCode)
	}
	if page = b.get(site + "/papers?check=" + code[1]); !strings.Contains(page, "1 entry was noted after it") || !strings.Contains(page, "note, late") {
		t.Error("what was written since about days before is not told")
	}
	for _, wrong := range []string{"ABCD-EFGH-IJKL-MNOP", "nonsense"} {
		if page = b.get(site + "/papers?check=" + wrong); strings.Contains(page, "It rests on") || !strings.Contains(page, `role="alert"`) {
			t.Errorf("the code %s is found", wrong)
		}
	}
}

// The firm is shown, stands on papers, and one that cannot be read stops them.
func TestFirm(t *testing.T) {
	var logo bytes.Buffer
	if err := png.Encode(&logo, image.NewGray(image.Rect(0, 0, 4, 4))); err != nil {
		t.Fatal(err)
	}
	var trouble error
	s, site := withDemo(t, func(c *Config) {
		c.FirmFile = "/srv/firm.json"
		c.Firm = func() (paper.Firm, error) {
			return paper.Firm{Name: "Example & Daughters", Address: []string{"12 Invented Street"}, Logo: logo.Bytes()}, trouble
		}
	})
	b := visit(t, s)
	for _, address := range []string{site + "/papers", site + "/paper/schedule.html"} {
		if page := b.get(address); !strings.Contains(page, "Example &amp; Daughters") || !strings.Contains(page, "12 Invented Street") {
			t.Errorf("%s does not tell of the firm", address)
		}
	}
	if page := b.get(site + "/papers"); !strings.Contains(page, "/srv/firm.json") {
		t.Error("a manager is not told where the firm is changed")
	}
	res := b.do(http.MethodGet, "/firm/logo", "", nil)
	if body := read(t, res); res.Header.Get("Content-Type") != "image/png" || body != logo.String() {
		t.Error("the logo is not given")
	}
	trouble = errors.New("torn")
	if res := b.do(http.MethodGet, site+"/paper/schedule.pdf", "", nil); res.StatusCode != http.StatusInternalServerError {
		t.Errorf("with a firm that cannot be read a paper gives %d", res.StatusCode)
	}
	b.get(site + "/papers")
}

func TestPlainNames(t *testing.T) {
	for name, want := range map[string]string{"Mill": "mill", "Ḿühle / 2\r\n\"x\"": "hle-2-x", "磨坊": "site", "../..": "site", strings.Repeat("long ", 20): "long-long-long-long-long-long-long-long"} {
		if got := plain(name); got != want {
			t.Errorf("plain(%q) = %q, want %q", name, got, want)
		}
	}
}

// An alarm with its category and attendance is added once, however often the form
// is handed in, and counts at once; one with a mistake comes back as typed.
func TestAddAlarm(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	report := func() *app.AlarmReport {
		r, err := s.App.Alarms(context.Background(), surveyOf(t, s).Register.Site.ID, today, "")
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	before := report()
	survey := surveyOf(t, s)
	for _, p := range survey.Register.Points() {
		want := p.Ref().String()
		if len(survey.Register.Named(p.Ref(), today.AddDate(1, 0, 0))) != 1 {
			want = p.ID.String() // a number that two share names neither
		}
		if got := shortName(survey, p.ID.String()); got != want {
			t.Errorf("the form names the point %s %q", want, got)
		}
	}
	form := url.Values{
		"id": {field(t, b.get(site+"/alarms"), "id")}, "point": {"1.2.073"}, "at": {"2026-01-19 08:15"},
		"category": {"good intent"}, "cause": {"saw steam"}, "attended": {"1"},
	}
	for range 2 {
		if res := b.post(site+"/alarms", form); res.StatusCode != http.StatusSeeOther || !strings.Contains(res.Header.Get("Location"), "added=alarm") {
			t.Fatalf("adding an alarm gives %d", res.StatusCode)
		}
	}
	after := report()
	if after.Year.Alarms != before.Year.Alarms+1 || after.Attended != before.Attended+1 {
		t.Errorf("%d alarms, %d attended; want one more than %d and %d", after.Year.Alarms, after.Attended, before.Year.Alarms, before.Attended)
	}
	page := b.get(site + "/alarms?added=alarm")
	for _, want := range []string{"Written down", "good intent", "saw steam", "The fire service came 1 time"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	for name, value := range map[string]string{"category": "nonsense", "at": "yesterday", "point": "9.9.999", "id": "none"} {
		mistaken := url.Values{"id": {s.newID()}, "cause": {"kept as typed"}}
		mistaken.Set(name, value)
		res := b.post(site+"/alarms", mistaken)
		if page := read(t, res); res.StatusCode != http.StatusUnprocessableEntity && res.StatusCode != http.StatusNotFound || !strings.Contains(page, `value="kept as typed"`) {
			t.Errorf("%s %q gives %d, without what was typed", name, value, res.StatusCode)
		}
	}
	if last := report(); last.Year.Alarms != after.Year.Alarms {
		t.Error("a mistaken form wrote something")
	}
}

// The page says what the report says, for each code, and for any day.
func TestAlarmsPage(t *testing.T) {
	s, site := withDemo(t, nil)
	b := visit(t, s)
	for _, code := range app.AlarmCodes() {
		page := html.UnescapeString(b.get(site + "/alarms?code=" + url.QueryEscape(code.Key)))
		for _, trigger := range code.Triggers {
			if trigger.UpTo > 0 {
				continue // the demo has more detectors than such a limit is for
			}
			if !strings.Contains(page, trigger.Limit()) || !strings.Contains(page, trigger.Known()) {
				t.Errorf("%s: the limit %q or its source is not shown", code.Key, trigger.Limit())
			}
		}
	}
	page := b.get(site + "/alarms?since=2025-06-01&area=Kitchen")
	if !strings.Contains(page, "Kitchen, since 2025-06-01") || !strings.Contains(page, "An alarm is a fire until somebody has looked") {
		t.Error("the comparison or the caution is not shown")
	}
	if page = b.get(site + "/alarms?on=2024-01-31"); !strings.Contains(page, "Twelve months to 2024-01-31") {
		t.Error("another day is not shown")
	}
	for _, query := range []string{"on=yesterday", "code=none", "since=1.1.", "since=2025-06-01&area=Nowhere"} {
		res := b.do(http.MethodGet, site+"/alarms?"+query, "", nil)
		if page := read(t, res); res.StatusCode < 400 || res.StatusCode >= 500 || !strings.Contains(page, `class="trouble"`) || !strings.Contains(page, "Twelve months") {
			t.Errorf("%s gives %d, without a sentence or without the rest", query, res.StatusCode)
		}
	}
}

// A site of which nobody wrote anything down has both pages and every paper that
// needs no point.
func TestPapersOfEmptySite(t *testing.T) {
	s := newServer(t, nil)
	id, err := s.App.AddSite(context.Background(), app.NewSite{Name: "Works"})
	if err != nil {
		t.Fatal(err)
	}
	site, b := "/site/"+id.String(), visit(t, s)
	for _, address := range []string{"/alarms", "/papers"} {
		for _, fault := range htmlFaults(b.get(site + address)) {
			t.Errorf("%s: %s", address, fault)
		}
	}
	for _, kind := range papers.Kinds() {
		if kind.Needs != "" {
			continue
		}
		for _, format := range paper.Formats() {
			res := b.do(http.MethodGet, site+"/paper/"+kind.Name+"."+format.Name, "", nil)
			if body := read(t, res); res.StatusCode != http.StatusOK && res.StatusCode != http.StatusUnprocessableEntity && res.StatusCode != http.StatusNotFound {
				t.Errorf("%s as %s gives %d: %.300s", kind.Name, format.Name, res.StatusCode, body)
			}
		}
	}
}

// TestLookAtPapersAndAlarms looks at both pages of the demo in a browser.
func TestLookAtPapersAndAlarms(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	for name, page := range map[string]string{
		"papers": "/papers", "papers-chosen": "/papers?on=2026-01-15&loop=1.2&point=1.2.073&check=ABCD-EFGH-IJKL-MNOP",
		"alarms": "/alarms?since=2025-06-01",
	} {
		do(t, ctx, chromedp.Navigate(address+site+page), chromedp.WaitVisible("h1"))
		look(t, ctx, name)
	}
}

// TestLookAtEmptyPapers looks at both pages of a site of which nothing is known,
// and at a paper that is read here.
func TestLookAtEmptyPapers(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(address+site+"/paper/point.html?point=1.2.073"))
	if styled := get(t, ctx, chromedp.Evaluate[string](`getComputedStyle(document.querySelector(".cautions")).borderTopStyle`)); styled != "solid" {
		t.Errorf("the paper's own style is not taken: border %q", styled)
	}
	accessible(t, ctx, "a paper that is read here")
	keep(t, ctx, "paper-read")
	id, err := s.App.AddSite(context.Background(), app.NewSite{Name: "Nothing yet"})
	if err != nil {
		t.Fatal(err)
	}
	for name, page := range map[string]string{"papers-empty": "/papers", "alarms-empty": "/alarms"} {
		do(t, ctx, chromedp.Navigate(address+"/site/"+id.String()+page), chromedp.WaitVisible("h1"))
		look(t, ctx, name)
	}
}
