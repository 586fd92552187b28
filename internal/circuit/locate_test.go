package circuit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// 800 m at 0.0242 ohm/m, 9 and 13 ohm: 317.355 m and 1.32 ohm in the short (by hand from the two-end formula).
func TestLocateShort(t *testing.T) {
	metres, loads := make([]float64, 7), make([]Load, 7)
	for i := range metres {
		metres[i] = 100
	}
	l := ladderOf(24, 0.0242, metres, loads, 100)
	c := mustNew(t, l)
	loc, err := c.LocateShort(ShortReading{FromOut: 9, FromIn: 13})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "metres", float64(loc.Metres), 317.355, 5e-4)
	wantNear(t, "fault", float64(loc.Fault), 1.32, 1e-9)
	wantNear(t, "from the point before", float64(loc.From), 17.355, 5e-4)
	if loc.Segment != 3 || !strings.HasPrefix(loc.Sentence, "between 3 and 4, about 17 m from 3") {
		t.Error(loc.Sentence)
	}
	// 10 K more or less are 3.93 % of the 82.645 m from the middle, give or take the second order.
	loc, err = c.LocateShort(ShortReading{FromOut: 9, FromIn: 13, Kelvin: 10})
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "low", float64(loc.Low), 400-82.645/(1-0.0393), 1e-3)
	wantNear(t, "high", float64(loc.High), 400-82.645/(1+0.0393), 1e-3)
	// 0.1 ohm either way in both readings, in opposite senses: 0.1 ohm of loop, 4.132 m.
	if loc, err = c.LocateShort(ShortReading{FromOut: 9, FromIn: 13, Meter: 0.1}); err != nil {
		t.Fatal(err)
	}
	wantNear(t, "low", float64(loc.Low), 317.355-0.1/0.0242, 5e-4)
	wantNear(t, "high", float64(loc.High), 317.355+0.1/0.0242, 5e-4)
	for _, bad := range []ShortReading{{FromOut: 1, FromIn: 40}, {FromOut: 1, FromIn: 1}, {FromOut: -1}, {FromOut: Ohms(math.NaN())}, {FromOut: 9, FromIn: 13, Cable: 2}} {
		if _, err := c.LocateShort(bad); err == nil {
			t.Errorf("%+v: no error", bad)
		}
	}
}

// A short put somewhere on a drawn loop, read by meters with an error, on cable that is warmer than thought: it lies
// within the limits given, whether the loop was measured end to end or not.
func TestShortWithinLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var metres []float64
		var loads []Load
		length := 0.0
		for range rapid.IntRange(1, 20).Draw(t, "points") {
			m := rapid.Float64Range(2, 60).Draw(t, "metres")
			metres, loads, length = append(metres, m), append(loads, Load{}), length+m
		}
		l := ladderOf(24, 0.0242, metres, loads, 10)
		length += 10
		c, err := New(l)
		if err != nil {
			t.Fatal(err)
		}
		const kelvin, cable, meter = 15, 0.02, 0.05
		off := func(name string) float64 { return rapid.Float64Range(-1, 1).Draw(t, name) }
		x := rapid.Float64Range(0, 1).Draw(t, "place") * length
		perMetre := 0.0242 * (1 + off("cable")*(cable+alpha20*kelvin))
		rf := rapid.Float64Range(0, 5).Draw(t, "fault")
		reading := ShortReading{
			FromOut: Ohms(math.Max(0, perMetre*x+rf+meter*off("a"))),
			FromIn:  Ohms(math.Max(0, perMetre*(length-x)+rf+meter*off("b"))),
			Meter:   meter, Kelvin: kelvin, Cable: cable,
		}
		if rapid.Bool().Draw(t, "end to end") {
			reading.EndToEnd = Ohms(perMetre*length + meter*off("c"))
			if reading.EndToEnd <= meter {
				return
			}
		}
		loc, err := c.LocateShort(reading)
		if err != nil {
			t.Fatal(err)
		}
		if x < float64(loc.Low)-1e-6 || x > float64(loc.High)+1e-6 {
			t.Fatalf("at %v m, said to be between %v and %v", x, float64(loc.Low), float64(loc.High))
		}
	})
}

// 800 m, 36 and 54 nF: 320 m (by hand).
func TestLocateBreak(t *testing.T) {
	l := ladderOf(24, 0.0242, []float64{300}, []Load{{}}, 500)
	loc, err := mustNew(t, l).LocateBreak(36e-9, 54e-9, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "metres", float64(loc.Metres), 320, 1e-9)
	wantNear(t, "from the point before", float64(loc.From), 20, 1e-9)
	if loc.Segment != 1 || !(loc.Low < 320 && loc.High > 320) || !strings.HasPrefix(loc.Sentence, "between 1 and IN, about 20 m from 1") {
		t.Errorf("%+v", loc)
	}
	if _, err := mustNew(t, l).LocateBreak(0, 0, 0); err == nil {
		t.Error("two zeros: no error")
	}
}

// Published bridge measurements; sources with each.
func TestBridges(t *testing.T) {
	for _, one := range []struct {
		source             string
		around, p, q, want float64
		tolerance          float64
	}{
		{"exam solution: 600 m cable, arms 3:1", 1200, 3, 1, 300, 1e-9},
		{"exam question, answer by hand: 300 m cable, 20 and 40 ohm", 600, 40, 20, 200, 1e-9},
		{"Hawkins Electrical Guide, volume 3 (1917): 54.07 ohm around, slide at 332 of 1000, 16.46 ohm a mile: 1.09 mile", 54.07 / 16.46, 668, 332, 1.09, 0.005},
		{"question on the web, whose answer forgot the way back: 6 km, 120 and 60.2 ohm", 12, 120, 60.2, 4.009, 5e-4},
	} {
		got, err := Murray(one.around, one.p, one.q)
		if err != nil {
			t.Fatal(err)
		}
		wantNear(t, one.source, got, one.want, one.tolerance)
	}
	// Published question, answer by hand: P 15, Q 40, S1 10, S2 20, 0.5 ohm/km: 7.5 ohm around, 5.4545 km away.
	around, x, err := Varley(15, 40, 10, 20)
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "around", float64(around), 7.5, 1e-12)
	wantNear(t, "km", float64(x)/0.5, 5.4545, 5e-5)
	// American Institute report of the 1870s: loop of 1000 ohm, equal arms, balance at 100 ohm: fault at 450 ohm.
	if _, x, err = Varley(1, 1, 100, 1000); err != nil {
		t.Fatal(err)
	}
	wantNear(t, "ohms", float64(x), 450, 1e-12)
	// Blavier from its own circuit: 10 ohm core, fault of 5 ohm to earth at 4 ohm: open 9, earthed 4 + 5 par 6.
	if x, err = Blavier(9, 4+Ohms(30.0/11), 10); err != nil {
		t.Fatal(err)
	}
	wantNear(t, "Blavier", float64(x), 4, 1e-12)
	if _, err := Murray(0, 1, 1); err == nil {
		t.Error("no length: no error")
	}
	if _, _, err := Varley(1, 1, 5, 4); err == nil {
		t.Error("s2 below s1: no error")
	}
	if _, err := Blavier(5, 6, 7); err == nil {
		t.Error("earthed above open: no error")
	}
}

// An earth fault of 5 ohm on the plus core at 320 m of 800 m, 12.1 ohm/km a core: 3.872 ohm from OUT of 9.68, worked out by
// hand as each bridge would see it; to 1e-9 m.
func TestLocateEarth(t *testing.T) {
	l := ladderOf(24, 0.0242, []float64{300}, []Load{{}}, 500)
	c := mustNew(t, l)
	const x, core, fault = 3.872, 9.68, 5
	far := core - x
	for name, reading := range map[string]EarthReading{
		"Murray on the core itself": {P: far, Q: x},
		"Murray with a companion":   {Companion: true, P: 2*core - x, Q: x},
		// Equal arms: s1 = around - 2x, s2 = around.
		"Varley":              {Test: VarleyTest, P: 10, Q: 10, S1: core - 2*x, S2: core},
		"Varley and a return": {Test: VarleyTest, P: 10, Q: 10, Companion: true, S1: 2*core - 2*x, S2: 2 * core},
		"Blavier":             {Test: BlavierTest, Open: x + fault, Earthed: x + Ohms(far*fault/(far+fault)), Cable: 0.05, Meter: 0.01},
		"Blavier, warm":       {Test: BlavierTest, Whole: 2 * core, Open: 2*x + fault, Earthed: 2*x + Ohms(2*far*fault/(2*far+fault)), Meter: 0.01},
	} {
		reading.Arms = 0.01
		loc, err := c.LocateEarth(reading)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		wantNear(t, name, float64(loc.Metres), 320, 1e-9)
		if !(loc.Low < 320 && loc.High > 320) || !strings.HasPrefix(loc.Sentence, "between 1 and IN, about 20 m from 1; between ") {
			t.Errorf("%s: %+v", name, loc)
		}
	}
	for name, reading := range map[string]EarthReading{
		"no arms":                     {},
		"an arm without end":          {P: math.Inf(1), Q: 1},
		"beyond IN":                   {Companion: true, P: 1, Q: 3},
		"an error as large as an arm": {P: 1, Q: 1, Arms: 1},
		"a Varley of nothing":         {Test: VarleyTest, P: 1, Q: 1},
		"earthed above open":          {Test: BlavierTest, Open: 5, Earthed: 6},
		"a negative meter":            {P: 1, Q: 1, Meter: -1},
	} {
		if loc, err := c.LocateEarth(reading); err == nil {
			t.Errorf("%s: no error, but %+v", name, loc)
		}
	}
}
