package web

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/app"
	kept "sootline/internal/keep"
	"sootline/internal/store"
)

// startPhone starts Chromium with a folder of its own, so that what it keeps
// survives when it is ended and started again.
func startPhone(t *testing.T, folder string, more ...chromedp.ExecAllocatorOption) (ctx context.Context, end func()) {
	t.Helper()
	needBrowser(t)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.UserDataDir(folder), chromedp.Flag("disable-dev-shm-usage", true))
	options = append(options, more...)
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...) // not the test's own: it ends before this is put away
	ctx, closeTab := chromedp.NewContext(allocator)
	ctx, cancel := context.WithTimeout(ctx, 4*time.Minute)
	do(t, ctx, chromedp.EmulateViewport(390, 844))
	end = sync.OnceFunc(func() {
		if err := chromedp.Cancel(ctx); err != nil {
			t.Error(err)
		}
		cancel()
		closeTab()
		stop()
	})
	t.Cleanup(end)
	return ctx, end
}

// run evaluates a script in the page and waits for what it promises.
func run[T any](t *testing.T, ctx context.Context, script string) T {
	t.Helper()
	return get(t, ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
}

// until waits for a condition in the page.
func until(t *testing.T, ctx context.Context, condition string) {
	t.Helper()
	for range 200 {
		if run[bool](t, ctx, `(async () => Boolean(`+condition+`))()`) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("never came true: %s; the page says %q, %q", condition, run[string](t, ctx, `document.getElementById("kept")?.textContent ?? ""`), run[string](t, ctx, `document.getElementById("trouble")?.textContent ?? ""`))
}

// captureReadings types n readings by the page's own buttons, going from point to
// point, and waits after each until the page says that it is kept.
func captureReadings(t *testing.T, ctx context.Context, n, salt int) {
	t.Helper()
	run[int](t, ctx, fmt.Sprintf(`(async () => {
		const $ = id => document.getElementById(id), key = k => document.querySelector('#pad [data-key="' + k + '"]').click();
		const mine = async () => (await VisitStore.all("entries")).length;
		for (let i = 0; i < %d; i++) {
			const before = await mine();
			document.querySelector("[data-mode=read]").click();
			for (const digit of String(20 + (i * 7 + %d) %% 20)) key(digit);
			$("write").click();
			if (!$("again").hidden) $("write").click(); // far from what is expected: it is so
			for (let wait = 0; await mine() === before; wait++) { if (wait > 400) throw new Error("not kept: " + $("trouble").textContent); await new Promise(done => setTimeout(done, 5)); }
			$("next").click();
		}
		return mine();
	})()`, n, salt))
}

// openPhone loads the capture page of a site and waits until it can do without network.
func openPhone(t *testing.T, ctx context.Context, address string) {
	t.Helper()
	do(t, ctx, chromedp.Navigate(address), chromedp.WaitVisible("#point"))
	until(t, ctx, `document.getElementById("number").textContent && await navigator.serviceWorker.ready && (await caches.keys()).length === 1 && document.getElementById("kept").textContent.startsWith("All is handed in")`)
}

// capturedIDs gives how often each captured reading is in the book.
func capturedIDs(t *testing.T, s *Server, since time.Time) map[sootline.ID]int {
	t.Helper()
	lines, err := s.App.Sites(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	entries, err := s.App.Book.Entries(context.Background(), lines[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	found := map[sootline.ID]int{}
	for _, e := range entries {
		if e.Body.Kind() == sootline.ReadKind && !e.At.Before(since) {
			found[e.ID]++
		}
	}
	return found
}

// realTime makes the server go by the real clock, as the browser does.
func realTime(c *Config) { c.App.Now = time.Now }

// TestPhoneOffline captures 200 readings while the server is stopped, with the
// browser ended and started again in between; then hands them in to a server that
// is killed while it answers. All arrive, none twice, none lost.
func TestPhoneOffline(t *testing.T) {
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	began := time.Now().Add(-time.Second)
	folder := t.TempDir()
	ctx, end := startPhone(t, folder)
	server := newOutage(t, s)
	capture := server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/"))
	openPhone(t, ctx, capture)
	server.stop()
	captureReadings(t, ctx, 100, 1)
	until(t, ctx, `document.getElementById("kept").textContent.startsWith("100 entries are only on this phone. No network.")`)
	end()

	ctx, _ = startPhone(t, folder) // the server is still stopped
	do(t, ctx, chromedp.Navigate(capture), chromedp.WaitVisible("#point"))
	until(t, ctx, `document.getElementById("kept").dataset.open === "100"`)
	captureReadings(t, ctx, 100, 2)
	until(t, ctx, `document.getElementById("kept").dataset.open === "200"`)
	keep(t, ctx, "capture-offline")
	if found := capturedIDs(t, s, began); len(found) != 0 {
		t.Fatalf("%d readings arrived at a server that was stopped", len(found))
	}

	server.cut.Store(6)
	server.start()
	for range 40 {
		if run[string](t, ctx, `VisitSync.round(location.hash.slice(1)).then(() => document.getElementById("kept").dataset.open)`) == "0" {
			break
		}
	}
	until(t, ctx, `document.getElementById("kept").textContent === "All is handed in."`)
	found := capturedIDs(t, s, began)
	if len(found) != 200 {
		t.Errorf("%d readings arrived, want 200", len(found))
	}
	for id, times := range found {
		if times != 1 {
			t.Errorf("%s is in the log %d times", id, times)
		}
	}
	here := run[string](t, ctx, `VisitStore.all("entries").then(all => all.map(e => e.id).join(" "))`)
	for _, id := range strings.Fields(here) {
		parsed, err := sootline.ParseID(id)
		if err != nil || found[parsed] != 1 {
			t.Errorf("%s was captured, and is in the log %d times", id, found[parsed])
		}
	}
	if n := server.handIns.Load(); n < 10 {
		t.Errorf("only %d requests handed in: nothing was cut off", n)
	}
	// Handing in everything once more changes nothing.
	run[any](t, ctx, `(async () => { for (const e of await VisitStore.all("entries")) await VisitStore.put("entries", {...e, state: 0}); await VisitSync.round(location.hash.slice(1)); })()`)
	until(t, ctx, `document.getElementById("kept").dataset.open === "0"`)
	if again := capturedIDs(t, s, began); len(again) != 200 {
		t.Errorf("handed in again, %d readings are in the log", len(again))
	}
	verification, err := s.App.Verify(context.Background(), surveyOf(t, s).Register.Site.ID)
	if err != nil || len(verification.Faults) > 0 {
		t.Errorf("the chains: %v, %v", verification.Faults, err)
	}
}

// TestPhoneClock captures on a phone whose clock is a day behind, and one that is
// a day ahead: it is said, and the log has the server's time.
func TestPhoneClock(t *testing.T) {
	for name, c := range map[string]struct{ shift, says string }{
		"behind": {"-86400000", "24 hours behind"}, "ahead": {"+86400000", "24 hours ahead of"},
	} {
		t.Run(name, func(t *testing.T) {
			s, site := withDemo(t, realTime)
			openAt(t, visit(t, s), site, nil)
			began := time.Now()
			ctx, _ := startPhone(t, t.TempDir())
			server := newOutage(t, s)
			shift := page.AddScriptToEvaluateOnNewDocumentParams{Source: `{ const now = Date.now.bind(Date); Date.now = () => now() ` + c.shift + `; }`}
			if _, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, shift); err != nil {
				t.Fatal(err)
			}
			openPhone(t, ctx, server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/")))
			until(t, ctx, `document.getElementById("clock").textContent.includes("`+c.says+`")`)
			server.stop()
			captureReadings(t, ctx, 3, 5)
			server.start()
			run[any](t, ctx, `VisitSync.round(location.hash.slice(1))`)
			until(t, ctx, `document.getElementById("kept").dataset.open === "0"`)
			found := capturedIDs(t, s, began.Add(-5*time.Second))
			if len(found) != 3 {
				t.Errorf("%d readings have a time since the visit began, want 3", len(found))
			}
			keep(t, ctx, "capture-clock-"+name)
		})
	}
}

// TestTwoPhonesInBrowser has two phones capture on one visit in ten random orders,
// with and without a server, and both end up showing the same as the log.
func TestTwoPhonesInBrowser(t *testing.T) {
	s, site := withDemo(t, realTime)
	openAt(t, visit(t, s), site, nil)
	first, _ := startPhone(t, t.TempDir())
	second, closeSecond := chromedp.NewContext(first)
	t.Cleanup(closeSecond)
	server := newOutage(t, s)
	began := time.Now().Add(-time.Second)
	// Two host names are two origins: two phones in one browser.
	phones := [2]context.Context{first, second}
	for i, host := range []string{"127.0.0.1", "localhost"} {
		code := s.pairings.make(app.Invitation{Person: "L. Local"}, time.Now())
		do(t, phones[i], chromedp.Navigate(server.at(host, "/pair?code="+url.QueryEscape(code))), chromedp.SendKeys("[name=name]", host), chromedp.Click("button.main"), chromedp.WaitVisible("#calendar"))
		openPhone(t, phones[i], server.at(host, "/capture#"+strings.TrimPrefix(site, "/site/")))
	}
	captured := 0
	for order := range 10 {
		chance := rand.New(rand.NewPCG(uint64(order), 3))
		up := true
		for range 6 {
			if chance.IntN(2) == 0 {
				if up = !up; up {
					server.start()
				} else {
					server.stop()
				}
			}
			captureReadings(t, phones[chance.IntN(2)], 1+chance.IntN(2), chance.IntN(20))
		}
		if !up {
			server.start()
		}
		var shown [2]string
		for range 3 {
			for i, phone := range phones {
				run[any](t, phone, `VisitSync.round(location.hash.slice(1))`)
				until(t, phone, `document.getElementById("kept").dataset.open === "0"`)
				shown[i] = run[string](t, phone, `VisitStore.get("done", location.hash.slice(1)).then(d => JSON.stringify(d.done.map(e => e.id)))`)
			}
			if shown[0] == shown[1] {
				break
			}
		}
		var ids []string
		if err := json.Unmarshal([]byte(shown[0]), &ids); err != nil || shown[0] != shown[1] {
			t.Fatalf("order %d: the phones show different things: %v", order, err)
		}
		found := capturedIDs(t, s, began)
		if captured = len(ids); captured != len(found) {
			t.Fatalf("order %d: the phones show %d readings, the log has %d", order, captured, len(found))
		}
		both := run[int](t, phones[0], `VisitStore.all("entries").then(all => all.length)`) + run[int](t, phones[1], `VisitStore.all("entries").then(all => all.length)`)
		if both != captured {
			t.Fatalf("order %d: captured %d, the log has %d", order, both, captured)
		}
	}
	stations := map[string]bool{}
	for _, d := range doneOf(t, visit(t, s), site).Done {
		stations[d.Station] = true
	}
	if len(stations) != 2 || stations["laptop"] {
		t.Errorf("the entries are of the stations %v", stations)
	}
	t.Logf("%d readings of two phones in ten orders", captured)
}

// TestPhoneKeepsUntilBackedUp: what a phone handed in stays on it until a backup
// holds it; put back from that backup, the book gets the rest again.
func TestPhoneKeepsUntilBackedUp(t *testing.T) {
	s, site := withDemo(t, realTime)
	b := visit(t, s)
	next := func() { // closes the visit and opens another
		if res := b.post(site+"/visit/close", url.Values{"left": {"not normal"}}); res.StatusCode != http.StatusSeeOther {
			t.Fatalf("closing gives %d: %s", res.StatusCode, read(t, res))
		}
		openAt(t, b, site, nil)
	}
	openAt(t, b, site, nil)
	began := time.Now().Add(-time.Second)
	ctx, _ := startPhone(t, t.TempDir())
	server := newOutage(t, s)
	openPhone(t, ctx, server.at("127.0.0.1", "/capture#"+strings.TrimPrefix(site, "/site/")))
	held := func(state int) int {
		return run[int](t, ctx, fmt.Sprintf(`VisitStore.all("entries").then(all => all.filter(e => e.state === %d).length)`, state))
	}
	const fetch = `VisitSync.fetchPack(location.hash.slice(1)).then(() => true)`
	captureReadings(t, ctx, 3, 1)
	until(t, ctx, `document.getElementById("kept").textContent === "All is handed in."`)
	next()
	run[bool](t, ctx, fetch)
	if n := held(1); n != 3 {
		t.Fatalf("with no backup the phone holds %d of 3", n)
	}
	second := time.Now().Truncate(time.Second)
	for !time.Now().Truncate(time.Second).After(second) { // a backup is dated to the second
		time.Sleep(10 * time.Millisecond)
	}
	k, folder := keeping(t, s, kept.Keys{})
	k.Look(t.Context())
	backups, _ := filepath.Glob(filepath.Join(folder, "book-*"))
	run[bool](t, ctx, fetch)
	if n := held(1); n != 0 || len(backups) != 1 {
		t.Fatalf("with %d backups the phone still holds %d", len(backups), n)
	}
	do(t, ctx, chromedp.Reload(), chromedp.WaitVisible("#point"))
	captureReadings(t, ctx, 2, 2)
	until(t, ctx, `document.getElementById("kept").textContent === "All is handed in."`)

	path := s.App.Book.Path()
	if err := s.App.Book.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Restore(t.Context(), backups[0], path, nil); err != nil {
		t.Fatal(err)
	}
	book, err := store.Open(t.Context(), path, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { book.Close() }) //nolint:errcheck // the first one is looked at
	s.App.Book, s.App.Logs = book, app.NewLogs(app.MostLogs)
	if n := len(capturedIDs(t, s, began)); n != 3 {
		t.Fatalf("the backup holds %d readings", n)
	}
	for range 3 { // one round learns of it, the next hands in
		run[any](t, ctx, `VisitSync.round(location.hash.slice(1))`)
	}
	if n := len(capturedIDs(t, s, began)); n != 5 || held(0) != 0 || held(2) != 0 {
		t.Errorf("put back, the book holds %d of 5 readings; %d are still to be handed in, %d refused", n, held(0), held(2))
	}
}
