package robust

import "testing"

func TestNoiseWithinVisit(t *testing.T) {
	// Invented samples; NumPy 1.24.2 var() and diff(), 16 digits.
	var file struct {
		Samples map[string]struct {
			X          []float64
			SD         float64
			Successive float64 `json:"sd_from_successive_differences"`
			VonNeumann float64 `json:"von_neumann_ratio"`
			Lag1       float64
			Range      float64
		} `json:"within_visit_samples"`
	}
	readCases(t, "noise.json", &file)
	if len(file.Samples) != 4 {
		t.Fatalf("%d samples", len(file.Samples))
	}
	for name, c := range file.Samples {
		_, sd, _ := Moments(c.X)
		wantNear(t, name+" sd", sd, c.SD, 1e-13)
		for _, f := range []struct {
			name string
			of   func([]float64) (float64, bool)
			want float64
		}{
			{"successive sd", SuccessiveSD, c.Successive},
			{"von Neumann ratio", VonNeumann, c.VonNeumann},
			{"lag-1", Lag1, c.Lag1},
			{"range", Range, c.Range},
		} {
			got, ok := f.of(c.X)
			if !ok {
				t.Fatalf("%s: no %s", name, f.name)
			}
			wantNear(t, name+" "+f.name, got, f.want, 1e-13)
		}
	}
}
