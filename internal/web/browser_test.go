package web

import (
	"context"
	_ "embed"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	kept "sootline/internal/keep"
)

//go:embed testdata/axe/axe.min.js
var axe string

// screens is where the pictures of pages go; git ignores it.
const screens = "../../build/screens"

// openBrowser starts Chromium and the server it looks at. The tests in a browser
// are asked for by SOOTLINE_BROWSER=1, as scripts/test does; then a missing
// Chromium is a failure.
func openBrowser(t *testing.T, s *Server) (context.Context, string) {
	t.Helper()
	needBrowser(t)
	server := httptest.NewServer(s)
	t.Cleanup(server.Close)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.Flag("disable-dev-shm-usage", true))
	allocator, stop := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(stop)
	ctx, closeTab := chromedp.NewContext(allocator)
	t.Cleanup(closeTab)
	ctx, cancel := context.WithTimeout(ctx, 8*time.Minute)
	t.Cleanup(cancel)
	return ctx, server.URL
}

// needBrowser skips a test where no browser is asked for, and notes its name where SOOTLINE_BROWSER_LEFT names a file:
// scripts/test runs just those tests again, in a browser.
func needBrowser(t *testing.T) {
	t.Helper()
	if os.Getenv("SOOTLINE_BROWSER") != "" {
		return
	}
	if path := os.Getenv("SOOTLINE_BROWSER_LEFT"); path != "" {
		name, _, _ := strings.Cut(t.Name(), "/")
		left, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := fmt.Fprintln(left, name); err != nil {
			t.Fatal(err)
		}
		if err := left.Close(); err != nil {
			t.Fatal(err)
		}
	}
	t.Skip("SOOTLINE_BROWSER=1 runs the tests in a browser; scripts/test does")
}

func do(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

func get[T any](t *testing.T, ctx context.Context, action chromedp.Action[T]) T {
	t.Helper()
	value, err := chromedp.Run(ctx, action)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

// media makes the device prefer dark or light.
func media(t *testing.T, ctx context.Context, scheme string) {
	t.Helper()
	params := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, params); err != nil {
		t.Fatal(err)
	}
}

// keep writes a picture of the whole page.
func keep(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	if err := os.MkdirAll(screens, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(screens, name+".png"), get(t, ctx, chromedp.FullScreenshot(100)), 0o644); err != nil {
		t.Fatal(err)
	}
}

// accessible runs axe in the page, by the rules of WCAG 2.2 at level AA and
// below, and its own best practices.
func accessible(t *testing.T, ctx context.Context, where string) {
	t.Helper()
	do(t, ctx, func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Evaluate[any](axe+";0")(ctx, target)
		return chromedp.Void{}, err
	})
	const run = `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then(r =>
		JSON.stringify(r.violations.map(v => v.id + ": " + v.help + " at " + v.nodes.slice(0, 3).map(n => n.target.join(" ") + " (" + n.failureSummary.slice(0, 200) + ")").join(", "))) + "|" + r.passes.length)`
	found := get(t, ctx, chromedp.Evaluate[string](run, chromedp.EvalAwaitPromise))
	violations, passes, _ := strings.Cut(found, "|")
	if violations != "[]" {
		t.Errorf("%s: %s", where, violations)
	}
	if passes == "0" {
		t.Errorf("%s: no rule applied, so nothing was looked at", where)
	}
}

// noSideways fails when a page is wider than the screen.
func noSideways(t *testing.T, ctx context.Context, where string) {
	t.Helper()
	const widest = `(() => {
		const width = document.documentElement.clientWidth;
		if (document.documentElement.scrollWidth <= width) return "";
		return [...document.querySelectorAll("main *, header *, footer *, aside *")].filter(e => !e.closest(".ofsite") && e.getBoundingClientRect().right > width + 1)
			.slice(0, 4).map(e => e.tagName + "." + e.getAttribute("class") + " " + e.textContent.trim().slice(0, 40)).join("; ") || "something";
	})()`
	if found := get(t, ctx, chromedp.Evaluate[string](widest)); found != "" {
		t.Errorf("%s is wider than the screen: %s", where, found)
	}
}

// TestFirstStartToDemo starts with an empty book, makes the demo by its button,
// and follows the links to a point, with every page looked at on the way.
func TestFirstStartToDemo(t *testing.T) {
	s := newServer(t, nil)
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(1440, 900), chromedp.Navigate(address))
	if title := get(t, ctx, chromedp.Text("h1")); title != "The book is empty" {
		t.Fatalf("an empty book begins with %q", title)
	}
	look(t, ctx, "empty")
	do(t, ctx, chromedp.Click(`form[action="/demo"] button`), chromedp.WaitVisible("#todo"))
	look(t, ctx, "site")
	for _, page := range []string{"/", "/points", "/points?q=no-such-thing", "/questions", "/defects", "/loop", "/bench", "/apart", "/point"} {
		do(t, ctx, chromedp.Navigate(address+addressOf(t, s, page)), chromedp.WaitVisible("h1"))
		name := strings.Trim(strings.NewReplacer("/", "", "?q=no-such-thing", "-none").Replace(page), "-")
		if name == "" {
			name = "today"
		}
		look(t, ctx, name)
	}
	do(t, ctx, chromedp.Navigate(address+"/backups"))
	look(t, ctx, "backups-none")
	k, _ := keeping(t, s, kept.Keys{})
	k.Look(t.Context())
	do(t, ctx, chromedp.Navigate(address+"/backups"), chromedp.WaitVisible("dl"))
	look(t, ctx, "backups")
	do(t, ctx, chromedp.Navigate(address+"/sign-in"))
	look(t, ctx, "sign-in")
	do(t, ctx, chromedp.Navigate(address+"/nowhere"))
	look(t, ctx, "trouble")
}

func addressOf(t *testing.T, s *Server, page string) string {
	t.Helper()
	survey := surveyOf(t, s)
	switch page {
	case "/":
		return page
	case "/point":
		return pointAddress(survey, aSmokePoint(t, survey))
	}
	return siteAddress(survey) + page
}

// look keeps pictures of the page that is open, for phone and desk, dark and
// light, and has it checked in each.
func look(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	for _, screen := range []struct {
		name          string
		width, height int64
	}{{"phone", 390, 844}, {"desk", 1440, 900}, {"narrow", 320, 640}} {
		do(t, ctx, chromedp.EmulateViewport(screen.width, screen.height))
		for _, scheme := range []string{"light", "dark"} {
			if screen.name == "narrow" && scheme == "dark" {
				continue
			}
			media(t, ctx, scheme)
			where := fmt.Sprintf("%s-%s-%s", name, screen.name, scheme)
			accessible(t, ctx, where)
			noSideways(t, ctx, where)
			keep(t, ctx, where)
		}
	}
	do(t, ctx, chromedp.EmulateViewport(1440, 900))
}

// TestKeyboardOnly adds a reading without a mouse and without any script: by the
// skip link, the tab key and what is typed.
func TestKeyboardOnly(t *testing.T) {
	s, _ := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	survey := surveyOf(t, s)
	p := aSmokePoint(t, survey)
	do(t, ctx, chromedp.EmulateViewport(1024, 768), chromedp.Navigate(address+pointAddress(survey, p)), chromedp.KeyEvent(kb.Tab))
	focus := func() string {
		return get(t, ctx, chromedp.Evaluate[string](`(() => { const e = document.activeElement; return e.tagName + " " + (e.name || e.getAttribute("href") || e.textContent.trim()); })()`))
	}
	if at := focus(); at != "A #main" {
		t.Fatalf("the first tab stop is %q, want the skip link", at)
	}
	if shown := get(t, ctx, chromedp.Evaluate[bool](`document.activeElement.getBoundingClientRect().left >= 0`)); !shown {
		t.Error("the skip link has the focus and is not to be seen")
	}
	do(t, ctx, chromedp.KeyEvent(kb.Enter))
	tabTo := func(want string) {
		t.Helper()
		for range 60 {
			do(t, ctx, chromedp.KeyEvent(kb.Tab))
			if focus() == want {
				return
			}
		}
		t.Fatalf("the tab key never comes to %s", want)
	}
	tabTo("SELECT kind")
	tabTo("INPUT samples")
	do(t, ctx, chromedp.KeyEvent("44 45 46"))
	for _, strange := range []string{"cause", "serial", "failed"} {
		if get(t, ctx, chromedp.Evaluate[bool](`document.querySelector(".entry [name=`+strange+`]") !== null`)) {
			t.Errorf("a reading has no use for the field %s, which is there", strange)
		}
	}
	do(t, ctx, chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible("#story"), chromedp.Sleep(300*time.Millisecond))
	if readings := surveyOf(t, s).Register.Point(p.ID).Readings; len(readings) != len(p.Readings)+1 {
		t.Errorf("%d readings, want one more than %d", len(readings), len(p.Readings))
	}
	do(t, ctx, chromedp.KeyEvent(kb.Enter), chromedp.Sleep(time.Second), chromedp.WaitVisible(".story .notice"), chromedp.Sleep(300*time.Millisecond))
}

// TestChosenKind chooses another kind: its fields are there at once, and what was
// typed into a field that both have stays.
func TestChosenKind(t *testing.T) {
	s, _ := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	survey := surveyOf(t, s)
	do(t, ctx, chromedp.EmulateViewport(390, 844), chromedp.Navigate(address+pointAddress(survey, aSmokePoint(t, survey))))
	choose := func(kind, field string) {
		t.Helper()
		get(t, ctx, chromedp.Evaluate[any](`(() => { const k = document.querySelector(".entry select[name=kind]"); k.value = "`+kind+`"; k.dispatchEvent(new Event("change", {bubbles: true})); return null; })()`))
		do(t, ctx, chromedp.WaitVisible(`.entry [name="`+field+`"]`))
	}
	choose("cleaned", "text")
	get(t, ctx, chromedp.Evaluate[any](`document.querySelector(".entry [name=text]").value = "steam"`))
	choose("alarm", "category")
	if text := get(t, ctx, chromedp.Evaluate[string](`document.querySelector(".entry [name=text]").value`)); text != "steam" {
		t.Errorf("the words that were typed became %q", text)
	}
	if get(t, ctx, chromedp.Evaluate[bool](`document.querySelector(".entry .shows").checkVisibility()`)) {
		t.Error("the button that shows the fields is there beside the script that does")
	}
	noSideways(t, ctx, "the form of an alarm")
	keep(t, ctx, "point-alarm-form")
}

// TestLargeText looks at pages with text at 200 %, on a screen of 1280 pixels,
// which is the same as half its width.
func TestLargeText(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(1280, 1024))
	for _, page := range []string{"/", site, site + "/points", site + "/questions", site + "/loop"} {
		do(t, ctx, chromedp.Navigate(address+page))
		get(t, ctx, chromedp.Evaluate[any](`document.styleSheets[0].insertRule("html { font-size: 200% !important }", document.styleSheets[0].cssRules.length)`))
		noSideways(t, ctx, page+" at 200 %")
	}
	keep(t, ctx, "loop-large-text")
}

// TestPrint makes a PDF of a point's page, as printing does.
func TestPrint(t *testing.T) {
	s, _ := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	survey := surveyOf(t, s)
	do(t, ctx, chromedp.Navigate(address+pointAddress(survey, aSmokePoint(t, survey))))
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	do(t, ctx, chromedp.EmulateViewport(794, 1123))
	for _, gone := range []string{".adding", ".top nav", ".switches"} {
		if get(t, ctx, chromedp.Evaluate[bool](`document.querySelector("`+gone+`").checkVisibility()`)) {
			t.Errorf("%s is printed", gone)
		}
	}
	if !get(t, ctx, chromedp.Evaluate[bool](`document.querySelector(".caution").checkVisibility() && document.querySelector(".asof").checkVisibility()`)) {
		t.Error("the cautions or the as-of are not printed")
	}
	keep(t, ctx, "point-print")
}
