package chart

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func sampleCards() map[string]Card {
	card := Card{Name: "1.2.093", Place: "Corridor by stair 2, above the door to the plant room", About: "1.2.093, type Plimbow, zone 3, device 41 along the cable"}
	eight, dials, wide := card, card, card
	eight.Number, eight.Boxes = "147", true
	for i := range 8 {
		eight.Switches = append(eight.Switches, CardSwitch{strconv.Itoa(i + 1), 128 >> i, 147>>(7-i)&1 == 0})
	}
	eight.Says = []string{"What is OFF counts: 128 + 16 + 2 + 1 = 147"}
	eight.Wants = []CardWant{{"blink: off", "bedroom: nobody sleeps beside a light"}, {"sensitivity: high", ""}}
	dials.Number, dials.Dials = "126", []CardDial{{"TENS", 15, 12}, {"UNITS", 9, 6}}
	dials.Cautions = []string{"2 devices have this location text: make sure that it is this one"}
	wide.Number, wide.Takes, wide.Says = "060", "takes 60 to 63", []string{"A setter shall show 60"}
	return map[string]Card{"eight": eight, "dials": dials, "wide": wide}
}

// reading is what a picture shows to somebody who knows nothing but it.
type reading struct {
	on    []bool
	dials []int
}

// readCard reads the positions from the places of shapes alone.
func readCard(t fataler, p *Picture) reading {
	root := parsed(t, p)
	var r reading
	sides := map[string]float64{}
	for _, n := range root.all("text", "card-side") {
		sides[n.Text] = n.number(t, "y")
	}
	frames, levers := root.all("rect", "card-frame"), root.all("rect", "card-lever")
	if len(frames) != len(levers) {
		t.Fatalf("%d switches and %d levers", len(frames), len(levers))
	}
	middle := func(n node) XY {
		return XY{n.number(t, "x") + n.number(t, "width")/2, n.number(t, "y") + n.number(t, "height")/2}
	}
	slices.SortFunc(frames, func(a, b node) int { return int(middle(a).X - middle(b).X) })
	slices.SortFunc(levers, func(a, b node) int { return int(middle(a).X - middle(b).X) })
	for i, lever := range levers {
		at := middle(lever).Y
		if up := at < middle(frames[i]).Y; up != (math.Abs(at-sides["ON"]) < math.Abs(at-sides["OFF"])) {
			t.Fatalf("switch %d stands %v, between %v", i+1, at, sides)
		}
		r.on = append(r.on, at < middle(frames[i]).Y)
	}
	for _, n := range root.all("line", "card-pointer") {
		r.dials = append(r.dials, readDial(t, root, n))
	}
	return r
}

// readDial finds the digit towards which a pointer points.
func readDial(t fataler, root, pointer node) int {
	from := XY{pointer.number(t, "x1"), pointer.number(t, "y1")}
	towards := math.Atan2(pointer.number(t, "y2")-from.Y, pointer.number(t, "x2")-from.X)
	best, found := math.Inf(1), -1
	for _, n := range root.all("text", "card-digit") {
		x, y := n.number(t, "x")-from.X, n.number(t, "y")-0.27*20-from.Y
		if math.Hypot(x, y) > 80 { // of the other dial
			continue
		}
		if off := math.Abs(math.Remainder(math.Atan2(y, x)-towards, 2*math.Pi)); off < best {
			best = off
			found, _ = strconv.Atoi(n.Text)
		}
	}
	if best > 0.05 {
		t.Fatalf("the pointer is %.2f off the nearest digit %d", best, found)
	}
	return found
}

// Every position of every switch and dial is drawn where it can be read.
func TestCardReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		card, want := Card{Name: "x", Number: "001"}, reading{}
		for i, on := range rapid.SliceOfN(rapid.Bool(), 0, 8).Draw(t, "on") {
			card.Switches, want.on = append(card.Switches, CardSwitch{strconv.Itoa(i + 1), 1 << i, on}), append(want.on, on)
		}
		for i, last := range rapid.SliceOfN(rapid.SampledFrom([]int{9, 15}), 0, 2).Draw(t, "dials") {
			at := rapid.IntRange(0, last).Draw(t, "at")
			card.Dials, want.dials = append(card.Dials, CardDial{fmt.Sprint(i), last, at}), append(want.dials, at)
		}
		if got := readCard(t, card.Picture()); !slices.Equal(got.on, want.on) || !slices.Equal(got.dials, want.dials) {
			t.Fatalf("drawn %v, read %v", want, got)
		}
	})
}

func TestAnyCard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		card := Card{
			Name: anyWords().Draw(t, "name"), Number: anyWords().Draw(t, "number"), Takes: anyWords().Draw(t, "takes"), Place: anyWords().Draw(t, "place"),
			About: anyWords().Draw(t, "about"), Says: rapid.SliceOfN(anyWords(), 0, 3).Draw(t, "says"), Cautions: rapid.SliceOfN(anyWords(), 0, 3).Draw(t, "cautions"),
			Boxes: rapid.Bool().Draw(t, "boxes"),
		}
		for range rapid.IntRange(0, 9).Draw(t, "switches") {
			card.Switches = append(card.Switches, CardSwitch{anyWords().Draw(t, "switch"), rapid.IntRange(0, 255).Draw(t, "counts"), rapid.Bool().Draw(t, "on")})
		}
		for range rapid.IntRange(0, 2).Draw(t, "dials") {
			card.Dials = append(card.Dials, CardDial{anyWords().Draw(t, "dial"), rapid.SampledFrom([]int{9, 15}).Draw(t, "last"), rapid.IntRange(0, 9).Draw(t, "at")})
		}
		for range rapid.IntRange(0, 3).Draw(t, "wants") {
			card.Wants = append(card.Wants, CardWant{anyWords().Draw(t, "says"), anyWords().Draw(t, "because")})
		}
		mustDraw(t, card.Picture())
	})
}

func TestCardOnTerminal(t *testing.T) {
	want := strings.Join([]string{
		"Setting card of 1.2.093",
		"147",
		"Corridor by stair 2, above the door to the plant room",
		"1.2.093, type Plimbow, zone 3, device 41 along the cable",
		"[ ] set  [ ] looked at again",
		"",
		"ON      ░░░  ███  ███  ░░░  ███  ███  ░░░  ░░░",
		"OFF     ███  ░░░  ░░░  ███  ░░░  ░░░  ███  ███",
		"switch   1    2    3    4    5    6    7    8",
		"counts  128  64   32   16    8    4    2    1",
		"",
		"What is OFF counts: 128 + 16 + 2 + 1 = 147",
		"",
		"[ ] blink: off",
		"    bedroom: nobody sleeps beside a light",
		"[ ] sensitivity: high",
	}, "\n")
	if got := strings.TrimRight(sampleCards()["eight"].Picture().Text(76), "\n"); got != want {
		t.Errorf("%s", got)
	}
	dials := sampleCards()["dials"].Picture().Text(76)
	for _, line := range []string{
		"TENS     0   1   2   3   4   5   6   7   8   9  10  11 [12] 13  14  15",
		"UNITS    0   1   2   3   4   5  [6]  7   8   9",
	} {
		if !strings.Contains(dials, line+"\n") {
			t.Errorf("%s", dials)
		}
	}
}
