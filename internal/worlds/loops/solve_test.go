package loops

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestSolverAgainstCases: the reference cases (ngspice) and what stands in print.
func TestSolverAgainstCases(t *testing.T) {
	cases, err := References()
	if err != nil || len(cases) < 68 {
		t.Fatal(len(cases), err)
	}
	for _, c := range append(cases, Published()...) {
		op, ok := c.Solve()
		if ok == c.None {
			t.Errorf("%s: a point of operation is found: %v", c.Name, ok)
		}
		if !ok {
			continue
		}
		for i, want := range c.Volts {
			printed := c.Source != cases[0].Source
			if math.IsNaN(want) != math.IsNaN(op.Volts[i]) && !printed || math.Abs(op.Volts[i]-want) > c.Within {
				t.Errorf("%s: point %d has %.8f V, want %.8f", c.Name, i+1, op.Volts[i], want)
			}
		}
		if amps := c.Within; math.Abs(op.Out-c.Out) > amps || math.Abs(op.In-c.In) > amps {
			t.Errorf("%s: OUT %.8f IN %.8f, want %.8f %.8f", c.Name, op.Out, op.In, c.Out, c.In)
		}
	}
}

// TestCoresApart: 0.2 ohm of an isolator in the plus core alone. Worked with ngspice on both cores (A-a-twowire).
func TestCoresApart(t *testing.T) {
	cases, _ := References()
	c := cases[0]
	third := &c.Loop.Points[2].Cable
	third.Plus, third.Minus = 0.926, 0.726
	op, ok := c.Solve()
	want := []float64{23.98678666, 23.97870982, 23.96496497, 23.96204277, 23.98517768}
	for i := range want {
		if !ok || math.Abs(op.Volts[i]-want[i]) > 1e-8 {
			t.Errorf("point %d: %.8f, want %.8f", i+1, op.Volts[i], want[i])
		}
	}
	if math.Abs(op.Out-0.0134021488318) > 1e-10 || math.Abs(op.In-0.0124978511682) > 1e-10 {
		t.Error(op.Out, op.In)
	}
}

// TestOneLoad: 10 W behind 10 ohm at 24 V has (24 + sqrt(24^2 - 400)) / 2 V; 14.4 W is the most that there is.
func TestOneLoad(t *testing.T) {
	for _, c := range []struct{ watts, volts float64 }{{10, 18.633249581}, {14, 14}, {14.39, 12.316227766}, {14.41, 0}} {
		l := ring("", "", 24, []float64{10, 10}, []float64{0}, nil, 0, 0).Loop
		l.Points[0].Rest = Load{Watts, c.watts}
		l.Points[0].Alarm = l.Points[0].Rest
		s := State{Fault: Open, Stretch: 1, Volts: 24}
		op, ok := l.Solve(s)
		again, okToo := newPorts(l, s).operate(l.draws(s))
		if ok != (c.volts > 0) || ok != okToo {
			t.Fatal(c.watts, ok, okToo)
		}
		if ok && (math.Abs(op.Volts[0]-c.volts) > 1e-8 || math.Abs(again.Volts[0]-c.volts) > 1e-8) {
			t.Error(c.watts, op.Volts[0], again.Volts[0])
		}
	}
}

// TestOvershoot: 1000 ohm behind 3000 ohm of cable at 40 V have 10 V; putting the volts in does not come to rest there.
func TestOvershoot(t *testing.T) {
	l := ring("", "", 40, []float64{3000, 1}, []float64{0}, nil, 0, 0).Loop
	l.Points[0].Rest = Load{Ohms, 1000}
	s := State{Fault: Open, Stretch: 1, Volts: 40}
	op, ok := newPorts(l, s).operate(l.draws(s))
	if !ok || math.Abs(op.Volts[0]-10) > 1e-9 {
		t.Error(op, ok)
	}
}

// TestTwoWays: what is solved as a net and what is solved from the devices' side is the same, in every fault of random
// loops; and what the ends give is what the devices draw.
func TestTwoWays(t *testing.T) {
	tried := 0
	for seed := range uint64(300) {
		l := Draw(seed, Taste{Stepwise: true, OneCore: true, Bounds: true})
		rng := rand.New(rand.NewPCG(seed, 1))
		for _, s := range l.Faults() {
			s.Volts = l.Supply.Low
			for i := range l.Points {
				if rng.IntN(2) == 0 && !l.Points[i].Junction && s.Fault != Starting {
					s.Alarms = append(s.Alarms, i)
				}
			}
			a, ok := l.Solve(s)
			b, okToo := newPorts(l, s).operate(l.draws(s))
			if ok != okToo {
				t.Fatalf("%d %+v: %v %v", seed, s, ok, okToo)
			}
			if !ok {
				continue
			}
			tried++
			drawn := 0.0
			for i, v := range a.Volts {
				if math.IsNaN(v) != math.IsNaN(b.Volts[i]) || math.Abs(v-b.Volts[i]) > 1e-8 {
					t.Fatalf("%d %+v: point %d %v V and %v V", seed, s, i, v, b.Volts[i])
				}
				if !math.IsNaN(v) {
					amps, _ := l.draws(s)(i, v)
					drawn += amps
				}
			}
			if math.Abs(a.Out-b.Out) > 1e-9 || math.Abs(a.In-b.In) > 1e-9 || math.Abs(a.Out+a.In-drawn) > 1e-9 {
				t.Fatalf("%d %+v: %v %v, %v %v, drawn %v", seed, s, a.Out, a.In, b.Out, b.In, drawn)
			}
		}
	}
	if tried < 5000 {
		t.Error(tried)
	}
}
