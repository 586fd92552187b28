package loops

import (
	"slices"
	"testing"
)

var both = Side{Opens: true}

// chainOf gives points on the ring, with what each has of isolators.
func chainOf(n int, isolators map[int]Point) *Loop {
	l := &Loop{AtOnce: -1}
	for i := range n {
		p := isolators[i]
		p.Spur, p.Floor = -1, NoFloor
		l.Points = append(l.Points, p)
	}
	return l
}

// TestShortTakes: who is lost with a short between isolators, worked by hand.
func TestShortTakes(t *testing.T) {
	base := Point{Before: both, After: both}
	spur := chainOf(4, map[int]Point{1: base})
	spur.Points[2].Spur, spur.Points[3].Spur = 1, 1
	branch := chainOf(4, map[int]Point{1: {Branch: both}})
	branch.Points[2].Spur, branch.Points[3].Spur = 1, 1
	for _, c := range []struct {
		name    string
		loop    *Loop
		stretch int
		lost    []int
		opened  int
	}{
		{"no isolator but the panel's", chainOf(3, nil), 1, []int{0, 1, 2}, 0},
		{"after the first, short behind it: to IN", chainOf(3, map[int]Point{0: {After: both}}), 1, []int{1, 2}, 1},
		{"before the second: it goes with the rest", chainOf(3, map[int]Point{1: {Before: both}}), 1, []int{0}, 1},
		{"bases keep themselves on both sides", chainOf(3, map[int]Point{0: base, 2: base}), 1, []int{1}, 2},
		{"bases all along: nobody", chainOf(3, map[int]Point{0: base, 1: base, 2: base}), 2, nil, 2},
		{"after each: one goes (reference case C-d)", chainOf(3, map[int]Point{0: {After: both}, 1: {After: both}, 2: {After: both}}), 1, []int{1}, 2},
		{"spur of a base: the base goes with it", spur, 3, []int{1, 2, 3}, 2},
		{"branch keeps the ring", branch, 3, []int{2, 3}, 1},
		{"ring with a branch: the spur goes too", branch, 0, []int{0, 1, 2, 3}, 1},
	} {
		left := c.loop.short(c.stretch)
		var lost []int
		for i, gone := range c.loop.lost(left) {
			if gone {
				lost = append(lost, i)
			}
		}
		if !slices.Equal(lost, c.lost) || len(left.opened) != c.opened {
			t.Errorf("%s: lost %v, want %v; opened %v", c.name, lost, c.lost, left.opened)
		}
	}
}

// TestRules by counts made by hand.
func TestRules(t *testing.T) {
	l := &Loop{}
	add := func(n, floor int, zone string, m2 float64) {
		for range n {
			l.Points = append(l.Points, Point{Spur: -1, Floor: floor, Zone: zone, M2: m2, Counted: true})
		}
	}
	add(6, 1, "A", 100)
	add(18, 2, "A", 90)
	add(4, 3, "B", 0)
	add(32, NoFloor, "", 0)
	lost := make([]bool, len(l.Points))
	for i := range 28 {
		lost[i] = true
	}
	// The floors are those of a worked example: 18 on the floor itself, 4 above, 6 below, of which one is too many.
	for rule, over := range map[Rule]float64{
		Rule32: -4, RuleArea: 600 + 1620 - 2000, RuleZone: 1, RuleFloors: 1, RuleThird: (28.0 - 20) / 60,
	} {
		if got := l.Over(rule, lost); got-over > 1e-12 || over-got > 1e-12 {
			t.Errorf("%s: %v, want %v", rule, got, over)
		}
	}
}

// TestStages: two bases on a ring of three close in an order from either end: 4 isolators, 10 pairs, and the closed ring.
func TestStages(t *testing.T) {
	base := Point{Before: both, After: both}
	l := chainOf(3, map[int]Point{0: base, 2: base})
	if got := l.Stages(); got != 1 {
		t.Error(got)
	}
	l.Start = StartStepwise
	if got := l.Stages(); got != 11 {
		t.Fatal(got)
	}
	for k, want := range map[int][]bool{
		0:  {false, false, false}, // the first alone is open: everything comes from IN
		3:  {true, true, true},    // all four are open
		10: {false, false, false},
	} {
		if lost := l.lost(l.stageOf(k).cut); !slices.Equal(lost, want) {
			t.Errorf("stage %d: lost %v, want %v", k, lost, want)
		}
	}
}
