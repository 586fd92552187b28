package circuit

import (
	"math/bits"
	"testing"

	"sootline/internal/worlds/loops"
)

// TestIsolatorSetsAgainstAll goes through every set of isolators in bases of small loops: none that keeps the rules for one
// fault has fewer, and those that are planned keep them.
func TestIsolatorSetsAgainstAll(t *testing.T) {
	tried, needed, stuck := 0, 0, 0
	for seed := range uint64(400) {
		w := loops.Draw(seed, loops.Taste{})
		l, d, _ := fromWorld(t, w)
		l.Isolators = nil
		c, err := New(l)
		if err != nil {
			t.Fatal(err)
		}
		rules := d.Rules
		if seed%2 == 0 { // stricter than any code, so that small loops need some
			rules = []Rule{{Name: "strict", Faults: 1, Share: 0.34, Zones: 2}}
		}
		least := fewestOfAll(t, &l, c, rules)
		p := newIsolatorPlan(c, rules)
		sets := p.sets()
		if least < 0 {
			if stuck++; !p.stuck {
				t.Errorf("loop %d: no set keeps the rules, and that is not said", seed)
			}
			continue
		}
		tried++
		for _, at := range sets {
			if len(at) != least || !keeps(t, &l, c, at, rules) {
				t.Errorf("loop %d: %v is planned, %d would do", seed, at, least)
			}
		}
		if least > 0 {
			needed++
		}
	}
	if tried < 200 || needed < 100 || stuck < 5 {
		t.Errorf("%d loops were tried, %d needed some, %d cannot be helped", tried, needed, stuck)
	}
}

// fewestOfAll gives how many isolators the smallest set has that keeps the rules; -1: none does.
func fewestOfAll(t *testing.T, l *Loop, c *Circuit, rules []Rule) int {
	least := -1
	for set := range uint(1) << len(c.ring) {
		n := bits.OnesCount(set)
		if least >= 0 && n >= least {
			continue
		}
		var at []int
		for k := range c.ring {
			if set>>k&1 == 1 {
				at = append(at, k)
			}
		}
		if keeps(t, l, c, at, rules) {
			least = n
		}
	}
	return least
}

// keeps solves every fault of the loop with isolators in the bases at those positions.
func keeps(t *testing.T, l *Loop, c *Circuit, at []int, rules []Rule) bool {
	t.Helper()
	with := l.clone()
	for _, k := range at {
		with.Isolators = append(with.Isolators, Isolator{Point: l.Points[c.ring[k]].Name, Side: Base, Plus: 0.1})
	}
	solved, err := New(with)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range solved.Breaches(rules) {
		if b.Rule.Faults == 1 {
			return false
		}
	}
	return true
}
