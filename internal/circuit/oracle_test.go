package circuit

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"testing"
	"time"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// askNgspice hands networks to scripts/oracle_circuit.py, which solves them in one ngspice process.
func askNgspice(t testing.TB, nets []*network) (seconds float64, volts [][]float64) {
	t.Helper()
	return ask(t, nets, "../../scripts/oracle_circuit.py", "--live")
}

// askEach hands networks to ngspice and to SciPy, and gives what each says of them.
func askEach(t testing.TB, nets []*network) map[string][][]float64 {
	t.Helper()
	_, ngspice := askNgspice(t, nets)
	_, scipy := ask(t, nets, "../../scripts/oracle_scipy.py")
	return map[string][][]float64{"ngspice": ngspice, "SciPy": scipy}
}

func ask(t testing.TB, nets []*network, script ...string) (seconds float64, volts [][]float64) {
	t.Helper()
	in, err := json.Marshal(nets)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", script...)
	cmd.Stdin = bytes.NewReader(in)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("oracle: %v", err)
	}
	var answer struct {
		Seconds float64     `json:"seconds"`
		Volts   [][]float64 `json:"volts"`
	}
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatal(err)
	}
	if len(answer.Volts) != len(nets) {
		t.Fatalf("%d answers to %d networks", len(answer.Volts), len(nets))
	}
	return answer.Seconds, answer.Volts
}

type drawn struct {
	loop   Loop
	faults []Fault
}

// Two hundred drawn loops, with spurs, faults, single open cores and every kind of load, solved by ngspice and by SciPy on
// the spot: to 1e-6 V.
func TestAgainstNgspice(t *testing.T) {
	if os.Getenv("SOOTLINE_ORACLE") != "1" {
		t.Skip("set SOOTLINE_ORACLE=1 to compare with ngspice and SciPy (needs /usr/bin/python3 with python3-scipy, and ngspice)")
	}
	draw := rapid.Custom(func(t *rapid.T) drawn {
		l := drawLoop(t, 40, 3)
		return drawn{l, drawFaults(t, &l)}
	})
	var nets []*network
	var sols []*Solution
	spurs := 0
	for seed := 0; len(nets) < 200 && seed < 2000; seed++ {
		d := draw.Example(seed)
		c := mustNew(t, d.loop)
		sol := mustSolve(t, c, State{Faults: d.faults})
		fed, opened := flood(&d.loop, d.faults)
		loads, err := c.loads(State{})
		if err != nil {
			t.Fatal(err)
		}
		net := spread(&d.loop, fed, loads, opened)
		if !sol.Exists || len(net.Loads) == 0 {
			continue
		}
		if len(c.spurs) > 0 {
			spurs++
		}
		nets, sols = append(nets, net), append(sols, sol)
	}
	if len(nets) < 200 || spurs < 50 {
		t.Fatalf("%d networks, %d with spurs", len(nets), spurs)
	}
	for name, volts := range askEach(t, nets) {
		compared := 0
		for k, sol := range sols {
			compared += agrees(t, k, sol, name, volts[k])
		}
		t.Logf("%s: %d loops, %d with spurs, %d voltages agree", name, len(nets), spurs, compared)
	}
}

// agrees holds the volts of what is fed against what another solver says, to 1e-6 V, and counts them.
func agrees(t *testing.T, network int, sol *Solution, name string, volts []float64) int {
	t.Helper()
	next := 0
	for i, v := range sol.Volts {
		if !sol.Fed[i] {
			continue
		}
		if len(volts) < next+2 {
			t.Fatalf("network %d: %s has no operating point", network, name)
		}
		if want := volts[next] - volts[next+1]; math.Abs(float64(v)-want) > 1e-6 {
			t.Errorf("network %d, point %d: %.9f V, %s %.9f V", network, i, float64(v), name, want)
		}
		next += 2
	}
	return next / 2
}

// lumpedDense solves the closed ring by gonum's LU on one full matrix of a row a device.
func lumpedDense(c *Circuit, loads []Load) []float64 {
	n := len(c.ring)
	v := make([]float64, n)
	for k := range v {
		v[k] = c.top
	}
	for {
		a, b := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
		for k := range n {
			left := 1 / (c.branch[k].plus + c.branch[k].minus)
			right := 1 / (c.branch[k+1].plus + c.branch[k+1].minus)
			diagonal, current := left+right, 0.0
			switch load := loads[c.ring[k]]; load.Kind {
			case Current:
				current = load.Value
			case Power:
				diagonal -= load.Value / v[k] / v[k]
				current = 2 * load.Value / v[k]
			}
			if k > 0 {
				a.Set(k, k-1, -left)
			} else {
				current -= left * c.top
			}
			if k < n-1 {
				a.Set(k, k+1, -right)
			} else {
				current -= right * c.top
			}
			a.Set(k, k, diagonal)
			b.SetVec(k, -current)
		}
		var x mat.VecDense
		if err := x.SolveVec(a, b); err != nil {
			return nil
		}
		moved := 0.0
		for k := range v {
			moved = max(moved, math.Abs(v[k]-x.AtVec(k)))
			v[k] = x.AtVec(k)
		}
		if moved < settled*c.top {
			return v
		}
	}
}

// All 254 single faults of a 126-device loop with everybody in alarm, by a survey, one by one, by ngspice in one batch, and
// (the ring, as often) by gonum's dense LU. cmd/bench holds the seconds against what is claimed.
func BenchmarkFaultsAgainstOthers(b *testing.B) {
	l := even(126)
	c := mustNew(b, l)
	loads, err := c.loads(State{All: true})
	if err != nil {
		b.Fatal(err)
	}
	var nets []*network
	var states []State
	for kind := Open; kind <= Short; kind++ {
		for k := range l.ReturnSegment() + 1 {
			faults := []Fault{{Kind: kind, Segment: k}}
			fed, opened := flood(&l, faults)
			net := spread(&l, fed, loads, opened)
			net.Ask = net.Ask[:2] // printing more would be held against ngspice
			nets, states = append(nets, net), append(states, State{Faults: faults, All: true})
		}
	}
	seconds, _ := askNgspice(b, nets)
	start := time.Now()
	for range 10 {
		lumpedDense(c, loads)
	}
	dense := time.Since(start).Seconds() / 10 * float64(len(states))
	var each, survey float64
	for b.Loop() {
		start := time.Now()
		for _, state := range states {
			if sol := mustSolve(b, c, state); !sol.Exists {
				b.Fatal(c.Describe(state.Faults))
			}
		}
		each += time.Since(start).Seconds()
		start = time.Now()
		if _, err := c.Survey(EveryAlarm(), false); err != nil {
			b.Fatal(err)
		}
		survey += time.Since(start).Seconds()
	}
	each, survey = each/float64(b.N), survey/float64(b.N)
	b.ReportMetric(seconds, "s-ngspice")
	b.ReportMetric(dense, "s-dense")
	b.ReportMetric(survey, "s-survey")
	b.ReportMetric(each, "s-each")
}
