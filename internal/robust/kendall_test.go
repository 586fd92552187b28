package robust

import (
	"math"
	"strconv"
	"testing"
)

// kendallCase is the expected result of one Mann-Kendall test.
type kendallCase struct {
	S      int64
	VarNum float64  `json:"varS_num"`
	VarDen float64  `json:"varS_den"`
	Z      float64  `json:"z"`
	P      *float64 `json:"p_normal_cc"`
	Exact  *float64 `json:"exact_p_two_sided"`
}

func (c kendallCase) check(t *testing.T, name string, x, y []float64) {
	t.Helper()
	got, err := MannKendall(x, y)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if got.S != c.S || got.N != len(y) {
		t.Errorf("%s: S %d of %d, want %d of %d", name, got.S, got.N, c.S, len(y))
	}
	wantRel(t, name+" var S", got.VarS, c.VarNum/c.VarDen, 1e-14)
	wantRel(t, name+" z", got.Z, c.Z, 1e-13)
	wantRel(t, name+" normal p", got.NormalP, *c.P, 1e-11)
	switch {
	case got.How == PExact && c.Exact == nil:
		t.Logf("%s: exact p %v has no reference", name, got.P)
	case got.How == PExact:
		wantRel(t, name+" exact p", got.P, *c.Exact, 1e-12)
	case got.P != got.NormalP:
		t.Errorf("%s: p %v, want the normal one, %v", name, got.P, got.NormalP)
	case c.Exact != nil && len(y) <= exactUpTo:
		t.Errorf("%s: no exact p", name)
	}
}

func TestMannKendallInvented(t *testing.T) {
	// Var S as a fraction and exact p by rational arithmetic and by q-multinomials in Python; z and p from
	// SciPy 1.10.1; S and z also from R trend. Relative tolerances as in check.
	var file struct {
		Cases []struct {
			Name     string
			Expected kendallCase
		}
	}
	readCases(t, "mann_kendall.json", &file)
	var inputs struct{ Cases []senCase }
	readCases(t, "theil_sen.json", &inputs)
	if len(file.Cases) != len(inputs.Cases) {
		t.Fatalf("%d cases, %d inputs", len(file.Cases), len(inputs.Cases))
	}
	for i, c := range file.Cases {
		if c.Name != inputs.Cases[i].Name {
			t.Fatalf("case %s, input %s", c.Name, inputs.Cases[i].Name)
		}
		c.Expected.check(t, c.Name, inputs.Cases[i].Input.Days, inputs.Cases[i].Input.Y)
	}
}

func TestMannKendallPublished(t *testing.T) {
	// EPA Unified Guidance (2009) 17-6 and 17-7, Helsel & Hirsch, and R trend mk.test on maxau and the Nile.
	for _, c := range readPublished(t) {
		c.Computed.MK.check(t, c.Name, c.Input.T, c.Input.Y)
	}
	// EPA 17-6 as the EnvStats help page prints it: z = 5.107322, p = 3.267574e-07.
	c := readPublished(t)[0]
	got, err := MannKendall(c.Input.T, c.Input.Y)
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "sulfate z", got.Z, 5.107322, 1e-7)
	wantRel(t, "sulfate p", got.NormalP, 3.267574e-07, 2e-7)
}

func TestMannKendallEPA(t *testing.T) {
	// EPA QA/G-9S (2006) p. 109: S = 22, var S = 155.33, Z = 1.685.
	y := []float64{10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15}
	got, err := MannKendall(sequence(11), y)
	if err != nil {
		t.Fatal(err)
	}
	if got.S != 22 {
		t.Errorf("S %d, want 22", got.S)
	}
	wantNear(t, "var S", got.VarS, 155.33, 0.5e-2/155)
	wantNear(t, "z", got.Z, 1.685, 0.5e-3/1.6)
	// EPA QA/G-9, five points by hand: S = 6, one-sided p = 0.117 (from memory).
	got, err = MannKendall(sequence(5), []float64{5, 6, 11, 8, 10})
	if err != nil {
		t.Fatal(err)
	}
	if got.S != 6 || got.How != PExact {
		t.Errorf("%+v", got)
	}
	wantNear(t, "one-sided p", got.P/2, 0.117, 0.5e-3)
}

func TestExactNullTable(t *testing.T) {
	// P(S >= s) without ties, n = 3 to 10, by full count in Python; SciPy's exact p agrees (oracle_stats.py).
	// Kendall (1975) tabulates the same. Relative tolerance 1e-13.
	var file struct {
		Table map[string]map[string]float64
	}
	readCases(t, "mann_kendall_exact_null_noties.json", &file)
	var s Scratch
	for n, row := range file.Table {
		size, err := strconv.Atoi(n)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.load(sequence(size), sequence(size)); err != nil {
			t.Fatal(err)
		}
		c := s.tally()
		for key, want := range row {
			if c.s, err = strconv.ParseInt(key, 10, 64); err != nil {
				t.Fatal(err)
			}
			p, ok := s.exactP(c)
			if !ok {
				t.Fatalf("n=%s: no exact p", n)
			}
			wantRel(t, "n="+n+" S="+key, p, min(1, 2*want), 1e-13)
		}
	}
}

// TestExactByEnumeration counts every ordering of small tied samples: the definition of the exact p-value.
func TestExactByEnumeration(t *testing.T) {
	for _, values := range [][]float64{
		{1, 1, 2, 2, 3, 4, 4},
		{5, 5, 5, 5, 6, 7},
		{1, 2, 2, 2, 2, 2, 3, 3},
	} {
		times := sequence(len(values))
		counts := map[int64]int64{}
		permute(values, 0, func(y []float64) { counts[plainS(times, y)]++ })
		for s := range counts {
			far, all := int64(0), int64(0)
			var sample []float64
			for other, c := range counts {
				all += c
				if other >= max(s, -s) {
					far += c
				}
			}
			permute(values, 0, func(y []float64) {
				if sample == nil && plainS(times, y) == s {
					sample = append(sample, y...)
				}
			})
			want := min(1, 2*float64(far)/float64(all))
			got, err := MannKendall(times, sample)
			if err != nil || got.How != PExact {
				t.Fatalf("%v: %+v, %v", sample, got, err)
			}
			wantRel(t, "exact p", got.P, want, 1e-13)
			// Kendall's S is the same with times and values exchanged, and so is its distribution.
			if swapped, err := MannKendall(sample, times); err != nil || swapped.P != got.P || swapped.S != got.S {
				t.Errorf("exchanged: %+v, %v, want %+v", swapped, err, got)
			}
		}
	}
}

// permute calls f with every ordering of x.
func permute(x []float64, from int, f func([]float64)) {
	if from == len(x) {
		f(x)
		return
	}
	for i := from; i < len(x); i++ {
		x[from], x[i] = x[i], x[from]
		permute(x, from+1, f)
		x[from], x[i] = x[i], x[from]
	}
}

// plainS is S by its definition, pair by pair.
func plainS(t, y []float64) int64 {
	s := 0.0
	for i := range t {
		for j := range i {
			if d := (t[i] - t[j]) * (y[i] - y[j]); d != 0 {
				s += math.Copysign(1, d)
			}
		}
	}
	return int64(s)
}
