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
// wished for, and begins a run of them; more are places of their own.
func benchLoop(t *testing.T, s *Server, places int, box []sootline.BoxDevice, more ...sootline.Fitted) (site string, run string) {
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
		entry(sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Yew", Kind: sootline.Module, Width: 4, Settings: map[string]string{"address": "switches 7"}}}),
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
	for i, fitted := range more {
		p := sootline.DerivedID(at, fmt.Append(nil, "another place", i))
		entries = append(entries, entry(p, fitted), entry(p, sootline.Addressed{Wanted: fitted.Order}))
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
