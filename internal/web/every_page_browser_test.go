package web

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestEveryPageCanBeUsed reads every page that links lead to on a phone: axe finds nothing in either look, what is pressed is 24 px
// at least (WCAG 2.2, 2.5.8, from memory), and nothing stands past the side at 320 px and with text of twice the size.
func TestEveryPageCanBeUsed(t *testing.T) {
	needBrowser(t)
	demo, _ := withDemo(t, nil)
	for name, s := range map[string]*Server{"demo": demo, "empty site": smallBook(t, true)} {
		ctx, address := openBrowser(t, s)
		pages := crawled(t, s)
		if len(pages) < 25 {
			t.Errorf("%s: links lead to %d pages only", name, len(pages))
		}
		for _, page := range pages {
			where := name + ", " + pageShape(page)
			do(t, ctx, chromedp.EmulateViewport(360, 740))
			media(t, ctx, "light")
			do(t, ctx, chromedp.Navigate(address+page), chromedp.WaitVisible("h1"))
			accessible(t, ctx, where)
			if small := get(t, ctx, chromedp.Evaluate[string](smallTargets)); small != "" {
				t.Errorf("%s: too small to press: %s", where, small)
			}
			media(t, ctx, "dark")
			accessible(t, ctx, where+", dark")
			do(t, ctx, chromedp.EmulateViewport(320, 640))
			if past := get(t, ctx, chromedp.Evaluate[string](pastTheSide)); past != "" {
				t.Errorf("%s at 320 px: %s", where, past)
			}
			get(t, ctx, chromedp.Evaluate[any](`document.documentElement.style.fontSize = "200%"`))
			if past := get(t, ctx, chromedp.Evaluate[string](pastTheSide)); past != "" {
				t.Errorf("%s at 320 px, text at 200 %%: %s", where, past)
			}
		}
	}
}
