package chart

import (
	"strings"
	"testing"
)

// ladder is 24 V, three points 10 m apart and 1 A at the middle one, 1 ohm a
// segment, worked out by hand: each half of the ring carries 0.5 A.
func ladder() Profile {
	at := func(v1, v2, v3 float64) []ProfileAt {
		return []ProfileAt{{10, v1, "1", false}, {20, v2, "2", false}, {30, v3, "3", false}}
	}
	return Profile{Title: "Loop 1", Metres: 40, Series: []ProfileRun{{"healthy", at(23.5, 23, 23.5)}, {"beyond the limit", nil}}, Least: at(20, 20, 20)}
}

// Signs stand between the lines and columns of 24 and 20 V, 0 and 40 m, in
// proportion.
func TestProfileText(t *testing.T) {
	text := ladder().Picture().Text(80)
	lines := strings.Split(text, "\n")
	row := func(part string) int {
		for i, line := range lines {
			if strings.Contains(line, part) {
				return i
			}
		}
		t.Fatalf("no %q in\n%s", part, text)
		return 0
	}
	top, foot := row("24 V"), row("20 │")
	line := func(volts float64) int { return top + int((24-volts)/4*float64(foot-top)+0.5) }
	// 10, 20 and 30 of 40 m are at a quarter, a half and three quarters of the frame.
	left := strings.IndexRune(lines[top], '│') // all before it is ASCII
	for _, c := range []struct {
		volts float64
		share float64
		sign  rune
	}{{23.5, 0.25, 'o'}, {23, 0.5, 'o'}, {23.5, 0.75, 'o'}, {20, 0.25, '-'}, {20, 0.5, '-'}, {20, 0.75, '-'}} {
		want := left + 1 + int(c.share*float64(80-3-1-left)+0.5)
		runes := []rune(lines[line(c.volts)])
		found := false
		for x := max(want-1, 0); x <= want+1 && x < len(runes); x++ {
			found = found || runes[x] == c.sign
		}
		if !found {
			t.Errorf("no %c of %v V at column %d of line %d in\n%s", c.sign, c.volts, want, line(c.volts), text)
		}
	}
	for _, want := range []string{"Loop 1", "OUT 0 m", "IN 40 m", "o healthy", "x beyond the limit (no operating point, nothing to draw)", "- least working volts of each device"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// In the SVG, the middle point lies half-way, and the sag at it is that of the
// volts: 24 V to 23 V is twice 24 V to 23.5 V.
func TestProfilePlaces(t *testing.T) {
	line := parsed(t, ladder().Picture()).all("polyline", "course")[0].pairs(t)
	if len(line) != 3 {
		t.Fatalf("%v", line)
	}
	near(t, "middle point", line[1].X, (line[0].X+line[2].X)/2)
	near(t, "both ends", line[0].Y, line[2].Y)
	least := parsed(t, ladder().Picture()).all("polygon", "least")[0].pairs(t)
	foot := (least[0].Y + least[2].Y) / 2 // 20 V
	near(t, "sag", (line[1].Y-line[0].Y)/(foot-line[0].Y), 0.5/3.5)
}

func TestProfileTable(t *testing.T) {
	table := ladder().Picture().Table
	if strings.Join(table.Head, "|") != "point|metres|healthy|beyond the limit|least working volts" || len(table.Rows) != 3 {
		t.Fatalf("%v", table)
	}
	if got := strings.Join(table.Rows[1], "|"); got != "2|20|23.00 V||20.00 V" {
		t.Errorf("got %s", got)
	}
}

func TestProfileEmpty(t *testing.T) {
	for _, pr := range []Profile{{Title: "none", Metres: 1}, {Title: "one", Metres: 1, Series: []ProfileRun{{At: []ProfileAt{{0.5, 24, "1", false}}}}}} {
		if text := pr.Picture().Text(20); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Error(text)
		}
	}
}
