package cards

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// row draws switches by hand: on says which are on, names from left to right, and ON is the upper half or the lower.
func row(on []bool, names []int, onUp bool, around string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 200"><g transform="%s">`, around)
	up, down := "ON", "OFF"
	if !onUp {
		up, down = down, up
	}
	fmt.Fprintf(&b, `<text class="card-side" x="8" y="34" font-size="10">%s</text><text class="card-side" x="8" y="74" font-size="10">%s</text>`, up, down)
	for i := range on {
		x, y := 40+30*i, 62
		if on[i] == onUp {
			y = 22
		}
		fmt.Fprintf(&b, `<rect class="card-frame" x="%d" y="20" width="20" height="60"/><rect class="card-lever other" x="%d" y="%d" width="16" height="16"/>`, x, x+2, y)
		fmt.Fprintf(&b, `<text class="card-name" x="%d" y="95" text-anchor="middle" font-size="10">%d</text>`, x+10, names[i])
	}
	b.WriteString(`<text class="card-number" x="40" y="150">999</text></g></svg>`)
	return b.String()
}

var around = []string{
	"", "translate(31,-7)", "scale(0.35)", "scale(3, 2)", "rotate(90)", "rotate(180 200 100)", "rotate(-35) translate(4 5) scale(2)",
	"matrix(0 2 -2 0 100 3)",
}

// TestSwitches: worked by hand. 0b0100101 is 37: of switches that count 1, 2, 4 and so on, the first, third and sixth.
func TestSwitches(t *testing.T) {
	y, n := true, false
	to7, to8, back := []int{1, 2, 3, 4, 5, 6, 7}, []int{1, 2, 3, 4, 5, 6, 7, 8}, []int{7, 6, 5, 4, 3, 2, 1}
	for _, c := range []struct {
		way   string
		on    []bool
		names []int
		want  int
	}{
		{"switches 7", []bool{y, n, y, n, n, y, n}, to7, 37},
		{"switches 7 on-is-zero", []bool{n, y, n, y, y, n, y}, to7, 37},
		{"switches 7 high-first", []bool{n, y, n, n, y, n, y}, to7, 37},
		{"switches 7 high-first on-is-zero", []bool{y, n, y, y, n, y, n}, to7, 37},
		{"switches 7", []bool{n, y, n, n, y, n, y}, back, 37}, // drawn from right to left
		{"switches 8", []bool{n, n, n, n, n, n, n, y}, to8, 128},
		{"switches 8 high-first", []bool{n, n, n, n, n, n, y, n}, to8, 2},
		{"switches 8 on-is-zero", []bool{y, y, y, y, y, y, y, y}, to8, 0},
	} {
		for _, how := range around {
			for _, onUp := range []bool{true, false} {
				if got, err := Decode([]byte(row(c.on, c.names, onUp, how)), c.way); err != nil || got != c.want {
					t.Errorf("%s, %q, on up %v: %d %v, want %d", c.way, how, onUp, got, err, c.want)
				}
			}
		}
	}
}

// TestSidesApart: ON stands at one end of the row, OFF at the other.
func TestSidesApart(t *testing.T) {
	on, names := []bool{true, false, false, false, false, false, true}, []int{1, 2, 3, 4, 5, 6, 7}
	svg := strings.Replace(row(on, names, true, "rotate(20)"), `class="card-side" x="8" y="74"`, `class="card-side" x="260" y="74"`, 1)
	if got, err := Decode([]byte(svg), "switches 7"); err != nil || got != 65 {
		t.Error(got, err)
	}
}

// pair draws two dials by hand; the digits go round with the clock from the top, the first of them given.
func pair(tens, units float64, mostTens, first int, around string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg><g transform="%s">`, around)
	for i, d := range []struct {
		name string
		at   float64
		n    int
	}{{"TENS", tens, mostTens + 1}, {"UNITS", units, 10}} {
		cx, cy := 80+float64(160*i), 80.0
		fmt.Fprintf(&b, `<circle class="card-dial" cx="%g" cy="%g" r="40"/>`, cx, cy)
		place := func(k, r float64) (x, y float64) {
			a := 2 * math.Pi * (k - float64(first)) / float64(d.n)
			return cx + r*math.Sin(a), cy - r*math.Cos(a)
		}
		x, y := place(d.at, 36)
		fmt.Fprintf(&b, `<line class="card-pointer" x1="%g" y1="%g" x2="%g" y2="%g"/>`, cx, cy, x, y)
		for k := range d.n {
			x, y := place(float64(k), 52)
			fmt.Fprintf(&b, `<text class="card-digit" x="%g" y="%g" text-anchor="middle" font-size="9"><tspan>%d</tspan></text>`, x, y+3, k)
		}
		fmt.Fprintf(&b, `<text class="card-name" x="%g" y="155" text-anchor="middle">%s</text>`, cx, d.name)
	}
	b.WriteString(`</g></svg>`)
	return b.String()
}

// TestDials: all that can be set, in any place, with any digit at the top.
func TestDials(t *testing.T) {
	for _, most := range []int{9, 15} {
		for number := range most*10 + 10 {
			for i, how := range around {
				svg := pair(float64(number/10), float64(number%10), most, i, how)
				if got, err := Decode([]byte(svg), fmt.Sprint("dials ", most)); err != nil || got != number {
					t.Fatalf("%d of dials %d, %q: %d %v", number, most, how, got, err)
				}
			}
		}
	}
}

// TestNotReadable: what a person would not dare to set by.
func TestNotReadable(t *testing.T) {
	on, names := make([]bool, 7), []int{1, 2, 3, 4, 5, 6, 7}
	good := row(on, names, true, "")
	dials := pair(3, 7, 9, 0, "")
	for name, c := range map[string]struct{ way, svg, want string }{
		"middle":        {"switches 7", strings.Replace(good, `y="62" width="16"`, `y="43" width="16"`, 1), "in the middle"},
		"outside":       {"switches 7", strings.Replace(good, `y="62" width="16"`, `y="75" width="16"`, 1), "inside its frame"},
		"no sides":      {"switches 7", strings.ReplaceAll(good, `y="34"`, `y="74"`), "which half"},
		"no words":      {"switches 7", strings.ReplaceAll(good, "card-side", "x"), "no words"},
		"one too few":   {"switches 8", good, "7 frames"},
		"a number gone": {"switches 7", strings.Replace(good, ">3<", "><", 1), "0 numbers"},
		"number twice":  {"switches 7", strings.Replace(good, ">3<", ">4<", 1), "switch 4 twice"},
		"between":       {"dials 9", pair(3.5, 7, 9, 0, ""), "between two digits"},
		"a digit gone":  {"dials 9", strings.Replace(dials, ">4<", "><", 1), "9 digits of 10"},
		"two of tens":   {"dials 9", strings.Replace(dials, "UNITS", "TENS", 1), "two dials TENS"},
		"other dials":   {"dials 15", dials, "10 digits of 16"},
		"wrong way":     {"dials 9", good, "0 dials"},
		"electronic":    {"electronic", good, "neither switches nor dials"},
		"no such way":   {"switches 9", good, "no way of setting"},
		"broken":        {"dials 9", good[:60], "EOF"},
		"no pointer":    {"dials 9", strings.Replace(dials, `x1="80" y1="80"`, `x1="95" y1="95"`, 1), "centre"},
		"number":        {"electronic", `<svg><text class="card-number">a</text></svg>`, "invalid syntax"},
	} {
		if got, err := Decode([]byte(c.svg), c.way); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %d %v, want %q", name, got, err, c.want)
		}
	}
}

// TestFigures: of what is not set by hand the figures count, and of the others they do not.
func TestFigures(t *testing.T) {
	svg := []byte(`<svg><text class="card-number" x="3">73</text></svg>`)
	for _, how := range []string{"electronic", "base", "unknown"} {
		if got, err := Decode(svg, how); err != nil || got != 73 {
			t.Error(how, got, err)
		}
	}
	if got, err := Figures([]byte(row(make([]bool, 7), []int{1, 2, 3, 4, 5, 6, 7}, true, ""))); err != nil || got != 999 {
		t.Error(got, err)
	}
}

// TestWrongCards: levers drawn for the wrong polarity or order are seen, for every number that tells.
func TestWrongCards(t *testing.T) {
	for n := 1; n < 127; n++ {
		on := make([]bool, 7)
		for i := range on {
			on[i] = n>>i&1 == 1
		}
		svg := []byte(row(on, []int{1, 2, 3, 4, 5, 6, 7}, true, ""))
		if got, err := Decode(svg, "switches 7"); err != nil || got != n {
			t.Error(n, got, err)
		}
		if got, _ := Decode(svg, "switches 7 on-is-zero"); got == n {
			t.Error("polarity", n)
		}
		if got, _ := Decode([]byte(row(on, []int{1, 2, 3, 4, 5, 6, 7}, false, "")), "switches 7"); got != n {
			t.Error("ON below", n)
		}
	}
	if len(Ways()) != 10 {
		t.Error(Ways())
	}
}
