package circuit

import (
	"strings"
	"testing"
)

// Worked out by hand: 24 V, three points 10 m apart, 1 A at the middle one, 1 ohm a segment: 23.5, 23 and 23.5 V. The
// scale goes from 20 V, the least, to 23.5 V on 14 lines, so 23 V is on line 2 of 0 to 13 (0.5/3.5 x 13 = 1.86).
func TestProfileText(t *testing.T) {
	l := ladderOf(24, 0.1, []float64{10, 10, 10}, amps(0, 1, 0), 10)
	for i := range l.Points {
		l.Points[i].Least = 20
	}
	c := mustNew(t, l)
	dead := &Solution{Fed: make([]bool, 3)}
	text := c.Profile("Loop 1", []string{"healthy", "beyond the limit"}, []*Solution{mustSolve(t, c, State{}), dead}).Text(72)
	lines := strings.Split(text, "\n")
	for _, line := range lines {
		if len(line) > 72 {
			t.Errorf("%d columns: %s", len(line), line)
		}
	}
	at := func(row, column int) byte { return (lines[1+row] + strings.Repeat(" ", 72))[9+column] }
	// 63 columns for 40 m: 10, 20 and 30 m are columns 15.5, 31 and 46.5 of 0 to 62.
	for _, want := range []struct {
		row, column int
		sign        byte
	}{{0, 16, 'o'}, {2, 31, 'o'}, {0, 47, 'o'}, {13, 16, '-'}, {13, 31, '-'}, {13, 47, '-'}} {
		if got := at(want.row, want.column); got != want.sign {
			t.Errorf("row %d, column %d: %c, want %c", want.row, want.column, got, want.sign)
		}
	}
	for _, want := range []string{"Loop 1", "23.50 V|", "20.00 V|", "OUT 0 m", "IN 40 m", "o healthy", "x beyond the limit (no operating point, nothing to draw)"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// Nothing to draw, or all at one height, still makes a drawing.
func TestProfileEmpty(t *testing.T) {
	for _, pr := range []*Profile{{Title: "none", Length: 1}, {Length: 1, Series: []Series{{Marks: []Mark{{0.5, 24, "1", false}}}}}} {
		if text := pr.Text(20); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Error(text)
		}
	}
}
