package web

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

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
	n      int           // sites so far
	other  *app.BenchRun // another run on the same places; nil: there is none
	calm   bool          // devices of one type, which rest alike and have serials of their own
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
	if w.other = nil; !w.calm && w.chance.IntN(2) == 0 {
		w.other, err = w.s.App.OpenBench(context.Background(), w.line, app.BenchOpening{Loop: "1.1", Name: w.one("", "two"), All: true, Sure: true})
		if err != nil {
			w.t.Fatal(err)
		}
	}
	return run
}

// meddle has others do something on the site: in the other run, or with the register.
func (w *benchWorld) meddle(run *app.BenchRun) {
	w.t.Helper()
	ctx, a := context.Background(), w.s.App
	switch w.chance.IntN(12) {
	case 0, 1, 2, 3, 4, 5:
		if w.other != nil {
			w.act(w.again(w.other))
		}
	case 6:
		if w.other != nil {
			a.CloseBench(ctx, w.line, w.other.ID.String(), "", true) //nolint:errcheck // it is, or was
		}
	case 7, 8, 9:
		if w.other != nil && len(run.Places) > 0 {
			w.without(run.Places[w.chance.IntN(len(run.Places))].Point.ID)
		}
	case 10, 11:
		if len(run.Places) > 6 {
			if p := run.Places[w.chance.IntN(len(run.Places))].Point; p.Removed == nil {
				if _, err := a.AddEntry(ctx, w.line.ID, app.Note{Point: p.ID.String(), Body: sootline.Removed{}}); err != nil {
					w.t.Fatal(err)
				}
			}
		}
	}
}

// without has somebody without network set a device in the other run for a place, and hand
// that in.
func (w *benchWorld) without(point sootline.ID) {
	w.t.Helper()
	a := w.s.App
	one := func(body sootline.Body) app.Capture {
		at := a.Now()
		return app.Capture{ID: sootline.NewID(at, a.Random()), At: sootline.Instant(at), Point: point, Body: body}
	}
	number := one(sootline.Addressed{Set: 1 + w.chance.IntN(40)})
	done := one(sootline.Benched{Run: w.other.ID, Outcome: sootline.BenchDone, Unit: sootline.Unit{Serial: w.one(w.serial(), "")}, With: []sootline.ID{number.ID}})
	if _, err := a.HandIn(context.Background(), w.line.ID, []app.Capture{done, number}); err != nil {
		w.t.Fatal(err)
	}
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
	case 3:
		if w.chance.IntN(6) == 0 {
			g.Read = 12345
		}
	}
	if g.Point.Zero() && w.chance.IntN(3) == 0 {
		g.Number = 1 + w.chance.IntN(130)
	}
	if w.chance.IntN(3) == 0 {
		g.Modes = map[string]string{"mode": w.one("high", "HIGH", "low")}
	}
	if g.Samples = w.samples(); w.chance.IntN(20) == 0 {
		g.Samples = append(g.Samples, 1e300)
	}
	if w.chance.IntN(20) == 0 {
		g.Serial, g.Read, g.Modes, g.Samples = "", 0, nil, nil
	}
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
