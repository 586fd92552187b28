package web

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/shape"
)

// foldCase is a pack, and what somebody does with it on a phone, in order.
type foldCase struct {
	Pack  shape.Bench  `json:"pack"`
	Deeds []foldDeed   `json:"deeds"`
	Given []phoneGiven `json:"given"`
}

// foldDeed is one thing done: a device set, a place skipped, a device rejected, or what
// was done in this phone's deed of that number taken back.
type foldDeed struct {
	What  string     `json:"what"`
	Given phoneGiven `json:"given"`
	Why   string     `json:"why"`
	Back  int        `json:"back"`
}

// folded is what the page makes of it: how the run stands, and the entries.
type folded struct {
	Stood   stood           `json:"stood"`
	Entries json.RawMessage `json:"entries"`
}

// deeds does with a run on a phone what the page does, and says how it stands.
const deeds = `(async c => {
	const kept = []; VisitStore.keep = async entries => { kept.push(...entries); };
	let at = c.pack.now + 1000; const groups = [];
	const hands = run => { const made = BenchWrite.hands(run, kept); return made; };
	for (const d of c.deeds) {
		const run = BenchRun.of({...c.pack, phone: true}, kept);
		const w = hands(run);
		const g = {...d.given, modes: d.given.modes ?? {}, samples: d.given.samples ?? []};
		const place = run.place(g.point);
		if (d.what === "done") {
			const looked = BenchLook.look(run, g);
			if (looked.remarks.some(r => r.grave === "refused")) { groups.push(null); continue; }
			groups.push(await w.done(g, looked));
		} else if (d.what === "skip") groups.push(place && !place.done.length ? await w.skip(g.point, d.why) : null);
		else if (d.what === "reject") groups.push(await w.reject("", g, d.why));
		else {
			const of = groups[d.back]?.find(e => e.kind === "benched"), rec = of && run.records.find(r => r.id === of.id);
			groups.push(rec ? await w.undo(rec) : null);
		}
	}
	const run = BenchRun.of({...c.pack, phone: true}, kept);
	return {stood: stand(run, c.given), entries: kept.map(({id, at, point, kind, body}) => ({id, at, point, kind, body}))};
})`

// TestBenchFoldsAlike has a phone go through parts of runs without network: devices set,
// places skipped, devices rejected, deeds taken back. What the page then says is what the
// engine says once all was handed in: what is in hand, what is left, and every look.
func TestBenchFoldsAlike(t *testing.T) {
	w := newBenchWorld(t, 17)
	ctx, address := openBrowser(t, w.s)
	do(t, ctx, chromedp.Navigate(address+"/bench"))
	entries, undone := 0, 0
	for range 75 {
		w.site()
		run := w.open()
		for range w.chance.IntN(4) {
			w.act(run)
			w.meddle(run)
			run = w.again(run)
		}
		c := foldCase{Pack: w.pack(run)}
		for i := range 1 + w.chance.IntN(12) {
			d := foldDeed{What: w.one("done", "done", "done", "done", "skip", "reject", "undo"), Why: "cracked", Back: w.chance.IntN(i + 1)}
			g := w.given(run)
			if len(run.Places) > 0 && w.chance.IntN(3) > 0 {
				g.Point = run.Places[w.chance.IntN(len(run.Places))].Point.ID
			}
			d.Given = ofGiven(&g)
			c.Deeds = append(c.Deeds, d)
		}
		for range 10 {
			g := w.given(run)
			c.Given = append(c.Given, ofGiven(&g))
		}
		text, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		got := get(t, ctx, chromedp.Evaluate[folded](`(() => { `+stand+` return `+deeds+`(`+string(text)+`); })()`, chromedp.EvalAwaitPromise))
		captures, refused, err := shape.ReadCaptures(strings.NewReader(`{"entries":` + string(got.Entries) + `}`))
		if err != nil || len(refused) > 0 {
			t.Fatal(err, refused)
		}
		for _, capture := range captures {
			if capture.Body.Kind() == sootline.WithdrawnKind {
				undone++
			}
		}
		w.s.App.Now() // time goes on
		handed, err := w.s.App.HandIn(context.Background(), w.line.ID, captures)
		if err != nil || len(handed.Refused) > 0 {
			t.Fatal(err, handed.Refused)
		}
		entries += len(captures)
		run = w.again(run)
		sameLeft(t, got.Stood.Left, shape.OfBenchLeft(run))
		if hands := [2]string{handSaid(run.InHand(false)), handSaid(run.InHand(true))}; got.Stood.Hands != hands {
			t.Fatalf("after %d entries, in hand on the page %v, by the engine %v", len(captures), got.Stood.Hands, hands)
		}
		for k, g := range c.Given {
			looked := run.Look(w.given0(g).Given)
			want := shape.OfBenchLook(&looked)
			asked := benchCase{Given: c.Given}
			sameLook(t, &asked, k, sorted(&got.Stood.Looks[k]), sorted(&want))
		}
	}
	if undone < 20 || entries < 500 {
		t.Errorf("only %d entries, %d of them take something back", entries, undone)
	}
	t.Logf("%d entries, %d of them take something back", entries, undone)
}
