package bench

import (
	"math/rand/v2"
	"testing"

	"sootline"
)

// Of good devices at most about 1 in 100 is called unlike the others, however few there
// are; one that is far off is found.
func TestUnlikeHoldsItsShare(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 13))
	for _, n := range []int{8, 9, 10, 12, 15, 20, 30, 50} {
		const rounds = 20000
		accused, missed := 0, 0
		for range rounds {
			others := make([]float64, n)
			for i := range others {
				others[i] = 30 + rng.NormFloat64()
			}
			if unlike(30+rng.NormFloat64(), others, 1e-6) {
				accused++
			}
			if !unlike(50, others, 1e-6) {
				missed++
			}
		}
		if share := float64(accused) / rounds; share > 0.012 {
			t.Errorf("of %d others: %.4f of good devices are accused", n, share)
		}
		if share := float64(missed) / rounds; share > 0.05 {
			t.Errorf("of %d others: %.4f of devices 20 spreads off are missed", n, share)
		}
	}
	if unlike(90, []float64{1, 2, 3, 4, 5, 6, 7}, 1) {
		t.Error("seven others are too few to say so")
	}
}

// What is said of a value as its samples come.
func TestValues(t *testing.T) {
	low, high, rest := 20.0, 40.0, 25.0
	sheet := sootline.TypeSheet{Name: "Larch", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: &low, High: &high}}, FactoryRest: &rest}
	larch := newType("Larch", &sheet, 0.5)
	for _, test := range []struct {
		name    string
		samples []float64
		seconds float64
		state   string
		codes   []Code
	}{
		{"none", nil, 0, ValueNone, nil},
		{"inside", []float64{26, 26.2, 26.1}, 0, ValueInside, nil},
		{"at the limit", []float64{40}, 0, ValueMargin, []Code{SecondLook, RestsDirty}},
		{"just above", []float64{40.5}, 0, ValueAbove, []Code{OutsideBand, SecondLook}},
		{"far above", []float64{60, 60}, 0, ValueAbove, []Code{OutsideBand}},
		{"below", []float64{12}, 0, ValueBelow, []Code{OutsideBand}},
		{"settling, and time is left", []float64{30, 29, 28, 27.5, 27, 26.8}, 60, ValueInside, []Code{Settling}},
		{"settling after three minutes", []float64{30, 29, 28, 27.5, 27, 26.8}, 200, ValueInside, []Code{Settling}},
		{"unsteady", []float64{24, 28, 24, 28}, 0, ValueInside, []Code{Unsteady}},
		{"as a dirty one", []float64{35, 35, 35}, 0, ValueInside, []Code{RestsDirty}},
	} {
		t.Run(test.name, func(t *testing.T) {
			var codes []Code
			graves := map[Code]Grave{}
			run := &Run{Types: map[string]*Type{}}
			v := run.lookAtValue(Given{Samples: test.samples, Seconds: test.seconds}, &Looked{}, larch, func(code Code, grave Grave, text string) {
				codes = append(codes, code)
				graves[code] = grave
				if text == "" {
					t.Errorf("%s has no words", code)
				}
			})
			if v.State != test.state || len(codes) != len(test.codes) {
				t.Fatalf("%s, %v; want %s, %v", v.State, codes, test.state, test.codes)
			}
			for i, code := range test.codes {
				if codes[i] != code {
					t.Errorf("%v, want %v", codes, test.codes)
				}
			}
			if want := map[bool]Grave{true: Told, false: Asked}[test.seconds < lookSeconds]; v.Settling && graves[Settling] != want {
				t.Errorf("settling is %s after %v seconds", graves[Settling], test.seconds)
			}
		})
	}
}
