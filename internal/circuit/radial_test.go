package circuit

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func ptr[T any](x T) *T { return &x }

// bells is a circuit of three sounders on 1.5 mm2 with a resistor of 4.7 kiloohm at its end, all facts known.
func bells() Radial {
	cable := func(m Metres) Cable { return Cable{Metres: m, Conductor: Conductor{MM2: 1.5}} }
	device := func(name string, m Metres) Point {
		return Point{Name: name, Cable: cable(m), Rest: In(0), Alarm: In(0.2), Least: 16}
	}
	return Radial{
		Points: []Point{device("bell 1", 40), device("bell 2", 60), device("bell 3", 100)},
		Usual:  24, Low: ptr(Volts(20)), High: ptr(Volts(28)), Source: ptr(Ohms(0.5)), Limit: ptr(Amps(1)), End: ptr(Ohms(4700)), EndShare: 0.05,
		BandLow: ptr(Amps(0.003)), BandHigh: ptr(Amps(0.02)), Coldest: 20, Warmth: 20,
	}
}

// By hand: cables of 0.0242 ohm a metre are 0.968, 1.452 and 2.42 ohm, and 1 ohm in the panel. In alarm at 20 V, with the
// resistor drawing some 3.7 mA all the way: bell 3 has 20 - 0.6037 x 1.968 - 0.4037 x 1.452 - 0.2037 x 2.42 = 17.733 V.
func TestRadialByHand(t *testing.T) {
	r := bells()
	v, err := r.Judge()
	if err != nil || v.Says != Shown {
		t.Fatal(err, v)
	}
	is := 20 - 0.6037*1.968 - 0.4037*1.452 - 0.2037*2.42
	if text := strings.Join(v.Lines, "\n"); !strings.Contains(text, fmt.Sprintf("bell 3 has the least: %.2f V", is)) || !strings.Contains(text, "breaks that are seen: 3 of 3") || !strings.Contains(text, "shorts that are seen: 3 of 3") {
		t.Error(text)
	}
}

// Each limit that is broken fails with its reason, and each fact that is missing is named; none of them leaves *shown*.
func TestRadialStands(t *testing.T) {
	for name, c := range map[string]struct {
		alter func(*Radial)
		says  Standing
		why   string
	}{
		"low volts":       {func(r *Radial) { r.Points[2].Least = 17.8 }, Failing, "bell 3 has 17.73 V, 0.0688 V below its least of 17.80 V"},
		"current":         {func(r *Radial) { r.Limit = ptr(Amps(0.5)) }, Failing, "more than the 500.0 mA"},
		"resistor high":   {func(r *Radial) { r.End = ptr(Ohms(10000)) }, Failing, "a break is told that is none"},
		"resistor low":    {func(r *Radial) { r.End = ptr(Ohms(1000)) }, Failing, "a short is told that is none"},
		"draws at rest":   {func(r *Radial) { r.Points[0].Rest = In(0.004) }, Failing, "a break of the cable to bell 2 is not seen: at rest 4.0 mA are left"},
		"a spur":          {func(r *Radial) { r.Points[1].Spur = "bell 1" }, Failing, "a break of the cable to bell 2 is not seen"},
		"a strong panel":  {func(r *Radial) { r.BandHigh = ptr(Amps(2)); r.Limit = ptr(Amps(9)) }, Shown, "every break and short"},
		"a weak short":    {func(r *Radial) { r.BandHigh = ptr(Amps(4)); r.Limit = ptr(Amps(9)) }, Failing, "a short at bell 3 is not seen: it draws 3.4"},
		"no low battery":  {func(r *Radial) { r.Low = nil }, NotShown, "the volts of the low battery is not known"},
		"no resistor":     {func(r *Radial) { r.End = nil }, NotShown, "the end-of-line resistor is not known"},
		"no band":         {func(r *Radial) { r.BandLow, r.BandHigh = nil, nil }, NotShown, "takes the circuit as whole is not known"},
		"no least":        {func(r *Radial) { r.Points[0].Least = 0 }, NotShown, "least working volts of devices"},
		"unknown at rest": {func(r *Radial) { r.NoRest = []int{1} }, NotShown, "what devices draw at rest"},
	} {
		r := bells()
		c.alter(&r)
		v, err := r.Judge()
		if err != nil || v.Says != c.says || !strings.Contains(v.Sentence(), c.why) {
			t.Errorf("%s: %v, %s", name, err, v.Sentence())
		}
	}
}

// Published: the US fire-alarm training article no. 111 (inputs; 14 AWG solid, 25, 50 and 50 ft of 3.07 ohm a thousand feet,
// 0.75, 1.05 and 0.75 A), point to point 0.391425 + 0.552600 + 0.230250 V by hand; and the exam preparation page with 460 V at the end.
func TestRadialPublished(t *testing.T) {
	for _, c := range []struct {
		volts   Volts
		perKm   float64 // in the first a thousand feet, with its cables in feet
		metres  []Metres
		amps    []Amps
		least   Volts
		minimum string
	}{
		{24, 3.07, []Metres{25, 50, 50}, []Amps{0.75, 1.05, 0.75}, 22.8, "22.83 V"},
		{500, 0.02, []Metres{2000, 2000}, []Amps{100, 200}, 459, "460.00 V"},
	} {
		r := Radial{Usual: c.volts, Low: &c.volts, High: &c.volts, Source: ptr(Ohms(0)), Limit: ptr(Amps(1e3)), Coldest: 20, Warmth: 20}
		for i := range c.metres {
			cable := Cable{Metres: c.metres[i], Conductor: Conductor{OhmsPerKm: c.perKm}}
			r.Points = append(r.Points, Point{Name: fmt.Sprint(i), Cable: cable, Alarm: In(c.amps[i]), Least: c.least})
		}
		v, err := r.Judge()
		if err != nil || !strings.Contains(v.Lines[0], "has the least: "+c.minimum) {
			t.Error(err, v)
		}
	}
}

// drawRadial draws a circuit with spurs of which every fact is known.
func drawRadial(t *rapid.T) Radial {
	r := bells()
	r.Points = nil
	n := rapid.IntRange(1, 9).Draw(t, "devices")
	for i := range n {
		p := Point{
			Name: fmt.Sprint(i), Cable: Cable{Metres: Metres(rapid.Float64Range(1, 300).Draw(t, "m")), Conductor: Conductor{MM2: 1.5}},
			Rest: In(Amps(rapid.Float64Range(0, 0.001).Draw(t, "rest"))), Alarm: In(Amps(rapid.Float64Range(0, 0.2).Draw(t, "alarm"))), Least: Volts(rapid.Float64Range(10, 19).Draw(t, "least")),
		}
		if i > 0 && r.Points[i-1].Spur == "" && rapid.IntRange(0, 5).Draw(t, "spur") == 0 && i < n-1 {
			p.Spur = r.Points[i-1].Name
		}
		r.Points = append(r.Points, p)
	}
	r.Low = ptr(Volts(rapid.Float64Range(17, 24).Draw(t, "low")))
	r.Coldest, r.Warmth = Celsius(rapid.Float64Range(-20, 20).Draw(t, "cold")), Celsius(rapid.Float64Range(20, 60).Draw(t, "hot"))
	r.BandLow = ptr(Amps(rapid.Float64Range(0.0005, 0.004).Draw(t, "band")))
	return r
}

// A circuit that is *shown* keeps every limit at volts, warmth and resistors drawn between their ends; a break of any cable
// leaves less than the band there, and one that fails has a state among its corners.
func TestShownRadialsHold(t *testing.T) {
	shown := 0
	rapid.Check(t, func(t *rapid.T) {
		r := drawRadial(t)
		v, err := r.Judge()
		if err != nil {
			t.Fatal(err)
		}
		if v.Says != Shown {
			return
		}
		shown++
		share := func(what string) float64 { return rapid.Float64Range(0, 1).Draw(t, what) }
		w := &radial{Radial: &r, v: v, source: *r.Source}
		at := corner{
			volts: *r.Low + Volts(share("v"))*(*r.High-*r.Low), celsius: r.Coldest + Celsius(share("c"))*(r.Warmth-r.Coldest),
			end: Across(*r.End * Ohms(1-r.EndShare+2*r.EndShare*share("end"))), alarm: true,
		}
		loud, err := w.solve(at)
		if err != nil || !loud.Exists || loud.Out > *r.Limit {
			t.Fatal(err, loud)
		}
		for i := range r.Points {
			if loud.Volts[i] < r.Points[i].Least-1e-9 {
				t.Fatalf("%s has %v of %v", r.Points[i].Name, loud.Volts[i], r.Points[i].Least)
			}
		}
		at.alarm = false
		quiet, err := w.solve(at)
		if err != nil || quiet.Out < *r.BandLow || quiet.Out > *r.BandHigh {
			t.Fatal(err, quiet.Out)
		}
		cut := rapid.IntRange(0, len(r.Points)-1).Draw(t, "cut")
		at.cut = &cut
		if left, err := w.solve(at); err != nil || left.Out >= *r.BandLow {
			t.Fatal(err, left.Out)
		}
	})
	if shown < 5 && !testing.Short() {
		t.Error("none was shown")
	}
}

// A hundred drawn radial circuits with their resistors and spurs, at rest and in alarm, by ngspice and by
// SciPy on the spot: to 1e-6 V.
func TestRadialAgainstNgspice(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to compare with ngspice and SciPy (needs /usr/bin/python3 with python3-scipy, and ngspice)")
	}
	draw := rapid.Custom(drawRadial)
	var nets []*network
	var sols []*Solution
	for seed := range 100 {
		r := draw.Example(seed)
		w := &radial{Radial: &r, source: *r.Source}
		loop, faults := w.loop(corner{volts: *r.Low, celsius: r.Warmth, end: Across(*r.End)})
		if seed%2 == 0 {
			for i := range loop.Points {
				loop.Points[i].Rest = loop.Points[i].Alarm
			}
		}
		c := mustNew(t, loop)
		sol := mustSolve(t, c, State{Faults: faults})
		fed, opened := flood(&loop, faults)
		loads, err := c.loads(State{})
		if err != nil {
			t.Fatal(err)
		}
		if sol.Exists {
			nets, sols = append(nets, spread(&loop, fed, loads, opened)), append(sols, sol)
		}
	}
	for name, volts := range askEach(t, nets) {
		compared := 0
		for n, sol := range sols {
			compared += agrees(t, n, sol, name, volts[n])
		}
		t.Logf("%s: %d circuits, %d voltages agree", name, len(nets), compared)
	}
	if len(nets) < 50 {
		t.Errorf("only %d compared", len(nets))
	}
}
