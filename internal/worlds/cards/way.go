// Package cards reads the picture of a setting card as a person does: by where the levers stand and the pointers point. It
// was written from the words of the task alone, without sight of the code that draws, and imports nothing of the program.
//
// What is read (classes of SVG elements): switches are rects card-frame with a rect card-lever inside; texts card-side (ON,
// OFF) say which side is which; a text card-name near each switch is its number. Dials are circles card-dial with a line
// card-pointer from the centre, texts card-digit around, and a text card-name (TENS, UNITS). A text card-number is the number
// in figures; it is read only where there is nothing to set by hand.
package cards

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// way is how a type is set, as a technician says it.
type way struct {
	what      string // switches, dials, electronic, base, unknown
	size      int    // switches: how many; dials: the highest digit of the tens
	highFirst bool   // switch 1 counts most
	onIsZero  bool   // a switch counts when it is off
}

// parseWay reads "switches 7|8 [high-first] [on-is-zero]", "dials 9|15", "electronic", "base" or "unknown".
func parseWay(s string) (way, error) {
	words := strings.Fields(s)
	bad := fmt.Errorf("no way of setting: %q", s)
	if len(words) == 0 {
		return way{}, bad
	}
	w := way{what: words[0]}
	switch w.what {
	case "electronic", "base", "unknown":
		if len(words) > 1 {
			return way{}, bad
		}
		return w, nil
	case "switches", "dials":
	default:
		return way{}, bad
	}
	if len(words) < 2 {
		return way{}, bad
	}
	size, err := strconv.Atoi(words[1])
	sizes := map[string][]int{"switches": {7, 8}, "dials": {9, 15}}[w.what]
	if err != nil || !slices.Contains(sizes, size) {
		return way{}, bad
	}
	w.size = size
	for _, word := range words[2:] {
		switch {
		case word == "high-first" && w.what == "switches":
			w.highFirst = true
		case word == "on-is-zero" && w.what == "switches":
			w.onIsZero = true
		default:
			return way{}, bad
		}
	}
	return w, nil
}

// Ways gives every way of setting that has a picture, with the numbers that it can show.
func Ways() map[string][2]int {
	out := map[string][2]int{"dials 9": {0, 99}, "dials 15": {0, 159}}
	for _, size := range []int{7, 8} {
		for _, first := range []string{"", " high-first"} {
			for _, zero := range []string{"", " on-is-zero"} {
				out[fmt.Sprint("switches ", size)+first+zero] = [2]int{0, 1<<size - 1}
			}
		}
	}
	return out
}
