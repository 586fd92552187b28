package web

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// benchWorld makes random sites and runs at the bench.
type benchWorld struct {
	t      *testing.T
	s      *Server
	chance *rand.Rand
	n      int  // sites so far
	calm   bool // devices of one type, which rest alike and have serials of their own
	line   store.SiteLine
}

// newBenchWorld has a clock that goes on by itself, some 20 seconds a look.
func newBenchWorld(t *testing.T, seed uint64) *benchWorld {
	clock := today
	s := newServer(t, func(c *Config) {
		c.App.Now = func() time.Time { clock = clock.Add(time.Second); return clock }
	})
	return &benchWorld{t: t, s: s, chance: rand.New(rand.NewPCG(seed, 5))}
}

func (w *benchWorld) one(of ...string) string { return of[w.chance.IntN(len(of))] }

// sheets describe types that are set in several ways, with bands of two ends, one or
// none, and with bands of a setting.
func (w *benchWorld) sheets() []sootline.Body {
	f := func(x float64) *float64 { return &x }
	sheet := func(name string, kind sootline.DeviceKind, width int, set string, rest *float64, bands ...sootline.Band) sootline.Body {
		return sootline.Sheet{TypeSheet: sootline.TypeSheet{
			Name: name, Kind: kind, Width: width, Settings: map[string]string{"address": set}, FactoryRest: rest, Bands: bands, PooledSD: f(0.4), Unit: w.one("", "%"),
		}}
	}
	return []sootline.Body{
		sheet("Larch", sootline.Smoke, 1, "switches 7", f(25), sootline.Band{Low: f(20), High: f(40)}),
		sheet("Ash", sootline.Smoke, 1, "dials 9", nil, sootline.Band{Setting: "mode=high", Low: f(30), High: f(50)}, sootline.Band{Low: f(10), High: f(30)}),
		sheet("Elm", sootline.Heat, 1, "electronic", nil, sootline.Band{High: f(35)}),
		sheet("Fir", sootline.Smoke, 1, "switches 5", nil),
		sheet("Yew", sootline.Module, 4, "switches 7", nil),
	}
}

// site makes a site of some 20 places, whose numbers are wanted, listed, found, set or unknown.
func (w *benchWorld) site() {
	w.t.Helper()
	w.n++
	w.calm = w.n%3 == 0
	id := sootline.DerivedID(today, fmt.Append(nil, "bench site", w.n))
	facts := sootline.LoopFacts{Panel: "1", Loop: "1", First: 1, Last: 60 + w.chance.IntN(66), Unset: 127, Separate: w.chance.IntN(3) == 0}
	if w.chance.IntN(2) == 0 {
		facts.Reserved = []int{3, 7}
	}
	bodies := append(w.sheets(), facts)
	if w.chance.IntN(2) == 0 {
		bodies = append(bodies, sootline.Wish{Type: "Ash", Settings: map[string]string{"mode": "high"}, Reason: w.one("", "kitchen")})
	}
	var entries []sootline.Entry
	add := func(point sootline.ID, body sootline.Body) {
		at := w.s.App.Now()
		entries = append(entries, sootline.Entry{ID: sootline.NewID(at, w.s.App.Random()), Site: id, At: sootline.Instant(at), Noted: sootline.Instant(at), By: "A. Tech", Station: "laptop", Point: point, Body: body})
	}
	for _, b := range bodies {
		add(sootline.ID{}, b)
	}
	for i := range 12 + w.chance.IntN(10) {
		w.place(i, add)
	}
	err := w.s.App.Book.Write(context.Background(), func(tx *store.Tx) error {
		if err := tx.PutSite(id, fmt.Sprint("Bench ", w.n)); err != nil {
			return err
		}
		return tx.Append(id, "laptop", func(out *store.Writer) error {
			for _, e := range entries {
				if err := out.Add(e); err != nil {
					return err
				}
			}
			return nil
		})
	})
	if err != nil {
		w.t.Fatal(err)
	}
	w.line = store.SiteLine{ID: id, Name: fmt.Sprint("Bench ", w.n)}
}

func (w *benchWorld) place(i int, add func(sootline.ID, sootline.Body)) {
	p := sootline.DerivedID(today, fmt.Append(nil, "bench place", w.n, i))
	if w.calm {
		add(p, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Order: i + 1}, Type: "Larch"})
		add(p, sootline.Addressed{Wanted: i + 1})
		return
	}
	fitted := sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "1", Order: i + 1, Location: w.one("", "Hall", fmt.Sprint("Room ", i)), Area: w.one("", "North")}, Type: w.one("Larch", "Larch", "Ash", "Elm", "Fir", "Yew", "")}
	if w.chance.IntN(4) == 0 {
		fitted.Serial = w.serial()
	}
	add(p, fitted)
	number := func() int { return 1 + w.chance.IntN(40) }
	switch w.chance.IntN(7) {
	case 0:
	case 1:
		add(p, sootline.Addressed{Listed: w.chance.IntN(2)*126 + 1})
	case 2:
		add(p, sootline.Addressed{Set: number()})
	case 3:
		add(p, sootline.Addressed{Wanted: i + 1, Found: number()})
	default:
		add(p, sootline.Addressed{Wanted: i + 1})
	}
	if w.chance.IntN(6) == 0 {
		add(p, sootline.Read{Samples: []float64{26, 27}})
	}
}

// serial is one of few, so that they come again.
func (w *benchWorld) serial() string {
	return fmt.Sprintf("%s%03d", w.one("S-", "s", "S"), w.chance.IntN(25))
}

// open begins a run by a plan, a box, or nothing.
func (w *benchWorld) open() *app.BenchRun {
	w.t.Helper()
	o := app.BenchOpening{Loop: "1.1", First: sootline.BenchFirst(w.one("place", "device")), All: w.chance.IntN(3) > 0, Empty: w.chance.IntN(5) == 0, From: w.chance.IntN(3) * 4, AsPlanned: w.chance.IntN(4) == 0, Sure: true}
	for range w.chance.IntN(3) * 6 {
		o.Box = append(o.Box, sootline.BoxDevice{Unit: sootline.Unit{Serial: w.one(w.serial(), w.serial(), ""), Batch: w.one("", "B7")}, Type: w.one("Larch", "Ash", "Elm", "")})
	}
	run, err := w.s.App.OpenBench(context.Background(), w.line, o)
	if sootline.ErrorCode(err) == sootline.Conflict {
		o.All = true
		run, err = w.s.App.OpenBench(context.Background(), w.line, o)
	}
	if err != nil {
		w.t.Fatal(err)
	}
	return run
}

// given is what somebody may type, mostly of what is in hand.
func (w *benchWorld) given(run *app.BenchRun) app.BenchGiven {
	var g app.BenchGiven
	h, ok := run.InHand(w.chance.IntN(3) == 0)
	if ok && h.Place != nil {
		g.Point, g.Read = h.Place.Point.ID, h.Number
	}
	if w.chance.IntN(4) == 0 && len(run.Places) > 0 {
		g.Point = run.Places[w.chance.IntN(len(run.Places))].Point.ID
	}
	if w.chance.IntN(5) > 0 {
		g.Serial = w.serial()
	}
	if w.chance.IntN(5) == 0 || g.Point.Zero() {
		g.Type = w.one("Larch", "Ash", "larch ", "Oak", "Yew")
	}
	switch w.chance.IntN(5) {
	case 0:
		g.Read = 127
	case 1:
		g.Read = 1 + w.chance.IntN(60)
	case 2:
		g.Read = 0
	}
	if g.Point.Zero() && w.chance.IntN(3) == 0 {
		g.Number = 1 + w.chance.IntN(130)
	}
	if w.chance.IntN(3) == 0 {
		g.Modes = map[string]string{"mode": w.one("high", "HIGH", "low")}
	}
	g.Samples = w.samples()
	if len(g.Samples) > 1 && w.chance.IntN(2) == 0 {
		g.Seconds = float64(w.chance.IntN(240))
	}
	return g
}

// samples lie about a value, or creep, or are wild; in tenths.
func (w *benchWorld) samples() []float64 {
	all := make([]float64, w.chance.IntN(9))
	centre, slope, wide := 25+12*w.chance.NormFloat64(), float64(w.chance.IntN(3)-1)*0.6*float64(w.chance.IntN(2)), []float64{0.1, 0.4, 3}[w.chance.IntN(3)]
	if w.chance.IntN(2) == 0 {
		centre = 25 + 0.4*w.chance.NormFloat64()
	}
	for i := range all {
		all[i] = math.Round(10*(centre+slope*float64(i)+wide*w.chance.NormFloat64())) / 10
	}
	return all
}

// act does something in the run; what is refused is not done.
func (w *benchWorld) act(run *app.BenchRun) {
	ctx, a := context.Background(), w.s.App
	id := run.ID.String()
	switch w.chance.IntN(9) {
	case 0:
		a.BenchSkip(ctx, w.line, id, "", w.one("", "no base")) //nolint:errcheck // refused is as good
	case 1:
		a.BenchReject(ctx, w.line, id, "", sootline.BoxDevice{Unit: sootline.Unit{Serial: w.one(w.serial(), "")}}, "cracked") //nolint:errcheck // likewise
	case 2:
		a.BenchUndo(ctx, w.line, id, sootline.ID{}, true) //nolint:errcheck // likewise
	default:
		g := w.given(run)
		g.Sure = true
		if w.calm {
			g = app.BenchGiven{Sure: true}
			if h, ok := run.InHand(false); ok && h.Place != nil {
				g.Point = h.Place.Point.ID
			}
			g.Serial, g.Samples = fmt.Sprint("C", w.chance.IntN(1e6)), []float64{25 + math.Round(4*w.chance.NormFloat64())/10}
		}
		a.BenchDone(ctx, w.line, id, g) //nolint:errcheck // likewise
	}
}

func (w *benchWorld) again(run *app.BenchRun) *app.BenchRun {
	w.t.Helper()
	next, err := w.s.App.Bench(context.Background(), w.line, run.ID.String())
	if err != nil {
		w.t.Fatal(err)
	}
	return next
}

func (w *benchWorld) pack(run *app.BenchRun) shape.Bench {
	given := shape.OfBench(run, "laptop", w.s.App.Who.Name)
	given.DropCards()
	return given
}

// phoneGiven is what the page makes of what was typed.
type phoneGiven struct {
	Point   string            `json:"point"`
	Serial  string            `json:"serial"`
	Type    string            `json:"type"`
	Number  int               `json:"number"`
	Read    int               `json:"read"`
	Modes   map[string]string `json:"modes"`
	Samples []float64         `json:"samples"`
	Seconds float64           `json:"seconds"`
}

func ofGiven(g *app.BenchGiven) phoneGiven {
	one := phoneGiven{Serial: g.Serial, Type: g.Type, Number: g.Number, Read: g.Read, Modes: g.Modes, Samples: g.Samples, Seconds: g.Seconds}
	if !g.Point.Zero() {
		one.Point = g.Point.String()
	}
	return one
}

// benchCase is a run, what is typed in it, and what the engine says.
type benchCase struct {
	Pack  shape.Bench  `json:"pack"`
	Given []phoneGiven `json:"given"`
	looks []shape.BenchLook
	hands [2]string
	left  []shape.BenchLeft
}

// stood is what a page says of a run.
type stood struct {
	Looks    []shape.BenchLook   `json:"looks"`
	Hands    [2]string           `json:"hands"`
	Left     []shape.BenchLeft   `json:"left"`
	Progress shape.BenchProgress `json:"progress"`
}

// stand says of a run in JavaScript what the engine is asked for.
const stand = `const stand = (run, given) => {
	const hand = h => h ? [h.place?.point_id ?? "new", h.number, h.last, h.type, h.stands, h.loop, h.device?.serial ?? "", h.modes.map(m => m.name + "=" + m.choice).join()].join("|") : "";
	return {looks: given.map(g => BenchLook.look(run, {...g, modes: g.modes ?? {}, samples: g.samples ?? []})), hands: [hand(run.hand(false)), hand(run.hand(true))], left: BenchLeft.left(run), progress: BenchLeft.progress(run, run.pack.now)};
};`

func handSaid(h app.BenchHand, ok bool) string {
	if !ok {
		return ""
	}
	place, device := "new", ""
	if h.Place != nil {
		place = h.Place.Point.ID.String()
	}
	if h.Device != nil {
		device = h.Device.Serial
	}
	var modes []string
	for _, m := range h.Modes {
		modes = append(modes, m.Name+"="+m.Choice)
	}
	return fmt.Sprintf("%s|%d|%d|%s|%d|%s|%s|%s", place, h.Number, h.Last, h.Type, h.Stands, h.Loop, device, strings.Join(modes, ","))
}

func (w *benchWorld) asked(run *app.BenchRun, looks int) benchCase {
	c := benchCase{Pack: w.pack(run), left: shape.OfBenchLeft(run)}
	for range looks {
		g := w.given(run)
		looked := run.Look(g.Given)
		c.Given, c.looks = append(c.Given, ofGiven(&g)), append(c.looks, shape.OfBenchLook(&looked))
	}
	c.hands = [2]string{handSaid(run.InHand(false)), handSaid(run.InHand(true))}
	return c
}

// TestBenchLooksAlike has thousands of looks, in runs of all kinds at all stages, judged
// by the page and by the engine: value, verdict and every sentence are the same; and so
// are what is in hand, what is left, and the pace.
func TestBenchLooksAlike(t *testing.T) {
	w := newBenchWorld(t, 13)
	ctx, address := openBrowser(t, w.s)
	do(t, ctx, chromedp.Navigate(address+"/bench"))
	codes, looks := map[string]int{}, 0
	for range 40 {
		w.site()
		run := w.open()
		var cases []benchCase
		for range 4 {
			cases = append(cases, w.asked(run, 25))
			for range 1 + w.chance.IntN(9) {
				w.act(run)
				run = w.again(run)
			}
		}
		cases = append(cases, w.asked(run, 25))
		for i, got := range w.standing(ctx, cases, `c => stand(BenchRun.of(c.pack), c.given)`) {
			looks += len(cases[i].looks)
			for k, want := range cases[i].looks {
				for _, r := range want.Remarks {
					codes[r.Code]++
				}
				sameLook(t, &cases[i], k, &got.Looks[k], &want)
			}
			if got.Hands != cases[i].hands {
				t.Fatalf("in hand on the page %v, by the engine %v", got.Hands, cases[i].hands)
			}
			sameLeft(t, got.Left, cases[i].left)
			if p := cases[i].Pack.Progress; got.Progress.Done != p.Done || got.Progress.Left != p.Left || got.Progress.Skipped != p.Skipped || math.Abs(got.Progress.TimeLeft-p.TimeLeft) > 0.5+0.51*float64(p.Left) {
				t.Fatalf("progress on the page %+v, by the engine %+v", got.Progress, p)
			}
		}
	}
	for _, code := range []string{"serial-seen", "serial-missing", "serial-other", "number-taken", "number-impossible", "number-other", "no-number", "type-other", "skipped-before", "done-before", "not-on-list", "mode-other", "outside-band", "settling", "unsteady", "unlike-box", "rests-dirty", "second-look", "no-band"} {
		if codes[code] < 5 {
			t.Errorf("%s was said %d times: the test does not try it", code, codes[code])
		}
	}
	t.Logf("%d looks: %v", looks, codes)
}

func (w *benchWorld) standing(ctx context.Context, cases []benchCase, how string) []stood {
	w.t.Helper()
	text, err := json.Marshal(cases)
	if err != nil {
		w.t.Fatal(err)
	}
	return get(w.t, ctx, chromedp.Evaluate[[]stood](`(() => { `+stand+` return `+string(text)+`.map(`+how+`); })()`))
}

func sameLook(t *testing.T, c *benchCase, k int, got, want *shape.BenchLook) {
	t.Helper()
	near := func(a, b *float64) bool {
		return (a == nil) == (b == nil) && (a == nil || math.Abs(*a-*b) <= 1e-9*(1+math.Abs(*b)))
	}
	gv, wv := got.Value, want.Value
	if got.Number != want.Number || got.Last != want.Last || !slices.Equal(got.Remarks, want.Remarks) || gv.State != wv.State || gv.Value != wv.Value ||
		gv.Settling != wv.Settling || gv.Unsteady != wv.Unsteady || gv.Wait != wv.Wait || !near(gv.Spread, wv.Spread) || !near(gv.Low, wv.Low) || !near(gv.High, wv.High) || !near(gv.Margin, wv.Margin) {
		t.Fatalf("of %+v the page says\n%+v\nand the engine\n%+v", c.Given[k], got, want)
	}
}

func sameLeft(t *testing.T, got, want []shape.BenchLeft) {
	t.Helper()
	said := func(all []shape.BenchLeft) []string {
		var texts []string
		for _, l := range all {
			texts = append(texts, l.Kind+": "+l.Text)
		}
		slices.Sort(texts)
		return texts
	}
	a, b := said(got), said(want)
	if slices.Equal(a, b) {
		return
	}
	but := func(all, others []string) string {
		return strings.Join(slices.DeleteFunc(slices.Clone(all), func(text string) bool { return slices.Contains(others, text) }), "\n")
	}
	t.Fatalf("left on the page alone (%d in all)\n%s\nby the engine alone (%d)\n%s", len(a), but(a, b), len(b), but(b, a))
}

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
	for range 60 {
		w.site()
		run := w.open()
		for range w.chance.IntN(4) {
			w.act(run)
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

// given0 makes of what the page has typed what the engine is asked.
func (w *benchWorld) given0(g phoneGiven) app.BenchGiven {
	w.t.Helper()
	act := benchAct{Point: g.Point, Serial: g.Serial, Type: g.Type, Number: g.Number, Read: g.Read, Modes: g.Modes, Samples: g.Samples, Seconds: g.Seconds}
	given, err := act.given()
	if err != nil {
		w.t.Fatal(err)
	}
	return given
}

// sorted puts remarks in an order of their own: which of two points is told of first
// depends on the order of the register, which the page does not know of new ones.
func sorted(l *shape.BenchLook) *shape.BenchLook {
	slices.SortFunc(l.Remarks, func(a, b shape.BenchRemark) int { return strings.Compare(a.Code+a.Text, b.Code+b.Text) })
	return l
}
