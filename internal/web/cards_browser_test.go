package web

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// unclipped gives what of the cards that are seen is cut off by its picture, or by the
// screen.
const unclipped = `(() => [...document.querySelectorAll(".setting-card svg")].filter(s => s.getBoundingClientRect().width > 0).flatMap(svg => {
	const frame = svg.getBoundingClientRect(), wide = document.documentElement.clientWidth;
	const out = r => r.left < frame.left - 1 || r.right > frame.right + 1 || r.top < frame.top - 1 || r.bottom > frame.bottom + 1 || r.right > wide;
	return [...svg.querySelectorAll("text, rect, circle, line")].filter(e => out(e.getBoundingClientRect())).map(e => e.getAttribute("class") + " " + e.textContent);
}).slice(0, 5).join("; "))()`

// contrast is that of a card's lever against what lies under it, as WCAG 2.2 reckons
// it, for the first card with switches.
const contrast = `(() => {
	const paint = c => { const x = document.createElement("canvas").getContext("2d"); x.fillStyle = c; x.fillRect(0, 0, 1, 1); return [...x.getImageData(0, 0, 1, 1).data]; };
	const shine = c => paint(c).slice(0, 3).map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4).reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
	const of = name => shine(getComputedStyle(document.querySelector("." + name)).fill);
	const [a, b] = [of("card-lever"), of("card-frame")].sort((x, y) => y - x);
	return (a + 0.05) / (b + 0.05);
})()`

func mustBeWhole(t *testing.T, ctx context.Context, where string) {
	t.Helper()
	noSideways(t, ctx, where)
	if cut := get(t, ctx, chromedp.Evaluate[string](unclipped)); cut != "" {
		t.Errorf("%s: cut off: %s", where, cut)
	}
}

// scrolledTo brings the first card with such a thing into sight.
func scrolledTo(selector string) chromedp.Action[chromedp.Void] {
	return func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		script := fmt.Sprintf(`(e => (e.closest(".setting-card") ?? e).scrollIntoView({block: "start", behavior: "instant"}))(document.querySelector(%q));0`, selector)
		_, err := chromedp.Evaluate[int](script)(ctx, target)
		return chromedp.Void{}, err
	}
}

// keepScreen writes a picture of what is on the screen.
func keepScreen(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	if err := os.MkdirAll(screens, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(screens, name+".png"), get(t, ctx, chromedp.CaptureScreenshot()), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestCardsInBrowser looks at the cards of every way of setting on a narrow screen, in
// the dark and in the light.
func TestCardsInBrowser(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, at := openBrowser(t, s)
	do(t, ctx, chromedp.EmulateViewport(360, 740), chromedp.Navigate(at+site+"/numbers/cards?loop=1.1"), chromedp.WaitVisible("h1"))
	for _, scheme := range []string{"dark", "light"} {
		media(t, ctx, scheme)
		mustBeWhole(t, ctx, "cards, "+scheme)
		if c := get(t, ctx, chromedp.Evaluate[float64](contrast)); c < 7 {
			t.Errorf("in the %s a lever has a contrast of %.1f, want 7", scheme, c)
		}
		for i, way := range []string{"card-lever", "card-pointer", "card-takes"} {
			do(t, ctx, scrolledTo("."+way))
			keepScreen(t, ctx, fmt.Sprintf("cards-360-%s-%d", scheme, i))
		}
	}
	accessible(t, ctx, "cards")
	point := aSmokePoint(t, surveyOf(t, s))
	do(t, ctx, chromedp.Navigate(at+pointAddress(surveyOf(t, s), point)), chromedp.Click(`.setting-card-box summary`), chromedp.WaitVisible(`.setting-card svg`))
	mustBeWhole(t, ctx, "point")
	do(t, ctx, scrolledTo(".setting-card"))
	keepScreen(t, ctx, "point-card-360")
}

// TestCardOnPhone opens the setting card of the first point of a visit, without
// network.
func TestCardOnPhone(t *testing.T) {
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	server := newOutage(t, s)
	ctx, end := startPhone(t, t.TempDir())
	defer end()
	do(t, ctx, chromedp.EmulateViewport(360, 740))
	openPhone(t, ctx, server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/")))
	server.stop()
	do(t, ctx, chromedp.Click("#cardbox summary"), chromedp.WaitVisible("#card svg"))
	for _, scheme := range []string{"dark", "light"} {
		media(t, ctx, scheme)
		mustBeWhole(t, ctx, "phone, "+scheme)
		do(t, ctx, scrolledTo("#card"))
		keepScreen(t, ctx, "phone-card-360-"+scheme)
	}
	number := get(t, ctx, chromedp.Text("#number"))
	if drawn := get(t, ctx, chromedp.Evaluate[string](`document.querySelector("#card .card-number").textContent`)); drawn != number {
		t.Errorf("the point is %s, its card says %s", number, drawn)
	}
}
