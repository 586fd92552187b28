package circuit

import (
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Counted by hand from where the isolators of the cases are (C has one after every device, so a short between two of
// them still takes one device; F has them after every 18th).
func TestLost(t *testing.T) {
	for _, one := range []struct {
		id          string
		faults      []Fault
		first, last int // devices lost, in numbers of the case; 0: none
	}{
		{"C-a", []Fault{{Kind: Short, Segment: 10}}, 11, 11},
		{"F-a", []Fault{{Kind: Short, Segment: 63}}, 55, 72},
		{"F-a", []Fault{{Kind: Short, Segment: 30}, {Kind: Short, Segment: 100}}, 19, 108},
		{"F-a", []Fault{{Kind: Short, Segment: 30}, {Segment: 100}}, 19, 100},
		{"F-a", []Fault{{Kind: Short, Segment: 30}, {Segment: 33}}, 19, 33}, // the break keeps the short from 34 to 36
		{"F-a", []Fault{{Segment: 33}}, 0, 0},
		{"A-a", []Fault{{Kind: Short, Segment: 0}}, 1, 2},
		{"A-a", []Fault{{Kind: Short, Segment: 5}}, 3, 5},
	} {
		l := func() Loop { c := readCase(t, one.id); return c.loop(true) }()
		loss, err := mustNew(t, l).Lost(one.faults...)
		if err != nil {
			t.Fatal(err)
		}
		var want []int
		for d := one.first; d > 0 && d <= one.last; d++ {
			want = append(want, d-1)
		}
		if !slices.Equal(loss.Points, want) || loss.Counted != len(want) {
			t.Errorf("%s %v: lost %v, want %v", one.id, one.faults, loss.Points, want)
		}
	}
}

// An isolator in the base works to both sides, so with one in every base a short in a cable takes nothing.
func TestBaseIsolators(t *testing.T) {
	l := ladderOf(24, 0.02, []float64{10, 10, 10}, amps(0.01, 0.01, 0.01), 10)
	for _, p := range l.Points {
		l.Isolators = append(l.Isolators, Isolator{Point: p.Name, Side: Base, Plus: 0.2})
	}
	c := mustNew(t, l)
	for k := range Segment(4) {
		if loss, err := c.Lost(Fault{Kind: Short, Segment: k}); err != nil || len(loss.Points) > 0 {
			t.Errorf("a short %s takes %v, %v", c.Between(k), loss.Points, err)
		}
	}
	// 0.1 ohm on each side of three bases, 0.8 ohm of cable: closed with 1 A at each, by hand 0.3 + 0.2 + 0.3 + 0.2 ohm
	// and so on: segments 0.3, 0.4, 0.4, 0.3 ohm.
	want := []float64{0.3, 0.4, 0.4, 0.3}
	for k, b := range c.branch {
		wantNear(t, "ohms of segment "+strconv.Itoa(k), b.plus+b.minus, want[k], 1e-12)
	}
}

// Ring points 1 to 4, isolators after 1 and 3, a spur of two from 2. A short on the spur takes it and the group of 2 and 3;
// with an isolator at the tee only the spur; with one before the second of the spur, a short beyond it takes none but that
// one, which hangs on the broken side.
func TestSpurLost(t *testing.T) {
	l := ladderOf(24, 0.02, []float64{10, 10, 10, 10, 10, 10}, make([]Load, 6), 10)
	l.Points[4].Spur, l.Points[5].Spur = "2", "2"
	l.Isolators = []Isolator{{Point: "1"}, {Point: "3"}}
	for _, one := range []struct {
		added *Isolator
		fault Fault
		want  []int
	}{
		{nil, Fault{Kind: Short, Segment: 5}, []int{1, 2, 4, 5}},
		{nil, Fault{Kind: Open, Segment: 5}, []int{5}},
		{nil, Fault{Kind: Open, Segment: 4, Core: MinusCore}, []int{4, 5}},
		{nil, Fault{Kind: Short, Segment: 2}, []int{1, 2, 4, 5}},
		{&Isolator{Point: "2", Side: Branch}, Fault{Kind: Short, Segment: 5}, []int{4, 5}},
		{&Isolator{Point: "6", Side: Before}, Fault{Kind: Short, Segment: 4}, []int{1, 2, 4, 5}},
		{&Isolator{Point: "5", Side: After}, Fault{Kind: Short, Segment: 5}, []int{5}},
	} {
		wired := l.clone()
		if one.added != nil {
			wired.Isolators = append(wired.Isolators, *one.added)
		}
		loss, err := mustNew(t, wired).Lost(one.fault)
		if err != nil || !slices.Equal(loss.Points, one.want) {
			t.Errorf("%+v, %+v: lost %v, want %v, %v", one.added, one.fault, loss.Points, one.want, err)
		}
	}
}

func building() Loop {
	const n = 28
	metres := make([]float64, n)
	loads := make([]Load, n)
	for i := range metres {
		metres[i], loads[i] = 10, In(0.0003)
	}
	l := ladderOf(24, 0.0242, metres, loads, 10)
	for i := range l.Points {
		p := &l.Points[i]
		p.Counted, p.Area, p.Zone, p.Floor = true, 60, "Z"+strconv.Itoa(i/18), "1"
		switch {
		case i >= 22:
			p.Floor = "0"
		case i >= 18:
			p.Floor = "2"
		}
	}
	return l
}

// 18 devices on one floor, 4 on a second and 6 on a third in one group: the clause of one floor and 5 devices beyond is
// broken by the 6, that of 32 devices is not (worked by hand); 28 x 60 m2 = 1680 m2 keeps to 2000.
func TestRules(t *testing.T) {
	l := building()
	c := mustNew(t, l)
	loss, err := c.Lost(Fault{Kind: Short, Segment: 3})
	if err != nil {
		t.Fatal(err)
	}
	broken := map[string]string{}
	for _, rule := range Rules() {
		if rule.Faults == 1 {
			broken[rule.Clause] = strings.Join(whys(rule.Breaks(&loss)), "; ")
		}
	}
	want := map[string]string{
		"EN 54-2:1997 12.5.2":                        "",
		"BS 5839-1:2025, one fault: area and floors": "6 devices are lost on floor 0 besides floor 1, 5 are allowed",
		"NFPA 72 23.6.1 (2016 and later): one zone":  "2 zones are touched, 1 allowed; 3 floors are touched, 1 allowed",
		"one third of the elements of a network":     "100 % of the devices are lost, 33.3 % are allowed",
	}
	for clause, text := range want {
		if broken[clause] != text {
			t.Errorf("%s: %q, want %q", clause, broken[clause], text)
		}
	}
	for i := range l.Points {
		l.Points[i].Area = 400 // 28 x 400 m2 = 11200 m2
	}
	c = mustNew(t, l)
	two := 0
	for _, b := range c.Breaches(Rules()) {
		if len(b.Faults) == 2 {
			two++
			if b.Why != "11200 m2 are lost, 10000 are allowed" {
				t.Error(b.Why)
			}
		}
	}
	if two != 1 {
		t.Errorf("%d rules of two faults broken, want 1", two)
	}
	thirtyThree := Loss{Counted: 33}
	en := Rules()[0]
	if why := en.Breaks(&thirtyThree); len(why) != 1 || !strings.HasPrefix(why[0].Why, "33 detectors and call points") {
		t.Errorf("33 lost: %v", why)
	}
	thirtyThree.Counted = 32
	if why := en.Breaks(&thirtyThree); why != nil {
		t.Errorf("32 lost: %v", why)
	}
}

// Isolators after the 18th and the 22nd device part the floors: nothing is broken but the third of the devices.
func TestRulesKept(t *testing.T) {
	l := building()
	l.Isolators = []Isolator{{Point: "18"}, {Point: "22"}}
	for _, b := range mustNew(t, l).Breaches(Rules()[:4]) {
		t.Errorf("%s: %s", b.Rule.Clause, b.Why)
	}
}

func whys(list []Excess) []string {
	var texts []string
	for _, e := range list {
		texts = append(texts, e.Why)
	}
	return texts
}
