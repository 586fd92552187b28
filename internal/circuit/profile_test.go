package circuit

import (
	"math"
	"testing"
)

// Worked out by hand: 24 V, three points 10 m apart, 1 A at the middle one, 1 ohm a segment: each half of the ring
// carries 0.5 A, so 23.5, 23 and 23.5 V, at 10, 20 and 30 of 40 m.
func TestProfile(t *testing.T) {
	l := ladderOf(24, 0.1, []float64{10, 10, 10}, amps(0, 1, 0), 10)
	for i := range l.Points {
		l.Points[i].Least = 20
	}
	c := mustNew(t, l)
	dead := &Solution{Fed: make([]bool, 3)}
	pr := c.Profile("Loop 1", []string{"healthy", "beyond the limit"}, []*Solution{mustSolve(t, c, State{}), dead})
	if pr.Length != 40 || len(pr.Series) != 2 || len(pr.Series[0].Marks) != 3 || len(pr.Least) != 3 {
		t.Fatalf("%+v", pr)
	}
	for i, want := range []Mark{{Metres: 10, Volts: 23.5}, {Metres: 20, Volts: 23}, {Metres: 30, Volts: 23.5}} {
		got := pr.Series[0].Marks[i]
		if got.Metres != want.Metres || math.Abs(float64(got.Volts-want.Volts)) > 1e-9 {
			t.Errorf("mark %d: %+v, want %+v", i, got, want)
		}
		if least := pr.Least[i]; least.Metres != want.Metres || least.Volts != 20 {
			t.Errorf("least volts %d: %+v", i, least)
		}
	}
	if marks := pr.Series[1].Marks; len(marks) != 0 {
		t.Errorf("a loop without an operating point has marks: %+v", marks)
	}
}
