package circuit

import (
	"math"
	"strconv"
	"testing"
)

// ladderOf is a loop of points with the given loads and metres of cable before each, every metre of both cores having
// perMetre ohms, and with lastMetres back to the panel.
func ladderOf(volts, perMetre float64, metres []float64, loads []Load, lastMetres float64) Loop {
	cable := func(m float64) Cable {
		return Cable{Metres: Metres(m), Conductor: Conductor{OhmsPerKm: 1000 * perMetre / 2}, Celsius: 20}
	}
	l := Loop{Out: End{Volts: Volts(volts)}, In: End{Volts: Volts(volts)}, Return: cable(lastMetres)}
	for i, load := range loads {
		l.Points = append(l.Points, Point{Name: strconv.Itoa(i + 1), Cable: cable(metres[i]), Rest: load, Alarm: load})
	}
	return l
}

func amps(values ...float64) []Load {
	var loads []Load
	for _, v := range values {
		loads = append(loads, In(Amps(v)))
	}
	return loads
}

func oneEnded(l *Loop) State { return State{Faults: []Fault{{Segment: l.ReturnSegment()}}} }

// Direct-current examples as published, fed from one end; tolerance half a unit of the last figure printed, or 1e-9 V
// where the arithmetic is exact.
func TestPublishedOneEnded(t *testing.T) {
	for _, one := range []struct {
		source    string
		volts     float64
		perMetre  float64 // of both cores
		metres    []float64
		loads     []Load
		want      []float64
		tolerance float64
	}{
		{"college text, D.C. Distribution, ex. 13.1, p. 313 (transcribed)", 300, 2e-5, []float64{500, 500, 600, 400}, amps(100, 150, 200, 50), []float64{295, 291, 288, 287.6}, 1e-9},
		{"exam preparation page: 500 V, 0.02 ohm/km a conductor", 500, 4e-5, []float64{2000, 2000}, amps(100, 200), []float64{476, 460}, 1e-9},
		{
			"L. Bell, Power Distribution for Electric Railroads, pp. 10-13: drops of 10, 9, ... 1 V, 55 V in all", 500, 0.05,
			[]float64{1, 1, 1, 1, 1, 1, 1, 1, 1, 1},
			amps(20, 20, 20, 20, 20, 20, 20, 20, 20, 20),
			[]float64{490, 481, 473, 466, 460, 455, 451, 448, 446, 445},
			1e-9,
		},
		{"the same, all 200 A at the end: 100 V", 500, 0.05, []float64{10}, amps(200), []float64{400}, 1e-9},
		{
			"US fire-alarm training article no. 111 (inputs): point to point 0.391425 + 0.552600 + 0.230250 V, by hand", 24, 2 * 3.07e-3,
			[]float64{25, 50, 50},
			amps(0.75, 1.05, 0.75),
			[]float64{23.608575, 23.055975, 22.825725},
			1e-9,
		},
	} {
		l := ladderOf(one.volts, one.perMetre, one.metres, one.loads, 1)
		sol := mustSolve(t, mustNew(t, l), oneEnded(&l))
		for i, want := range one.want {
			wantNear(t, one.source+", point "+strconv.Itoa(i+1), float64(sol.Volts[i]), want, one.tolerance)
		}
	}
}

// Electrician-training page quoting NEC chapter 9 table 8: 100 ft of 16 AWG, 4.99 ohm/kft, 4 A: 3.992 V.
func TestPublishedGauge(t *testing.T) {
	l := ladderOf(24, 1, []float64{1}, amps(4), 1)
	l.Points[0].Cable = Cable{Metres: 30.48, Conductor: Conductor{AWG: 16, Stranded: true}, Celsius: 75}
	sol := mustSolve(t, mustNew(t, l), oneEnded(&l))
	wantNear(t, "drop", 24-float64(sol.Volts[0]), 3.992, 1e-9)
}

// Both ends fed; questions from published lecture slides, answers by the method of moments, computed by hand (no
// answer printed). Tolerance half a unit of the last figure kept.
func TestPublishedBothEnds(t *testing.T) {
	l := ladderOf(220, 3.4e-4, []float64{100, 150, 150, 100}, amps(20, 40, 50, 30), 100)
	sol := mustSolve(t, mustNew(t, l), State{})
	wantNear(t, "current from OUT", float64(sol.Out), 61.6667, 5e-5)
	wantNear(t, "current from IN", float64(sol.In), 78.3333, 5e-5)
	for i, want := range []float64{217.9033, 215.7783, 215.6933, 217.3367} {
		wantNear(t, "volts", float64(sol.Volts[i]), want, 5e-5)
	}

	l = ladderOf(240, 6e-4, []float64{150, 50}, amps(120, 80), 100) // ring main, 300 m
	sol = mustSolve(t, mustNew(t, l), State{})
	wantNear(t, "current to B", float64(sol.Out), 86.667, 5e-4)
	wantNear(t, "current to C", float64(sol.In), 113.333, 5e-4)
	wantNear(t, "volts at B", float64(sol.Volts[0]), 232.2, 1e-9)
	wantNear(t, "volts at C", float64(sol.Volts[1]), 233.2, 1e-9)

	// 500 m, 100 A at 100 m, 60 A at 250 m, 1 A/m over the last 200 m, here as 200 loads of 1 A at half metres, which
	// keeps their moments.
	metres, loads := []float64{100, 150, 50.5}, amps(100, 60, 1)
	for range 199 {
		metres, loads = append(metres, 1), append(loads, In(1))
	}
	l = ladderOf(240, 1e-3, metres, loads, 0.5)
	sol = mustSolve(t, mustNew(t, l), State{})
	wantNear(t, "current from OUT", float64(sol.Out), 150, 1e-9)
	wantNear(t, "current from IN", float64(sol.In), 210, 1e-9)
	wantNear(t, "volts at 250 m", float64(sol.Volts[1]), 217.5, 1e-9)
	wantNear(t, "lowest volts", lowestOf(sol), 217.5, 1e-9)
}

// Uniform ladders in closed form: n points, r ohms a segment. Constant current i: one end Vs - r i n(n+1)/2, both ends
// at most r i (n+1)^2/8 (n odd) or r i n(n+2)/8 (n even) of drop. Constant resistance R with cosh th = 1 + r/(2R): both
// ends Vs cosh(th(k-(n+1)/2))/cosh(th(n+1)/2), one end Vs cosh(th(n-k+1/2))/cosh(th(n+1/2)). Tolerance 1e-9 V.
func TestClosedForms(t *testing.T) {
	const volts, r, i, ohms = 24.0, 0.3, 0.002, 12000.0
	for _, n := range []int{1, 2, 5, 50, 126} {
		metres := make([]float64, n)
		current, resistance := make([]Load, n), make([]Load, n)
		for k := range n {
			metres[k], current[k], resistance[k] = 1, In(i), Across(ohms)
		}
		l := ladderOf(volts, r, metres, current, 1)
		c := mustNew(t, l)
		f := float64(n)
		wantNear(t, "one end", lowestOf(mustSolve(t, c, oneEnded(&l))), volts-r*i*f*(f+1)/2, 1e-9)
		drop := r * i * (f + 1) * (f + 1) / 8
		if n%2 == 0 {
			drop = r * i * f * (f + 2) / 8
		}
		wantNear(t, "both ends", lowestOf(mustSolve(t, c, State{})), volts-drop, 1e-9)

		l = ladderOf(volts, r, metres, resistance, 1)
		c = mustNew(t, l)
		th := math.Acosh(1 + r/(2*ohms))
		one, both := mustSolve(t, c, oneEnded(&l)), mustSolve(t, c, State{})
		for k := 1; k <= n; k++ {
			wantNear(t, "resistance, one end", float64(one.Volts[k-1]), volts*math.Cosh(th*(f-float64(k)+0.5))/math.Cosh(th*(f+0.5)), 1e-9)
			wantNear(t, "resistance, both ends", float64(both.Volts[k-1]), volts*math.Cosh(th*(float64(k)-(f+1)/2))/math.Cosh(th*(f+1)/2), 1e-9)
		}
	}
}

// One constant power through 10 ohm at 24 V: V = (Vs + sqrt(Vs^2 - 4 R P))/2, and none above Vs^2/(4R) = 14.4 W.
func TestOnePower(t *testing.T) {
	for _, watts := range []float64{5, 10, 14, 14.39, 14.399999} {
		l := ladderOf(24, 10, []float64{1}, []Load{Drawing(Watts(watts))}, 1)
		c := mustNew(t, l)
		sol := mustSolve(t, c, oneEnded(&l))
		wantNear(t, "volts", float64(sol.Volts[0]), (24+math.Sqrt(576-40*watts))/2, 1e-7)
		m, err := c.Margin(oneEnded(&l))
		if err != nil {
			t.Fatal(err)
		}
		wantNear(t, "margin", m.Factor, 14.4/watts, 1e-7)
	}
	for _, watts := range []float64{14.4001, 15, 1000} {
		l := ladderOf(24, 10, []float64{1}, []Load{Drawing(Watts(watts))}, 1)
		if sol := mustSolve(t, mustNew(t, l), oneEnded(&l)); sol.Exists || sol.Volts != nil {
			t.Errorf("%g W: an operating point is claimed", watts)
		}
	}
}

// The factor by which all constant powers may be multiplied, found by an independent NumPy program from the sign of
// the smallest eigenvalue (testdata/README.md), kept to six decimals.
func TestMargins(t *testing.T) {
	var limits map[string][]struct {
		State  string  `json:"state"`
		Factor float64 `json:"lambda_crit"`
		Enough float64 `json:"lambda_sufficient"`
	}
	readJSON(t, "constant_power_limits.json", &limits)
	for id, states := range limits {
		one := readCase(t, id+"-e")
		l := one.loop(true)
		c := mustNew(t, l)
		for _, want := range states {
			state := map[string]State{"ring": {}, "break0": {Faults: []Fault{{}}}, "breakN": oneEnded(&l)}[want.State]
			got, err := c.Margin(state)
			if err != nil {
				t.Fatal(err)
			}
			wantNear(t, id+" "+want.State, got.Factor, want.Factor, 2e-6)
			if !got.Bounded || got.Factor < want.Enough {
				t.Errorf("%s %s: %v lies below the sufficient bound %v", id, want.State, got, want.Enough)
			}
		}
	}
	l := ladderOf(24, 1, []float64{1}, []Load{Across(10)}, 1)
	if m, err := mustNew(t, l).Margin(State{}); err != nil || m.Bounded {
		t.Errorf("resistances have a limit: %v, %v", m, err)
	}
	l = ladderOf(24, 1, []float64{1}, amps(2), 1) // one end, 1 ohm: 24 A bring it to 0 V
	m, err := mustNew(t, l).Margin(oneEnded(&l))
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "constant current", m.Factor, 12, 1e-7)
}

// Two cores that take opposite ways: plus from IN and minus from OUT over 0.1 ohm, the long ways 10 ohm. Each core is 10 par
// 0.1 ohm, so the limit is Vs^2/(4 x 2 x 10 par 0.1), far beyond that of the cores lumped into one (Vs^2/10.1).
func TestOppositeCores(t *testing.T) {
	l := ladderOf(24, 1, []float64{1}, []Load{Drawing(100)}, 1)
	l.Points[0].Cable.Plus, l.Points[0].Cable.Minus = 10, 0.1
	l.Return.Plus, l.Return.Minus = 0.1, 10
	m, err := mustNew(t, l).Margin(State{})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "margin", m.Factor, 576/(8*10*0.1/10.1)/100, 1e-6)
}

// A constant power and a resistance behind one cable, all scaled by x: Thevenin's equivalent makes 4 r^2 P x^2 + 4 r R P x =
// Vs^2 R, so for 24 V, 10 ohm, 5 W and 100 ohm x = -5 + sqrt(53.8).
func TestMarginMixed(t *testing.T) {
	l := ladderOf(24, 1, []float64{10, 1}, []Load{Drawing(5), Across(100)}, 1)
	l.Points[1].Cable.Plus = 1e-6
	m, err := mustNew(t, l).Margin(oneEnded(&l))
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "margin", m.Factor, -5+math.Sqrt(53.8), 1e-5)
}

// So much constant current that the far end would come below 0 V is no operating point.
func TestBelowZero(t *testing.T) {
	l := ladderOf(24, 1, []float64{1}, amps(24.1), 1)
	if mustSolve(t, mustNew(t, l), oneEnded(&l)).Exists {
		t.Error("an operating point below 0 V is claimed")
	}
}
