package app

import "testing"

func TestFigureOfRate(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 3411.7: "3412", 34117: "34120", 0.012344: "0.01234", 12.5: "12.5"} {
		if got := FigureOfRate(x); got != want {
			t.Errorf("%v is written %q, want %q", x, got, want)
		}
	}
}
