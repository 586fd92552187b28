package web

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/app"
)

// firstScreen says what of a page's conclusion and main action is not inside the first screen, above the bar at hand.
const firstScreen = `(() => {
	const bar = document.querySelector(".hand"), seen = bar && bar.checkVisibility() ? bar.getBoundingClientRect().top : innerHeight;
	const wrong = [];
	for (const [what, e] of [["its conclusion", document.querySelector(".conclusion")], ["its main action", document.querySelector("[data-main-action]")]]) {
		if (!e) { if (what === "its conclusion") wrong.push("it has no conclusion"); continue; }
		const box = e.getBoundingClientRect();
		if (!e.checkVisibility() || box.top + scrollY < 0 || box.bottom + scrollY > seen || box.left < 0 || box.right > innerWidth) wrong.push(what + " is not inside the first screen: it ends at " + Math.round(box.bottom + scrollY));
	}
	return wrong.join("; ");
})()`

// withoutConclusion are pages that come to nothing: what one does there is the form that stands first on them, or they are one
// step of a work that has its own head. An entry goes when its page gets a conclusion.
var withoutConclusion = []string{
	"/find", "/sites/add", "/sign-in", "/people/journal", "/pair",
	"/site/*/points/add", "/site/*/point/*/place", "/site/*/intake/*",
	"/site/*/power/find", "/site/*/power/lead", "/site/*/power/design", "/bench", "/capture",
}

var (
	idInAddress = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`)
	linkOnPage  = regexp.MustCompile(`<a [^>]*href="(/[^"#]*)`)
)

// pageShape is an address without what differs from book to book.
func pageShape(address string) string {
	path, _, _ := strings.Cut(address, "?")
	return idInAddress.ReplaceAllString(path, "*")
}

// crawled gives an address of each shape of page that links lead to.
func crawled(t *testing.T, s *Server) []string {
	t.Helper()
	queue, known := []string{"/"}, map[string]bool{"/": true}
	var pages []string
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		res := visit(t, s).do("GET", at, "", nil)
		body := read(t, res)
		if !strings.HasPrefix(res.Header.Get("Content-Type"), "text/html") || !strings.Contains(body, `id="main"`) {
			continue // a file, or a paper to read or print
		}
		if res.StatusCode != 200 {
			t.Errorf("a link leads to %s, which answers %d", at, res.StatusCode)
		}
		pages = append(pages, at)
		for _, found := range linkOnPage.FindAllStringSubmatch(body, -1) {
			next := strings.ReplaceAll(strings.ReplaceAll(found[1], "&amp;", "&"), "&#43;", "+")
			if shape := pageShape(next); !known[shape] && !strings.Contains(shape, "/paper/") {
				known[shape] = true
				queue = append(queue, next)
			}
		}
	}
	return pages
}

// smallBook is a book with one site of a loop and two points; bare leaves the points out.
func smallBook(t *testing.T, bare bool) *Server {
	t.Helper()
	s := newServer(t, nil)
	site, err := s.App.AddSite(t.Context(), app.NewSite{Name: "Works", Loops: []sootline.LoopFacts{{Panel: "1", Loop: "1", First: 1, Last: 126}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, number := range []string{"1", "2"} {
		if bare {
			break
		}
		form := map[string][]string{"id": {s.newID()}, "loop": {"1.1"}, "number": {number}, "type": {"Larch"}, "location": {"Landing " + number}}
		if res := visit(t, s).post("/site/"+site.String()+"/points/add", form); res.StatusCode != 303 {
			t.Fatalf("adding a device answers %d: %s", res.StatusCode, read(t, res))
		}
	}
	return s
}

// TestFirstScreen reads every page that links lead to, on a phone and on a desk: what it comes to and what to do next stand
// inside the first screen.
func TestFirstScreen(t *testing.T) {
	needBrowser(t)
	demo, _ := withDemo(t, nil)
	for name, s := range map[string]*Server{"demo": demo, "small": smallBook(t, false), "empty site": smallBook(t, true)} {
		ctx, address := openBrowser(t, s)
		looked := 0
		for _, page := range crawled(t, s) {
			if slices.Contains(withoutConclusion, pageShape(page)) || strings.HasPrefix(pageShape(page), "/site/*/settings/") {
				continue
			}
			for _, screen := range [][2]int64{{360, 740}, {1440, 900}} {
				do(t, ctx, chromedp.EmulateViewport(screen[0], screen[1]), chromedp.Navigate(address+page), chromedp.WaitVisible("h1"))
				if wrong := get(t, ctx, chromedp.Evaluate[string](firstScreen)); wrong != "" {
					t.Errorf("%s, %s at %d by %d: %s", name, pageShape(page), screen[0], screen[1], wrong)
				}
				looked++
			}
		}
		if looked < 30 {
			t.Errorf("%s: links led to few pages, %d looks", name, looked)
		}
	}
}
