package web

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// benchLoop makes a site of so many places on one loop, with numbers wanted and modes
// wished for, and begins a run of them.
func benchLoop(t *testing.T, s *Server, places int, box []sootline.BoxDevice) (site string, run string) {
	t.Helper()
	ctx := context.Background()
	id := sootline.DerivedID(today, []byte("bench loop"))
	f := func(x float64) *float64 { return &x }
	spread := 0.5
	at := s.App.Now().Add(-time.Hour)
	n := 0
	entry := func(point sootline.ID, body sootline.Body) sootline.Entry {
		n++
		return sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, n)), Site: id, At: sootline.Instant(at), Noted: sootline.Instant(at), By: "A. Tech", Station: "laptop", Point: point, Body: body}
	}
	entries := []sootline.Entry{
		entry(sootline.ID{}, sootline.Opened{Name: "Mill", Zone: "UTC"}),
		entry(sootline.ID{}, sootline.LoopFacts{Panel: "1", Loop: "1", First: 1, Last: 126, Unset: 127}),
		entry(sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke, Settings: map[string]string{"address": "switches 7"}, Bands: []sootline.Band{{Low: f(20), High: f(40)}}, FactoryRest: f(25), PooledSD: &spread, Unit: "%"}}),
		entry(sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Ash", Kind: sootline.Heat, Settings: map[string]string{"address": "dials 15"}, Bands: []sootline.Band{{Low: f(20), High: f(40)}}, FactoryRest: f(25), PooledSD: &spread, Unit: "%"}}),
		entry(sootline.ID{}, sootline.Wish{Type: "Larch", Settings: map[string]string{"blink": "off", "sensitivity": "high"}, Reason: "bedrooms"}),
	}
	for i := range places {
		p := sootline.DerivedID(at, fmt.Append(nil, "place", i))
		kind := "Larch"
		if i%10 == 9 {
			kind = "Ash"
		}
		entries = append(entries, entry(p, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Order: i + 1, Location: fmt.Sprintf("Room %d", 100+i), Area: fmt.Sprintf("Corridor %c", 'A'+i/30), Floor: fmt.Sprint(1 + i/60)}, Type: kind}),
			entry(p, sootline.Addressed{Wanted: i + 1}))
	}
	err := s.App.Book.Write(ctx, func(tx *store.Tx) error {
		if err := tx.PutSite(id, "Mill"); err != nil {
			return err
		}
		return tx.Append(id, "laptop", func(w *store.Writer) error {
			for _, e := range entries {
				if err := w.Add(e); err != nil {
					return err
				}
			}
			return nil
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	line := store.SiteLine{ID: id, Name: "Mill"}
	opened, err := s.App.OpenBench(ctx, line, app.BenchOpening{Name: "box 3", Box: box})
	if err != nil {
		t.Fatal(err)
	}
	return "/site/" + id.String(), "/site/" + id.String() + "/bench/" + opened.ID.String()
}

// smallPhone makes the screen one of 360 by 740.
func smallPhone(t *testing.T, ctx context.Context) {
	t.Helper()
	do(t, ctx, chromedp.EmulateViewport(360, 740))
	if _, err := chromedp.Call(ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err)
	}
}

// openRun loads the page of a run and waits until it can do without network.
func openRun(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	do(t, ctx, chromedp.Navigate(address), chromedp.WaitVisible("#work"))
	until(t, ctx, `document.getElementById("number").textContent && await navigator.serviceWorker.ready && (await caches.keys()).length === 1 && document.getElementById("kept").textContent.startsWith("All is handed in")`)
}

// TestBenchScreens keeps pictures of the bench on a phone of 360 by 740, light and dark,
// and sees that what is to be set, the verdict, the digits and the button that writes
// are all on that one screen, and large enough for a glove.
func TestBenchScreens(t *testing.T) {
	s := newServer(t, realTime)
	site, at := benchLoop(t, s, 12, nil)
	ctx, address := openBrowser(t, s)
	smallPhone(t, ctx)
	do(t, ctx, chromedp.Navigate(address+at), chromedp.WaitVisible("#work"))
	until(t, ctx, `document.getElementById("card").firstElementChild`)
	oneScreen := func(name string) {
		t.Helper()
		for _, scheme := range []string{"light", "dark"} {
			media(t, ctx, scheme)
			accessible(t, ctx, name+" "+scheme)
			noSideways(t, ctx, name+" "+scheme)
			keepScreen(t, ctx, name+"-360-"+scheme)
		}
		const outside = `["number", "card", "where", "steps", "serial", "readback", "verdict", "pad", "write"].filter(id => {
			const e = document.getElementById(id), b = e.getBoundingClientRect();
			return b.height === 0 || b.top < 0 || b.bottom > innerHeight + 0.5 || (id !== "verdict" && id !== "card" && !e.contains(document.elementFromPoint(b.left + b.width / 2, b.top + Math.min(b.height / 2, b.height - 2))));
		}).join(", ")`
		if out := get(t, ctx, chromedp.Evaluate[string](outside)); out != "" {
			t.Errorf("%s: not on the screen, or covered: %s", name, out)
		}
		const small = `[...document.querySelectorAll("#work button, #work input, .bar button, .bar a")].filter(e => e.checkVisibility()).filter(e => { const b = e.getBoundingClientRect(); return b.height < 47.5 || b.width < 44; }).map(e => e.id + e.textContent).join(", ")`
		if few := get(t, ctx, chromedp.Evaluate[string](small)); few != "" {
			t.Errorf("%s: too small for a glove: %s", name, few)
		}
	}
	oneScreen("bench-first")
	run[any](t, ctx, `(() => { document.querySelector('#readback [value=all]').click(); for (const k of ["3", "1", "more", "3", "1", ".", "5", "more", "3", "1"]) document.querySelector('[data-key="' + k + '"]').click(); document.getElementById("serial").value = "S-0001"; document.getElementById("serial").dispatchEvent(new Event("input")); })()`)
	oneScreen("bench-typed")
	run[any](t, ctx, `(() => { for (const k of ["more", "5", "9", "more", "5", "9", "more", "5", "9", "more", "5", "9"]) document.querySelector('[data-key="' + k + '"]').click(); document.getElementById("write").click(); })()`)
	oneScreen("bench-asked")
	run[any](t, ctx, `document.getElementById("list").click(); document.getElementById("wanted").value = "10"; document.querySelector("#byname button").click()`)
	keepScreen(t, ctx, "bench-dials-360-light")
	for panel, name := range map[string]string{"more": "bench-more", "list": "bench-left"} {
		do(t, ctx, chromedp.Click("#"+panel))
		media(t, ctx, "light")
		accessible(t, ctx, name)
		noSideways(t, ctx, name)
		keepScreen(t, ctx, name+"-360-light")
	}
	do(t, ctx, chromedp.EmulateViewport(1280, 900), chromedp.Click("#more"))
	keepScreen(t, ctx, "bench-run-desk")
	do(t, ctx, chromedp.Navigate(address+site+"/bench"), chromedp.WaitVisible("h1"))
	look(t, ctx, "bench")
}
