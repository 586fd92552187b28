package judge

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"sootline"
)

// worked works the example of docs/methods/judging.md: one path, straight and of 0.16 bands a year, through three looks
// of a detector whose band is 20 to 40 and which was cleaned on 1 January 2024, and the chance of that path to be
// outside a year after the last look. Noise 1 count, so 0.05 bands; rest 25 give or take 1.
func worked() string {
	var b strings.Builder
	k := &kin{scale: scale{zero: 40, width: 20, upper: true, lower: true}, rest: -0.75, restVar: 0.0025, noise: 0.0025, lump: 0.02, pace: 0.1, walk: 1e-4}
	p := path(straight, 5)
	f := walker{k: k, w: &weights{}}
	f.w[p] = 1
	f.begin(0, true, 0)
	for i, y := range []float64{27, 30, 33} {
		t := &f.tales[0]
		f.grow(t, float64(i+1))
		z, l := k.scale.of(y), t.leaves[0]
		fmt.Fprintf(&b, "| %d | %.0f | %.3f | %.4f | %.5f | ", i+1, y, z, l.x, l.pxx)
		f.learn(t, z, f.density(t, z))
		l = t.leaves[0]
		fmt.Fprintf(&b, "%.4f | %.5f | %.4f |\n", l.x, l.pxx, l.r)
	}
	g := going{leaf: f.tales[0].leaves[0], weight: 1, tale: &f.tales[0]}
	x, v := g.at(4, &past{kin: k})
	fmt.Fprintf(&b, "\nA year later: level %.4f, variance %.5f; chance above the limit %.3f\n", x, v, below(x/math.Sqrt(v)))
	return b.String()
}

// The figures of the worked detector in docs/methods/judging.md are those of the code.
func TestWorkedDetector(t *testing.T) {
	page, err := os.ReadFile("../../docs/methods/judging.md")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(worked()) {
		if !strings.Contains(string(page), strings.TrimSpace(line)) {
			t.Errorf("docs/methods/judging.md lacks: %s", line)
		}
	}
}

// Take away what a reason was made from, and the verdict changes: each case is a history, what is said to do, a word of
// the deciding reason, and the same history without what that speaks of.
func TestReasonsDecide(t *testing.T) {
	day := func(y int, m time.Month) time.Time { return time.Date(y, m, 1, 9, 0, 0, 0, time.UTC) }
	on := day(2026, 3)
	rising := []float64{25, 26, 28, 29, 31, 32, 34, 36, 38}
	for _, c := range []struct {
		name          string
		with, without []float64
		failed        bool
		action        Action
		says          string
	}{
		{"above", rising, rising[:4], false, CleanNow, "above its band"},
		{"a slip", []float64{25, 25, 26, 25, 26, 25, 250}, []float64{25, 25, 26, 25, 26, 25}, false, LookAgain, "lies far off"},
		{"stuck", []float64{23, 24, 25, 25, 25, 25, 25, 25, 25, 25, 25, 25, 25}, []float64{23, 24, 25, 25, 24, 25, 26, 25, 25, 24, 25, 26, 25}, false, LookAgain, "gave exactly 25"},
		{"failed its test", []float64{25, 26, 25}, []float64{25, 26, 25}, true, LookAgain, "failed its test"},
	} {
		judged := func(values []float64, failed bool) Judgement {
			r := oneDetector(values, on, failed)
			return Point(r, r.Points()[0], on)
		}
		got, other := judged(c.with, c.failed), judged(c.without, false)
		if got.Action != c.action || !strings.Contains(got.Reasons[0], c.says) {
			t.Errorf("%s: %s, %q", c.name, got.Action, got.Reasons)
		}
		if other.Action == got.Action || strings.Contains(strings.Join(other.Reasons, "; "), c.says) {
			t.Errorf("%s: without it still %s, %q", c.name, other.Action, other.Reasons)
		}
	}
}

// oneDetector is a register with one detector, read each quarter, the last time on a day.
func oneDetector(values []float64, on time.Time, failed bool) *sootline.Register {
	low, high := 20.0, 35.0
	site := sootline.DerivedID(on, []byte("site"))
	id := sootline.DerivedID(on, []byte("point"))
	var entries []sootline.Entry
	add := func(at time.Time, point sootline.ID, body sootline.Body) {
		entries = append(entries, sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, len(entries))), Site: site, At: at, Noted: at, Point: point, Body: body})
	}
	add(sootline.LongAgo, sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: "Alpha", Kind: sootline.Smoke, Unit: "counts", Bands: []sootline.Band{{Low: &low, High: &high}}}})
	add(on.AddDate(-5, 0, 0), id, sootline.Fitted{Place: sootline.Place{Panel: "1", Loop: "2"}, Type: "Alpha"})
	for i, y := range values {
		add(on.AddDate(0, -3*(len(values)-1-i), 0), id, sootline.Read{Samples: []float64{y}})
	}
	if failed {
		add(on, id, sootline.Tested{Failed: true})
	}
	return sootline.Fold(entries, on)
}
