package web

import (
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"sootline/internal/app"
)

// ticking is a clock that moves on whenever somebody looks, and a server that phones
// reach.
func ticking() func(*Config) {
	clock := today
	return func(c *Config) {
		c.App.Now = func() time.Time { clock = clock.Add(time.Millisecond); return clock }
		c.Trust = Trust{Authority: []byte("authority"), Fingerprint: strings.Repeat("0A1B ", 16), Addresses: []string{"https://192.168.7.20:8344"}, Plain: []string{"http://192.168.7.20:8345"}}
	}
}

// TestVisitPages looks at the pages of due dates, of planning and of phones, on phone
// and desk, dark and light, each checked by axe.
func TestVisitPages(t *testing.T) {
	s, site := withDemo(t, ticking())
	ctx, address := openBrowser(t, s)
	code := s.pairings.make(app.Invitation{Person: "L. Local"}, today)
	for _, p := range []struct{ name, path string }{
		{"due-site", site + "/due"},
		{"visit-plan", site + "/visit?minutes=120"},
		{"pair", "/pair?code=" + url.QueryEscape(code)},
	} {
		do(t, ctx, chromedp.Navigate(address+p.path), chromedp.WaitVisible("h1"))
		look(t, ctx, p.name)
	}
	do(t, ctx, chromedp.Navigate(address+"/phones"), chromedp.Click("button.main"), chromedp.WaitVisible("#pairing"))
	look(t, ctx, "phones-add")
	do(t, ctx, chromedp.Navigate(address+"/due"), chromedp.Click(`form[action="/due/calendar"] button`), chromedp.WaitVisible(".adding pre"))
	look(t, ctx, "due")
}

// TestOpenVisitPages looks at a visit that is open, at capturing, and at one closed.
func TestOpenVisitPages(t *testing.T) {
	s, site := withDemo(t, ticking())
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(390, 844), chromedp.Navigate(address+"/capture"), chromedp.WaitVisible("#none"))
	accessible(t, ctx, "capture none")
	keep(t, ctx, "capture-none")
	openAt(t, visit(t, s), site, url.Values{"disabled": {"sounders ground floor, by A. Tech"}})
	captureAll(t, s, site)
	do(t, ctx, chromedp.Navigate(address+site+"/visit"), chromedp.WaitVisible("#close"))
	look(t, ctx, "visit-open")
	do(t, ctx, chromedp.Navigate(address+"/capture#"+strings.TrimPrefix(site, "/site/")), chromedp.WaitVisible("#point"))
	until(t, ctx, `document.getElementById("number").textContent && !document.getElementById("off").hidden`)
	run[any](t, ctx, `["4", "4", "more", "4", "8"].forEach(k => document.querySelector('#pad [data-key="' + k + '"]').click())`)
	run[any](t, ctx, `document.getElementById("write").click()`)
	look(t, ctx, "capture")
	targets := run[string](t, ctx, `[...document.querySelectorAll("button, a.button, input, summary, label.button")].filter(e => e.checkVisibility() && !e.matches(".hidden")).map(e => [e.id || e.textContent.trim(), e.getBoundingClientRect()]).filter(([, r]) => r.height < 55.5 || r.width < 55.5).map(([name, r]) => name + " " + r.width + "x" + r.height).join("; ")`)
	if targets != "" {
		t.Errorf("too small for gloves: %s", targets)
	}
	do(t, ctx, chromedp.EmulateViewport(390, 844))
	run[any](t, ctx, `document.getElementById("next").click()`)
	if below := run[float64](t, ctx, `document.getElementById("write").getBoundingClientRect().bottom - innerHeight`); below > 0 {
		t.Errorf("the button that writes lies %.0f pixels below the screen", below)
	}
	shot := get(t, ctx, chromedp.CaptureScreenshot())
	if err := os.WriteFile(filepath.Join(screens, "capture-screen.png"), shot, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, mode := range []string{"cleaned", "replaced", "more", "tested"} {
		run[any](t, ctx, `document.querySelector('[data-mode="`+mode+`"]').click()`)
		do(t, ctx, chromedp.EmulateViewport(390, 844))
		accessible(t, ctx, "capture "+mode)
		noSideways(t, ctx, "capture "+mode)
		keep(t, ctx, "capture-"+mode)
	}
	run[any](t, ctx, `document.getElementById("list").click(), document.getElementById("jump").click()`)
	accessible(t, ctx, "capture list")
	keep(t, ctx, "capture-list")
	if res := visit(t, s).post(site+"/visit/close", url.Values{"left": {"not normal"}, "text": {"loft next time"}}); res.StatusCode != 303 {
		t.Fatalf("closing gives %d", res.StatusCode)
	}
	do(t, ctx, chromedp.Navigate(address+site+"/visit"), chromedp.WaitVisible("#last"))
	look(t, ctx, "visit-closed")
}

// captureAll lets two stations see the first points of the round, and differ at one.
func captureAll(t *testing.T, s *Server, site string) {
	t.Helper()
	b := visit(t, s)
	pack := packOf(t, b, site)
	other := pairPhone(t, s, b, "blue phone")
	at := s.App.Now().UnixMilli()
	for i, id := range pack.Round[:min(3, len(pack.Round))] {
		b.do("POST", site+"/visit/entries", captureBody(s.newID(), id, at+int64(i), "25"), asJSON)
	}
	other.do("POST", site+"/visit/entries", captureBody(s.newID(), pack.Round[0], at+9, "61"), asJSON)
}
