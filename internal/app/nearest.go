package app

import (
	"slices"
	"strings"

	"sootline"
)

// mostNear is how many names are offered for a mistyped one.
const mostNear = 3

// Nearest lists those of the known names that a mistyped one may stand for, the
// nearest first: at most three, each with fewer than half of its letters otherwise.
func Nearest(name string, known []string) []string {
	type near struct {
		name string
		off  int
	}
	var all []near
	key := sootline.TypeKey(name)
	for _, k := range known {
		other := sootline.TypeKey(k)
		if other == "" || slices.ContainsFunc(all, func(n near) bool { return sootline.TypeKey(n.name) == other }) {
			continue
		}
		off := slips([]rune(key), []rune(other))
		if strings.HasPrefix(other, key) {
			off = min(off, 1)
		}
		if 2*off < max(len([]rune(key)), len([]rune(other))) {
			all = append(all, near{k, off})
		}
	}
	slices.SortStableFunc(all, func(a, b near) int { return a.off - b.off })
	var names []string
	for _, n := range all[:min(mostNear, len(all))] {
		names = append(names, n.name)
	}
	return names
}

// slips counts the letters to put in, leave out or exchange from one name to another:
// the distance of V. I. Levenshtein, "Binary codes capable of correcting deletions,
// insertions, and reversals", Soviet Physics Doklady 10 (1966), 707-710.
func slips(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		before := row[0]
		row[0] = i + 1
		for j := range b {
			change := before
			if a[i] != b[j] {
				change++
			}
			before = row[j+1]
			row[j+1] = min(change, row[j+1]+1, row[j]+1)
		}
	}
	return row[len(b)]
}
