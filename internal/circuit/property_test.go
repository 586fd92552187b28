package circuit

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Drawn loops with spurs, uneven cores and every kind of load, under none to two faults: what is fed is what a walk over
// the graph of cables finds, and the voltages are those of gonum's dense LU on the full network of both cores, to
// 1e-8 V. Where the dense Newton fails the state may not exist, and nothing is compared.
func TestAgainstDenseNetwork(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		l := drawLoop(t, 14, 3)
		faults := drawFaults(t, &l)
		c, err := New(l)
		if err != nil {
			t.Fatal(err)
		}
		loads, err := c.loads(State{})
		if err != nil {
			t.Fatal(err)
		}
		fed, opened := flood(&l, faults)
		sol, err := c.Solve(State{Faults: faults})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(sol.Fed, fed) {
			t.Fatalf("%s, isolators %+v: fed %v, want %v", c.Describe(faults), l.Isolators, sol.Fed, fed)
		}
		net := spread(&l, fed, loads, opened)
		if len(net.Loads) == 0 {
			return
		}
		want, ok := net.dense()
		if !ok || !sol.Exists {
			return
		}
		compared++
		for i := range fed {
			if got, want := float64(sol.Volts[i]), want[plus(i)]-want[minus(i)]; fed[i] && math.Abs(got-want) > 1e-8 {
				t.Fatalf("%s has %.10f V, want %.10f V", l.Points[i].Name, got, want)
			}
		}
	})
	least := 50
	if testing.Short() {
		least = 10 // of a fifth of the loops
	}
	if compared < least {
		t.Errorf("only %d states compared", compared)
	}
}

// flows gives the current of every ring cable in its plus core, from the voltages alone.
func flows(c *Circuit, sol *Solution) []float64 {
	n := len(c.ring)
	volt := func(k int) float64 {
		switch k {
		case -1:
			return float64(c.loop.Out.Volts)
		case n:
			return float64(c.loop.In.Volts)
		}
		return float64(sol.Volts[c.ring[k]])
	}
	currents := make([]float64, n+1)
	for k := range currents {
		b := c.branch[k]
		currents[k] = (volt(k-1) - volt(k) + b.minus*float64(sol.Circulates)) / (b.plus + b.minus)
	}
	return currents
}

// The closed ring, whatever its loads: the currents into every ring point sum to nothing, to 1e-11 A; the supply gives
// what loads and cables take, to 1e-10 W; and the minus core leads around to the potential that it started from.
func TestBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, err := New(drawLoop(t, 14, 3))
		if err != nil {
			t.Fatal(err)
		}
		sol, err := c.Solve(State{})
		if err != nil {
			t.Fatal(err)
		}
		if !sol.Exists {
			t.Skip("no operating point")
		}
		currents := flows(c, sol)
		drawn := make([]float64, len(c.ring)) // at each ring position, with its spur
		taken := 0.0
		for i, n := range c.nodes {
			v := float64(sol.Volts[i])
			amps := c.loop.Points[i].Rest.at(v)
			taken += v * amps
			pos := n.pos
			if n.spur >= 0 {
				pos = c.spurs[n.spur].at
			}
			drawn[pos] += amps
		}
		for k := range c.ring {
			if residual := currents[k] - currents[k+1] - drawn[k]; math.Abs(residual) > 1e-11 {
				t.Fatalf("%g A too much flow to ring position %d", residual, k)
			}
		}
		around := 0.0
		for k, current := range currents {
			back := current - float64(sol.Circulates)
			taken += c.branch[k].plus*current*current + c.branch[k].minus*back*back
			around += c.branch[k].minus * back
		}
		for _, sp := range c.spurs {
			through := 0.0
			for i, p := range slices.Backward(sp.points) {
				through += c.loop.Points[p].Rest.at(float64(sol.Volts[p]))
				taken += (sp.branch[i].plus + sp.branch[i].minus) * through * through
			}
		}
		if given := 24 * float64(sol.Out+sol.In); math.Abs(given-taken) > 1e-10 {
			t.Fatalf("the supply gives %g W, loads and cables take %g W", given, taken)
		}
		if math.Abs(around) > 1e-10 {
			t.Fatalf("the minus core ends %g V from where it began", around)
		}
	})
}

// reversed walks the loop from IN to OUT.
func reversed(l Loop) Loop {
	back := Loop{Out: l.In, In: l.Out}
	var ring []Point
	for _, p := range l.Points {
		if p.Spur == "" {
			ring = append(ring, p)
		}
	}
	cable := l.Return
	for _, p := range slices.Backward(ring) {
		p.Cable, cable = cable, p.Cable
		back.Points = append(back.Points, p)
	}
	back.Return = cable
	for _, p := range l.Points {
		if p.Spur != "" {
			back.Points = append(back.Points, p)
		}
	}
	for _, iso := range l.Isolators {
		if l.Points[l.at(iso.Point)].Spur == "" && iso.Side <= Before {
			iso.Side = Before - iso.Side
		}
		back.Isolators = append(back.Isolators, iso)
	}
	return back
}

// Walked from the other end it is the same loop: voltages to 1e-9 V, and the ends change places.
func TestReversed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLoop(t, 12, 3)
		c, err := New(l)
		if err != nil {
			t.Fatal(err)
		}
		d, err := New(reversed(l))
		if err != nil {
			t.Fatal(err)
		}
		a, _ := c.Solve(State{})
		b, _ := d.Solve(State{})
		if a.Exists != b.Exists {
			t.Fatal("only one of them exists")
		}
		if !a.Exists {
			return
		}
		if math.Abs(float64(a.Out-b.In)) > 1e-10 || math.Abs(float64(a.In-b.Out)) > 1e-10 {
			t.Fatalf("ends %v %v, reversed %v %v", a.Out, a.In, b.Out, b.In)
		}
		for i := range l.Points {
			j := d.loop.at(l.Points[i].Name)
			if math.Abs(float64(a.Volts[i]-b.Volts[j])) > 1e-9 {
				t.Fatalf("%s has %v and, reversed, %v", l.Points[i].Name, a.Volts[i], b.Volts[j])
			}
		}
	})
}

// More load never raises a voltage; and once there is no operating point, more load does not bring one back.
func TestMoreLoadLowers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, err := New(drawLoop(t, 12, 3))
		if err != nil {
			t.Fatal(err)
		}
		faults := drawFaults(t, c.Loop())
		alarm := rapid.SliceOfN(rapid.IntRange(0, len(c.loop.Points)-1), 0, 4).Draw(t, "alarm")
		less, err := c.Solve(State{Faults: faults, Alarm: alarm[:len(alarm)/2]})
		if err != nil {
			t.Fatal(err)
		}
		more, _ := c.Solve(State{Faults: faults, Alarm: alarm})
		if more.Exists && !less.Exists {
			t.Fatal("more load brought an operating point back")
		}
		for i := range more.Volts {
			if less.Exists && more.Exists && more.Volts[i] > less.Volts[i]+1e-10 {
				t.Fatalf("%s rose from %v to %v", c.loop.Points[i].Name, less.Volts[i], more.Volts[i])
			}
		}
	})
}

func lowestOf(sol *Solution) float64 {
	low := math.Inf(1)
	for i, v := range sol.Volts {
		if sol.Fed[i] {
			low = min(low, float64(v))
		}
	}
	return low
}

// With constant currents the lowest voltage of a closed ring is never below that under any single break, where both
// cores share the resistance alike everywhere and nothing hangs on a spur. With uneven cores or spurs it is never below
// that of a break at the panel: the drop of either core at any point is at most what it is when fed from that end alone.
func TestRingAboveBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLoop(t, 12, 1)
		even := rapid.Bool().Draw(t, "even cores")
		if even {
			for i := range l.Points {
				l.Points[i].Cable.Minus = l.Points[i].Cable.Plus
			}
			l.Return.Minus = l.Return.Plus
			l.Out.Minus, l.In.Minus = l.Out.Plus, l.In.Plus
			for i := range l.Isolators {
				l.Isolators[i].Minus = l.Isolators[i].Plus
			}
		}
		c, err := New(l)
		if err != nil {
			t.Fatal(err)
		}
		ring, _ := c.Solve(State{})
		for k := range len(c.ring) + 1 {
			if (!even || len(c.spurs) > 0) && k > 0 && k < len(c.ring) {
				continue
			}
			broken, _ := c.Solve(State{Faults: []Fault{{Segment: c.segment(k)}}})
			if broken.Exists && (!ring.Exists || lowestOf(ring) < lowestOf(broken)-1e-9) {
				t.Fatalf("ring %v V, %s %v V", lowestOf(ring), c.Describe([]Fault{{Segment: c.segment(k)}}), lowestOf(broken))
			}
		}
	})
}

// Whatever numbers a loop is made of, it is refused with a sentence or its results are numbers.
func TestAnyNumbers(t *testing.T) {
	solved := 0
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 {
			exponent := rapid.Float64Range(low, high).Draw(t, name)
			if rapid.IntRange(0, 30).Draw(t, name+" odd") == 0 {
				return rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), -1, 0, 1e300, 5e-324}).Draw(t, name)
			}
			return math.Pow(10, exponent)
		}
		end := End{Volts: Volts(number("volts", 0, 5)), Plus: Ohms(number("source", -8, 5))}
		l := Loop{Out: end, In: end, Return: Cable{Plus: Ohms(number("return", -5, 5))}}
		for i := range rapid.IntRange(1, 5).Draw(t, "points") {
			load := Load{LoadKind(rapid.IntRange(0, 2).Draw(t, "kind")), number("load", -8, 4)}
			l.Points = append(l.Points, Point{Name: string('A' + rune(i)), Cable: Cable{Plus: Ohms(number("r+", -5, 5)), Minus: Ohms(number("r-", -5, 5))}, Rest: load, Alarm: Load{Power, number("alarm", -8, 4)}, Least: 1})
		}
		c, err := New(l)
		if err != nil {
			return
		}
		survey, err := c.Survey(Alarms{Most: 2}, true)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range append(survey.Singles, survey.Healthy, survey.Worst, *survey.Pairs) {
			for _, x := range []float64{float64(o.Volts), float64(o.Margin), float64(o.Floor), float64(o.Out), float64(o.In)} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%+v", o)
				}
			}
			if o.Exists && o.Point >= 0 {
				solved++
			}
		}
	})
	if solved == 0 {
		t.Error("no state was solved")
	}
}
