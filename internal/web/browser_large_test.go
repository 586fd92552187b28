package web

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestLargeSite looks at a site of 10,000 points, and at a wide screen.
func TestLargeSite(t *testing.T) {
	s := newServer(t, nil)
	site := bigSite(t, s, 10000, 2)
	ctx, address := openBrowser(t, s)
	for name, page := range map[string]string{"site": "", "points": "/points", "loop": "/loop", "power": "/power", "log": "/log"} {
		for _, width := range []int64{390, 2560} {
			do(t, ctx, chromedp.EmulateViewport(width, 1440), chromedp.Navigate(address+site+page), chromedp.WaitVisible("h1"))
			where := "large-" + name + map[int64]string{390: "-phone", 2560: "-wide"}[width]
			noSideways(t, ctx, where)
			keep(t, ctx, where)
		}
	}
	accessible(t, ctx, "large")
}

// TestZoom asks for a ring four times as large by its link, and moves about in it
// by the keyboard.
func TestZoom(t *testing.T) {
	s, site := withDemo(t, nil)
	ctx, address := openBrowser(t, s)
	for _, width := range []int64{390, 1440} {
		do(t, ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(address+site+"/loop"), chromedp.WaitVisible("h1"),
			chromedp.Click(`a[href$="zoom=4"]`), chromedp.WaitVisible(`a[href$="zoom=4"][aria-current]`))
		accessible(t, ctx, "zoom")
		noSideways(t, ctx, "zoom")
		const shown = `[...document.querySelectorAll(".zoom-4")].find(e => e.checkVisibility())`
		if wide := get(t, ctx, chromedp.Evaluate[bool](shown+`.scrollWidth > 2.5 * `+shown+`.clientWidth`)); !wide {
			t.Error("the drawing is not much wider than its place")
		}
		get(t, ctx, chromedp.Evaluate[any](shown+`.focus()`))
		if focused := get(t, ctx, chromedp.Evaluate[bool](`document.activeElement === `+shown)); !focused {
			t.Error("the drawing cannot have the focus, so the keyboard cannot move it")
		}
		keep(t, ctx, map[int64]string{390: "zoom-phone", 1440: "zoom-desk"}[width])
	}
}
