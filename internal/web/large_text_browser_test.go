package web

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestLargeTextStaysOnTheScreen reads the pages of a site with text of twice the size on a
// phone, and on one of 320 px: nothing stands past the side of the screen.
func TestLargeTextStaysOnTheScreen(t *testing.T) {
	s, site := withDemo(t, nil)
	point := pointAddress(surveyOf(t, s), surveyOf(t, s).Register.Points()[0])
	ctx, address := openBrowser(t, s)
	for name, page := range map[string]string{
		"today": "/", "site": site, "points": site + "/points", "add": site + "/points/add", "point": point, "place": point + "/place?do=move", "find": "/find?q=1.1.0",
		"settings": site + "/settings", "rules": site + "/settings/rules", "new": "/sites/add", "visit": site + "/visit", "intake": site + "/intake",
	} {
		do(t, ctx, chromedp.EmulateViewport(360, 740), chromedp.Navigate(address+page), chromedp.WaitVisible("h1"))
		keep(t, ctx, "hand-"+name)
		get(t, ctx, chromedp.Evaluate[any](`document.documentElement.style.fontSize = "200%"`))
		if past := get(t, ctx, chromedp.Evaluate[string](pastTheSide)); past != "" {
			t.Errorf("%s, large text: %s", name, past)
		}
		do(t, ctx, chromedp.EmulateViewport(320, 740), chromedp.Navigate(address+page), chromedp.WaitVisible("h1"))
		if past := get(t, ctx, chromedp.Evaluate[string](pastTheSide)); past != "" {
			t.Errorf("%s, 320 px: %s", name, past)
		}
	}
}

// pastTheSide names what makes a page wider than the screen; empty: nothing does.
const pastTheSide = `(() => {
	const page = document.documentElement, wide = page.scrollWidth - page.clientWidth;
	if (wide <= 0) return "";
	const past = [...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > page.clientWidth + 1 && !e.closest(".scroll"));
	return wide + " px: " + past.slice(0, 12).map(e => e.tagName + "." + e.className + " " + e.textContent.trim().slice(0, 20)).join("; ");
})()`
