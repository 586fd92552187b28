package fault

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"sootline/internal/circuit"
)

// loopOf draws a loop of constant currents.
func loopOf(rng *rand.Rand, n int) circuit.Loop {
	end := circuit.End{Volts: 28, Plus: 0.4, Minus: 0.4}
	l := circuit.Loop{Name: "drawn", Out: end, In: end, Return: cableOf(rng)}
	for k := range n {
		l.Points = append(l.Points, circuit.Point{Name: fmt.Sprintf("1.1.%03d", k+1), Cable: cableOf(rng), Rest: circuit.In(circuit.Amps(0.001 + 0.01*rng.Float64()))})
	}
	return l
}

func cableOf(rng *rand.Rand) circuit.Cable {
	ohms := circuit.Ohms(0.1 + rng.Float64())
	return circuit.Cable{Metres: 10, Plus: ohms, Minus: ohms}
}

// withCause gives the loop as the fault leaves it, and the state it is in; the solver knows nothing of causes.
func withCause(l circuit.Loop, c *Cause) (circuit.Loop, circuit.State) {
	l.Points = append([]circuit.Point(nil), l.Points...)
	var state circuit.State
	switch x := c.mean[ofFault]; c.Kind {
	case Open:
		state.Faults = []circuit.Fault{{Kind: circuit.Open, Segment: circuit.Segment(c.At)}}
	case Overload:
		l.Points[c.At].Rest.Value += x
	case Contact:
		cable := &l.Return
		if c.At < len(l.Points) {
			cable = &l.Points[c.At].Cable
		}
		cable.Plus += circuit.Ohms(x / 2) // on both cores alike, as the search takes it
		cable.Minus += circuit.Ohms(x / 2)
	case Leakage: // a joint with a load in the middle of the stretch
		cable := &l.Return
		if c.At < len(l.Points) {
			cable = &l.Points[c.At].Cable
		}
		half := circuit.Cable{Metres: cable.Metres / 2, Plus: cable.Plus / 2, Minus: cable.Minus / 2}
		*cable = half
		l.Points = slices.Insert(l.Points, c.At, circuit.Point{Name: "joint", Cable: half, Rest: circuit.In(circuit.Amps(x))})
	}
	return l, state
}

// TestAgainstTheSolver: volts at every device and the currents of both ends are the circuit's, whatever is wrong and
// however the loop is fed.
func TestAgainstTheSolver(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 1))
	for range 60 {
		n := 2 + rng.IntN(20)
		l := loopOf(rng, n)
		ring, err := RingOf(&l, Supply{})
		if err != nil {
			t.Fatal(err)
		}
		for _, kind := range []Kind{Open, Overload, Contact, Leakage, Dead} {
			c := Cause{Kind: kind, At: rng.IntN(n), Other: None, believed: ring.believe(kind)}
			if kind.OfCable() {
				c.At = rng.IntN(n + 1)
			}
			c.mean[ofFault] = 0.1 * rng.Float64()
			if kind == Contact {
				c.mean[ofFault] = 40 * rng.Float64()
			}
			changed, state := withCause(l, &c)
			for _, feed := range []Feed{Both, FromOut, FromIn} {
				agree(t, &ring, &c, changed, state, feed)
			}
		}
	}
}

func agree(t *testing.T, ring *Ring, c *Cause, l circuit.Loop, state circuit.State, feed Feed) {
	t.Helper()
	n := len(l.Points)
	switch feed {
	case FromOut:
		state.Faults = append(state.Faults, circuit.Fault{Kind: circuit.Open, Segment: circuit.Segment(n)})
	case FromIn:
		state.Faults = append(state.Faults, circuit.Fault{Kind: circuit.Open, Segment: 0})
	}
	solver, err := circuit.New(l)
	if err != nil {
		t.Fatal(err)
	}
	want, err := solver.Solve(state)
	if err != nil {
		return // two breaks at one place: no state of its own
	}
	s := Step{OpenAt: None, Feed: feed, Look: AtVolts}
	f := ring.reach(c, &s)
	w := walk{ring, c, &f, &c.mean}
	if !want.Exists {
		return
	}
	devices := slices.Clone(want.Volts)
	if c.Kind == Leakage {
		devices = slices.Delete(devices, c.At, c.At+1)
	}
	for k, volts := range devices {
		if got := w.volts(k, false); math.Abs(got-float64(volts)) > 1e-6 {
			t.Fatalf("%v at %d of %d, fed %d: %g V at %d, the solver has %g", c.Kind, c.At, n, feed, got, k, volts)
		}
	}
	out, in := w.ends()
	if math.Abs(out-float64(want.Out)) > 1e-9 || math.Abs(in-float64(want.In)) > 1e-9 {
		t.Fatalf("%v at %d of %d, fed %d: %g and %g A, the solver has %g and %g", c.Kind, c.At, n, feed, out, in, want.Out, want.In)
	}
}
