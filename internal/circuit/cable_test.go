package circuit

import "testing"

// IEC 60228:2004 and NEC chapter 9 table 8 as restated; temperatures worked out by hand from R20 (1 + 0.00393 (t - 20)),
// four decimals; gauges 20 and 22 from ASTM B258 diameters, four decimals.
func TestPerKm(t *testing.T) {
	for _, one := range []struct {
		conductor Conductor
		at        Celsius
		want      float64
		tolerance float64
	}{
		{Conductor{MM2: 1.5}, 20, 12.1, 1e-9},
		{Conductor{MM2: 1.5, Tinned: true}, 20, 12.2, 1e-9},
		{Conductor{MM2: 1.5, Flexible: true}, 40, 14.3454, 5e-5},
		{Conductor{MM2: 1.5, Flexible: true, Tinned: true}, 20, 13.7, 1e-9},
		{Conductor{MM2: 2.5}, 0, 6.8276, 5e-5},
		{Conductor{MM2: 2.5}, 70, 8.8661, 5e-5},
		{Conductor{OhmsPerKm: 12.1}, 50, 13.5266, 5e-5},
		{Conductor{AWG: 18}, 75, 7.77 * 3.28084, 1e-4},
		{Conductor{AWG: 14, Stranded: true}, 75, 3.14 * 3.28084, 1e-4},
		{Conductor{AWG: 20}, 20, 33.309, 5e-4},
		{Conductor{AWG: 22}, 75, 19.6320 * 3.28084, 2e-4},
		{Conductor{AWG: 22, Stranded: true}, 75, 1.02 * 19.6320 * 3.28084, 2e-4},
		// Computed from the diameter at 20 C; table 8 differs by up to 0.12 %, being rounded to three figures.
		{Conductor{AWG: 12}, 20, 5.211, 0.007},
		{Conductor{AWG: 14}, 20, 8.286, 0.01},
		{Conductor{AWG: 16}, 20, 13.174, 0.02},
		{Conductor{AWG: 18}, 20, 20.948, 0.025},
	} {
		got, err := one.conductor.PerKm(one.at)
		if err != nil {
			t.Fatal(err)
		}
		wantNear(t, "ohm/km", got, one.want, one.tolerance)
	}
}

// Every case's cable, from its metres, ohms per kilometre and temperature; the files keep six decimals.
func TestCasesCable(t *testing.T) {
	for _, one := range readCases(t) {
		for k, want := range one.CableOhm {
			if one.PerKm == 0 {
				continue // the uniform ladder and the single load are given in ohms
			}
			plus, minus, err := Cable{Metres: Metres(one.Len[k]), Conductor: Conductor{OhmsPerKm: one.PerKm}, Celsius: Celsius(one.Temp)}.Cores()
			if err != nil {
				t.Fatal(err)
			}
			wantNear(t, one.ID+" cable", float64(plus+minus), want, 5.1e-7)
		}
	}
}
