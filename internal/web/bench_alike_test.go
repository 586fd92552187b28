package web

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"sootline/internal/app"
	"sootline/internal/shape"
)

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
	codes, left, looks := map[string]int{}, map[string]int{}, 0
	for range 60 {
		w.site()
		run := w.open()
		var cases []benchCase
		for range 4 {
			cases = append(cases, w.asked(run, 25))
			for range 1 + w.chance.IntN(9) {
				w.act(run)
				w.meddle(run)
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
			for _, l := range cases[i].left {
				left[l.Kind]++
			}
			if p := cases[i].Pack.Progress; got.Progress.Done != p.Done || got.Progress.Left != p.Left || got.Progress.Skipped != p.Skipped || math.Abs(got.Progress.TimeLeft-p.TimeLeft) > 0.5+0.51*float64(p.Left) {
				t.Fatalf("progress on the page %+v, by the engine %+v", got.Progress, p)
			}
		}
	}
	for _, code := range []string{"serial-seen", "serial-missing", "serial-other", "number-taken", "number-impossible", "number-other", "no-number", "type-other", "skipped-before", "done-before", "not-on-list", "mode-other", "outside-band", "settling", "unsteady", "unlike-box", "rests-dirty", "second-look", "no-band", "read-missing", "nothing-given", "value-impossible"} {
		if codes[code] < 5 {
			t.Errorf("%s was said %d times: the test does not try it", code, codes[code])
		}
	}
	for _, kind := range []string{"open", "skipped", "twice", "number", "serial", "other", "read-back", "removed", "unread", "outside", "rejected", "unused", "listed"} {
		if left[kind] < 5 {
			t.Errorf("%s was left %d times: the test does not try it", kind, left[kind])
		}
	}
	t.Logf("%d looks: %v; left: %v", looks, codes, left)
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
