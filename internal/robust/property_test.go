package robust

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawSeries draws a series of whole or halved values, with ties, at times that may repeat but not all be
// equal.
func drawSeries(rt *rapid.T, least, most int) (t, y []float64) {
	n := rapid.IntRange(least, most).Draw(rt, "n")
	for i := range n {
		t = append(t, float64(rapid.IntRange(0, 2000).Draw(rt, "day")))
		y = append(y, float64(rapid.IntRange(-40, 80).Draw(rt, "half count"))/2)
		if i == n-1 && t[i] == t[0] {
			t[i]++
		}
	}
	return t, y
}

// scaled returns a + b*x.
func scaled(x []float64, a, b float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = a + b*v
	}
	return out
}

func TestTrendTransforms(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		x, y := drawSeries(rt, 2, 30)
		// Shifts by whole numbers and scales by powers of two are exact in binary, so the results must be
		// equal to the last digit but for the intercepts.
		shift := float64(rapid.IntRange(-100, 100).Draw(rt, "shift"))
		base, err := TheilSen(x, y, 0.9)
		if err != nil {
			rt.Fatal(err)
		}
		k, err := MannKendall(x, y)
		if err != nil {
			rt.Fatal(err)
		}
		moved, _ := TheilSen(scaled(x, shift, 1), scaled(y, shift, 4), 0.9)
		if moved.Slope != 4*base.Slope || moved.Interval.Low != 4*base.Interval.Low || moved.Interval.High != 4*base.Interval.High {
			rt.Errorf("moved %+v, base %+v", moved, base)
		}
		if want := 4*(base.Joint-base.Slope*shift) + shift; math.Abs(moved.Joint-want) > 1e-9*(1+math.Abs(want)) {
			rt.Errorf("joint %v, want %v", moved.Joint, want)
		}
		if moved, _ := MannKendall(scaled(x, shift, 2), scaled(y, shift, 4)); moved != k {
			rt.Errorf("moved %+v, base %+v", moved, k)
		}
		back, _ := TheilSen(scaled(x, 0, -1), y, 0.9)
		if back.Slope != -base.Slope || back.Interval.State != base.Interval.State ||
			math.Abs(back.Interval.Low+base.Interval.High) > 1e-12*math.Abs(base.Interval.High) {
			rt.Errorf("backwards %+v, forwards %+v", back, base)
		}
		if reversed, _ := MannKendall(scaled(x, 0, -1), y); reversed.S != -k.S || reversed.P != k.P || reversed.Z != -k.Z {
			rt.Errorf("reversed %+v, forward %+v", reversed, k)
		}
	})
}

func TestTrendDefinitions(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		x, y := drawSeries(rt, 2, 40)
		k, err := MannKendall(x, y)
		if err != nil {
			rt.Fatal(err)
		}
		if want := plainS(x, y); k.S != want {
			rt.Errorf("S %d, want %d pair by pair", k.S, want)
		}
		if k.VarS < 0 || !(k.P >= 0 && k.P <= 1) || float64(k.S)*k.Z < 0 {
			rt.Errorf("%+v", k)
		}
		line, err := TheilSen(x, y, 0.9)
		if err != nil {
			rt.Fatal(err)
		}
		var slopes []float64
		for i := range x {
			for j := range i {
				if x[i] != x[j] {
					slopes = append(slopes, (y[i]-y[j])/(x[i]-x[j]))
				}
			}
		}
		slices.Sort(slopes)
		n := len(slopes)
		if want := slopes[(n-1)/2]/2 + slopes[n/2]/2; line.Slope != want || line.Pairs != int64(n) {
			rt.Errorf("slope %v of %d, want %v of %d", line.Slope, line.Pairs, want, n)
		}
		if i := line.Interval; i.State == Given && !(i.Low < i.High && i.Low <= line.Slope && line.Slope <= i.High) {
			rt.Errorf("slope %v, interval %+v", line.Slope, i)
		}
		if i := line.Interval; i.State != Given && (i.Low != 0 || i.High != 0) {
			rt.Errorf("an interval that is none: %+v", i)
		}
		wider, _ := TheilSen(x, y, 0.99)
		if i, w := line.Interval, wider.Interval; w.State == Given && (w.Low > i.Low || w.High < i.High) && i.State == Given {
			rt.Errorf("99 %% %+v inside 90 %% %+v", w, i)
		}
	})
}

func TestExactLine(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(3, 1100).Draw(rt, "n") // on both sides of the search
		a := float64(rapid.IntRange(-50, 50).Draw(rt, "a"))
		b := float64(rapid.IntRange(-64, 64).Draw(rt, "b")) / 16
		x := scaled(sequence(n), float64(rapid.IntRange(0, 99).Draw(rt, "start")), 3)
		y := scaled(x, a, b)
		sen, err := TheilSen(x, y, 0.9)
		if err != nil || sen.Slope != b || sen.Joint != a || sen.Separate != a || sen.Interval.State == Given {
			rt.Errorf("a %v, b %v: %+v, %v", a, b, sen, err)
		}
		line, err := LeastSquares(x, y)
		if err != nil || math.Abs(line.Slope-b) > 1e-13*math.Abs(b) || line.SSE > 1e-15*float64(n)*(1+a*a+y[n-1]*y[n-1]) {
			rt.Errorf("a %v, b %v: %+v, %v", a, b, line, err)
		}
	})
}

func TestCentreTransforms(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		_, x := drawSeries(rt, 2, 40)
		moved := scaled(x, 7, -2)
		for name, f := range map[string]func([]float64) (float64, bool){"median": Median, "Hodges-Lehmann": HodgesLehmann} {
			a, _ := f(x)
			if b, _ := f(moved); b != 7-2*a {
				rt.Errorf("%s %v, moved %v", name, a, b)
			}
		}
		_, mad, _ := MAD(x)
		if _, m, _ := MAD(moved); m != 2*mad {
			rt.Errorf("MAD %v, moved %v", mad, m)
		}
		var means []float64
		for i := range x {
			for j := range i + 1 {
				means = append(means, x[i]/2+x[j]/2)
			}
		}
		want, _ := Median(means) // definition
		if got, _ := HodgesLehmann(x); got != want {
			rt.Errorf("Hodges-Lehmann %v, want %v", got, want)
		}
		for _, kind := range []QuantileKind{Type6, Type7, Type8} {
			low, _ := Quantile(kind, 0.3, x)
			mid, _ := Quantile(kind, 0.5, x)
			m, _ := Median(x)
			if mirrored, _ := Quantile(kind, 0.7, moved); math.Abs(mirrored-(7-2*low)) > 1e-12*(1+math.Abs(mirrored)) {
				rt.Errorf("type %d: 0.3 %v, mirrored 0.7 %v", kind, low, mirrored)
			}
			if math.Abs(mid-m) > 1e-12 {
				rt.Errorf("type %d: 0.5 %v, median %v", kind, mid, m)
			}
		}
	})
}

func TestDepartureHoldsFiellersSet(t *testing.T) {
	// Drawn from a seed, not by rapid, so that every run meets every status.
	r := rand.New(rand.NewPCG(7, 8))
	seen := map[Status]int{}
	for range 5000 {
		n, drift := 3+r.IntN(10), (r.Float64()-0.5)/50
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = float64(r.IntN(2000))
			y[i] = math.Round(drift*x[i] + float64(r.IntN(20)-10)/4)
		}
		q := Query{
			Limit: y[n-1] + float64(r.IntN(41)-20)/2,
			Side:  []Side{High, Low}[r.IntN(2)],
			Noise: Noise{SD: 1, DF: PriorDF},
			Conf:  []float64{0.5, 0.8, 0.9, 0.95}[r.IntN(4)],
		}
		got, err := Crossing(x, y, q)
		if err != nil {
			t.Fatal(err)
		}
		seen[got.Status]++
		if checkDeparture(t, got, q); t.Failed() {
			t.Fatalf("times %v, values %v, query %+v", x, y, q)
		}
	}
	for s := Bounded; s <= MovingAway; s++ {
		if seen[s] < 50 {
			t.Errorf("only %d cases of %q drawn", seen[s], s)
		}
	}
}

// checkDeparture holds the result against the definition of the set at dates on both sides of its ends.
func checkDeparture(t *testing.T, got Departure, q Query) {
	t.Helper()
	last := got.Drift.Last
	for _, w := range []When{got.Point, got.Earliest, got.Latest} {
		if w.Known && (w.At < last || math.IsInf(w.At, 0)) {
			t.Errorf("%v: date %v before the last reading %v", got.Status, w.At, last)
		}
	}
	if got.Latest.Known != (got.Status == Bounded) {
		t.Errorf("%v with latest %+v", got.Status, got.Latest)
	}
	if got.Status == AlreadyOutside || got.Status == MovingAway {
		if got.Point.Known || got.Earliest.Known {
			t.Errorf("%v with a date: %+v", got.Status, got)
		}
		return
	}
	for _, ahead := range []float64{0, 1, 10, 100, 1e3, 1e4, 1e5, 1e6} {
		at := last + ahead
		fit, se, _ := got.Drift.At(at)
		excess := math.Abs(fit-q.Limit)/(got.TQuant*se) - 1
		if math.Abs(excess) < 1e-9 {
			continue // on the edge
		}
		if got.Status == Undetermined && ahead > 0 {
			continue // a line leading away leaves the set for a while; its ends are all that is given
		}
		inside := got.Earliest.Known && at >= got.Earliest.At && (!got.Latest.Known || at <= got.Latest.At)
		if inside != (excess < 0) {
			t.Errorf("%v, earliest %+v, latest %+v: %v is in the set %v", got.Status, got.Earliest, got.Latest, at, excess < 0)
		}
	}
	if got.Status == Bounded && !(got.Earliest.At < got.Latest.At && got.Point.Known &&
		got.Earliest.At <= got.Point.At && got.Point.At <= got.Latest.At) {
		t.Errorf("order of dates: %+v", got)
	}
}

// anyFloat draws every kind of float64, broken ones included.
func anyFloat(rt *rapid.T) float64 {
	if rapid.IntRange(0, 9).Draw(rt, "plain") > 0 {
		return rapid.Float64().Draw(rt, "v")
	}
	return rapid.SampledFrom([]float64{0, 1, math.NaN(), math.Inf(1), math.Inf(-1), 5e-324, 1e150, -1e150, 1e-160}).Draw(rt, "odd")
}

func TestNothingBrokenComesOut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(0, 12).Draw(rt, "n")
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i], y[i] = anyFloat(rt), anyFloat(rt)
		}
		finite := func(what string, v float64) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				rt.Errorf("%s = %v", what, v)
			}
		}
		for name, f := range map[string]func([]float64) (float64, bool){
			"median": Median, "Hodges-Lehmann": HodgesLehmann, "lag-1": Lag1,
			"successive": SuccessiveSD, "von Neumann": VonNeumann, "range": Range,
		} {
			if v, ok := f(y); ok {
				finite(name, v)
			}
		}
		if s, ok := ModifiedScale(y); ok {
			finite("modified z", s.Z(y[0]))
		}
		if line, err := TheilSen(x, y, 0.9); err == nil {
			finite("slope", line.Slope)
			finite("joint", line.Joint)
			finite("separate", line.Separate)
		}
		if k, err := MannKendall(x, y); err == nil {
			finite("z", k.Z)
			finite("p", k.P)
		}
		if line, err := LeastSquares(x, y); err == nil {
			finite("R2", line.R2)
			finite("intercept se", line.InterceptSE)
		}
		q := Query{Limit: anyFloat(rt), Side: High, Noise: Noise{SD: anyFloat(rt), DF: PriorDF}, Conf: 0.9}
		if d, err := Crossing(x, y, q); err == nil {
			finite("fit se", d.FitSE)
			finite("latest", d.Latest.At)
			if p, ok := d.Drift.ChanceBeyond(anyFloat(rt), q.Limit, q.Side); ok {
				finite("chance", p)
			}
		}
	})
}
