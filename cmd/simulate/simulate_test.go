package main

import (
	"os"
	"slices"
	"strings"
	"testing"
)

// The claims of docs/methods/forecast.md.
const (
	leastCover = 0.88 // of a nominal 0.9, where a slope is borrowed
	mostWidth  = 0.7  // of the median width of K, there
	mostBefore = 0.15 // share of true days before the earliest, accelerating, 12 visits
)

// adopted are the scenarios that decide whether borrowing is worth it.
func adopted() []string {
	return []string{"rounded", "mixed slopes", "outliers", "seasonal", "seasonal, one phase"}
}

// TestClaims tries the method on fewer sites than the published table, with a
// seed that was not tuned on. 2160 series a row, 36 of each site alike in what
// they borrow, make the standard error of a share about 0.01: the tolerance is
// 0.02 for shares and 0.05 for a ratio of medians. Rows in which fewer than 100
// series borrow say too little.
func TestClaims(t *testing.T) {
	const shares, ratios, fewest = 0.02, 0.05, 100
	rows, err := run(publishedSeed+1, shortSites)
	if err != nil {
		t.Fatal(err)
	}
	for i := range rows {
		r := &rows[i]
		if slices.Contains(adopted(), r.scenario.name) && r.borrowed.n >= fewest {
			if got := r.borrowed.coverage(); got < leastCover-shares {
				t.Errorf("%s, %d visits: %.3f covered where borrowed", r.scenario.name, r.visits, got)
			}
			if got := r.widthRatio(); !(got <= mostWidth+ratios) {
				t.Errorf("%s, %d visits: %.2f of the width of K where borrowed", r.scenario.name, r.visits, got)
			}
		}
		if r.scenario.bend > 0 && r.visits == 12 && r.ours.early() > mostBefore+shares {
			t.Errorf("accelerating: %.3f of the true days come before the earliest", r.ours.early())
		}
	}
}

// TestPublished holds the published table to the same claims, without tolerance,
// and to the scenarios and numbers of visits that there are.
func TestPublished(t *testing.T) {
	page, err := os.ReadFile("../../docs/methods/forecast.md")
	if err != nil {
		t.Fatal(err)
	}
	published := map[string][]string{}
	for line := range strings.Lines(string(page)) {
		cells := strings.Split(strings.Trim(line, "| \n"), " | ")
		if len(cells) == len(columns()) {
			published[cells[0]+", "+cells[1]] = cells
		}
	}
	for _, s := range scenarios() {
		for _, n := range visitCounts() {
			checkPublished(t, published, s, n)
		}
	}
}

func checkPublished(t *testing.T, published map[string][]string, s scenario, visits int) {
	name := s.name + ", " + figure(float64(visits), 0)
	cells, ok := published[name]
	if !ok {
		t.Errorf("%s is not published", name)
		return
	}
	column := func(head string) string { return cells[slices.Index(columns(), head)] }
	if slices.Contains(adopted(), s.name) {
		// Figures of as many decimals compare as their digits do.
		if column(borrowedCover) < figure(leastCover, 3) || column(borrowedWidth) > figure(mostWidth, 2) {
			t.Errorf("%s: covered %s, width %s", name, column(borrowedCover), column(borrowedWidth))
		}
	}
	if s.bend > 0 && visits == 12 && column(ourBefore) >= figure(mostBefore, 3) {
		t.Errorf("%s: %s before the earliest day", name, column(ourBefore))
	}
}

// The same seed gives the same table.
func TestDeterministic(t *testing.T) {
	var tables [2]string
	for i := range tables {
		rows, err := run(5, 1)
		if err != nil {
			t.Fatal(err)
		}
		tables[i] = table(rows, 5, 1)
	}
	if tables[0] != tables[1] {
		t.Error("two runs differ")
	}
}
