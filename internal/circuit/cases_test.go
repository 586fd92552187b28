package circuit

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// loopCase is one circuit of testdata/loopcases, solved by ngspice; its README tells the fields.
type loopCase struct {
	ID       string    `json:"id"`
	VS       float64   `json:"vs"`
	RSOut    float64   `json:"rs_out"`
	RSIn     float64   `json:"rs_in"`
	PerKm    float64   `json:"ohm_km_20C"`
	Temp     float64   `json:"temp_C"`
	Len      []float64 `json:"len_m"`
	CableOhm []float64 `json:"cable_ohm"`
	IsoAfter []int     `json:"iso_after_device"`
	IsoOhm   float64   `json:"iso_ohm"`
	SegOhm   []float64 `json:"seg_ohm"`
	Kinds    string    `json:"load_kind"`
	Loads    []float64 `json:"load_val"`
	Open     []int     `json:"open_segments"`
	Short    *int      `json:"short_in_segment"`
	Lost     []int     `json:"lost_devices"`
	Result   struct {
		V        []*float64 `json:"v"`
		PanelOut float64    `json:"v_panel_out"`
		PanelIn  float64    `json:"v_panel_in"`
		Out      float64    `json:"i_out"`
		In       float64    `json:"i_in"`
		Min      float64    `json:"v_min"`
		MinAt    int        `json:"v_min_device"`
	} `json:"result"`
}

func readJSON(t testing.TB, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "loopcases", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// readCases reads the circuits; the folder holds three more files, which are indexes and other results.
func readCases(t testing.TB) []loopCase {
	t.Helper()
	names, err := filepath.Glob("testdata/loopcases/*-*.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []loopCase
	for _, name := range names {
		var one loopCase
		readJSON(t, filepath.Base(name), &one)
		cases = append(cases, one)
	}
	if len(cases) != 81 {
		t.Fatalf("%d circuits, want 81", len(cases))
	}
	return cases
}

func readCase(t testing.TB, id string) loopCase {
	t.Helper()
	var one loopCase
	readJSON(t, id+".json", &one)
	return one
}

// loop writes a case down as a loop. The cores share the cable equally; the isolators, and the sources, are in the
// plus core only when split is false, else shared too, which makes the lumped circuit of the case exact.
func (c *loopCase) loop(split bool) Loop {
	share := 0.0
	if split {
		share = 0.5
	}
	end := func(r float64) End {
		return End{Volts: Volts(c.VS), Plus: Ohms(r * (1 - share)), Minus: Ohms(r * share)}
	}
	cable := func(k int) Cable {
		return Cable{Metres: Metres(c.Len[k]), Plus: Ohms(c.CableOhm[k] / 2), Minus: Ohms(c.CableOhm[k] / 2)}
	}
	l := Loop{Name: c.ID, Out: end(c.RSOut), In: end(c.RSIn), Return: cable(len(c.Loads))}
	for k, value := range c.Loads {
		load := Load{LoadKind(strings.IndexByte("IRP", c.Kinds[k])), value}
		l.Points = append(l.Points, Point{Name: strconv.Itoa(k + 1), Cable: cable(k), Rest: load, Alarm: load, Counted: true})
	}
	for _, k := range c.IsoAfter {
		l.Isolators = append(l.Isolators, Isolator{Point: strconv.Itoa(k), Plus: Ohms(c.IsoOhm * (1 - share)), Minus: Ohms(c.IsoOhm * share)})
	}
	return l
}

func (c *loopCase) faults() []Fault {
	if c.Short != nil {
		return []Fault{{Kind: Short, Segment: Segment(*c.Short)}}
	}
	var faults []Fault
	for _, k := range c.Open {
		faults = append(faults, Fault{Kind: Open, Segment: Segment(k)})
	}
	return faults
}

func mustNew(t testing.TB, l Loop) *Circuit {
	t.Helper()
	c, err := New(l)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func mustSolve(t testing.TB, c *Circuit, s State) *Solution {
	t.Helper()
	sol, err := c.Solve(s)
	if err != nil {
		t.Fatal(err)
	}
	return sol
}

func wantNear(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.12g, want %.12g to within %g", what, got, want, tolerance)
	}
}

// Every circuit that ngspice 39.3 solved (testdata/README.md), to 1e-6 V and 1e-9 A. At 1.01 of the limit of
// constant power ngspice lands on a state that no supply can hold; there the answer is that there is none.
func TestReferenceCircuits(t *testing.T) {
	for _, one := range readCases(t) {
		t.Run(one.ID, func(t *testing.T) {
			c := mustNew(t, one.loop(true))
			sol := mustSolve(t, c, State{Faults: one.faults()})
			if one.ID == "F-eb-1.01" {
				if sol.Exists {
					t.Error("an operating point is claimed beyond the limit")
				}
				return
			}
			compare(t, sol, &one)
		})
	}
}

func compare(t *testing.T, sol *Solution, want *loopCase) {
	t.Helper()
	if !sol.Exists {
		t.Fatal("no operating point")
	}
	lowest, at := math.Inf(1), 0
	for k, v := range want.Result.V {
		if sol.Fed[k] != (v != nil) {
			t.Errorf("device %d: fed %v, want %v", k+1, sol.Fed[k], v != nil)
		}
		if v == nil {
			continue
		}
		wantNear(t, "volts at device "+strconv.Itoa(k+1), float64(sol.Volts[k]), *v, 1e-6)
		if float64(sol.Volts[k]) < lowest-1e-9 {
			lowest, at = float64(sol.Volts[k]), k+1
		}
	}
	// The files keep nine digits, so above 0.2 A half a unit of the last one is more than 1e-9 A.
	wantNear(t, "current from OUT", float64(sol.Out), want.Result.Out, max(1e-9, 5e-9*want.Result.Out))
	wantNear(t, "current from IN", float64(sol.In), want.Result.In, max(1e-9, 5e-9*want.Result.In))
	wantNear(t, "lowest volts", lowest, want.Result.Min, 1e-6)
	if at != want.Result.MinAt {
		t.Errorf("lowest at device %d, want %d", at, want.Result.MinAt)
	}
	wantNear(t, "volts at OUT", want.VS-want.RSOut*float64(sol.Out), want.Result.PanelOut, 1e-6)
	wantNear(t, "volts at IN", want.VS-want.RSIn*float64(sol.In), want.Result.PanelIn, 1e-6)
}

// The same circuits with isolators and sources in the plus core only, each core a row of resistors of its own in
// ngspice (testdata/README.md): what lumping both cores into one gets wrong by up to 5.3e-4 V.
func TestTwoCores(t *testing.T) {
	var results map[string]struct {
		V       []float64 `json:"v"`
		Out     float64   `json:"i_out_plus"`
		In      float64   `json:"i_in_plus"`
		Lumping float64   `json:"max_abs_diff_vs_lumped"`
	}
	readJSON(t, "twowire.json", &results)
	if len(results) != 12 {
		t.Fatalf("%d circuits, want 12", len(results))
	}
	for id, want := range results {
		t.Run(id, func(t *testing.T) {
			one := readCase(t, id)
			sol := mustSolve(t, mustNew(t, one.loop(false)), State{})
			worst := 0.0
			for k, v := range want.V {
				wantNear(t, "volts at device "+strconv.Itoa(k+1), float64(sol.Volts[k]), v, 1e-6)
				worst = max(worst, math.Abs(float64(sol.Volts[k])-*one.Result.V[k]))
			}
			wantNear(t, "current from OUT", float64(sol.Out), want.Out, 1e-9)
			wantNear(t, "current from IN", float64(sol.In), want.In, 1e-9)
			wantNear(t, "what lumping gets wrong", worst, want.Lumping, 0.01*want.Lumping+1e-9)
		})
	}
}
