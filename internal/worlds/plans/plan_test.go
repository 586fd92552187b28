package plans

import (
	"reflect"
	"slices"
	"strings"
	"testing"
)

// block gives devices of one block that can be set to any number.
func block(n int) []Device {
	out := make([]Device, n)
	for i := range out {
		out[i] = Device{Width: 1, Block: "Z1"}
	}
	return out
}

// TestCounts by cases worked by hand.
func TestCounts(t *testing.T) {
	two := Case{First: 1, Last: 9, Devices: []Device{
		{Width: 1, Block: "A", Now: 1}, {Width: 1, Block: "B"}, {Width: 1, Block: "A", Now: 3}, {Width: 2, Block: "B", Now: 4},
	}}
	for _, c := range []struct {
		name    string
		c       Case
		numbers []int
		want    Measures
	}{
		// A takes 1 and 2, B 3 and 4 to 5: A before B, both rising. Device 2 goes from 3 to 2.
		{"in order", two, []int{1, 3, 2, 4}, Measures{Moves: 1}},
		// A at 5 and 6, B at 1 and 2 to 3: each rises, but B stands before A.
		{"blocks changed round", two, []int{5, 1, 6, 2}, Measures{Moves: 3, Across: 2}},
		// A falls from 2 to 1.
		{"within", two, []int{2, 3, 1, 4}, Measures{Moves: 2, Within: 1, Across: 1}},
		// one that goes to 9 alone: the other seven rise.
		{"one leaves", Case{First: 1, Last: 9, Devices: block(8)}, []int{1, 2, 9, 3, 4, 5, 6, 7}, Measures{Within: 1, Across: 1}},
		// 6 to 8 are free after 5, and 9 is reserved: none of the block lacks.
		{"spares", Case{First: 1, Last: 9, Reserved: []int{9}, Spares: 3, Devices: block(5)}, []int{1, 2, 3, 4, 5}, Measures{}},
		// 8 is free, and 9 is reserved: two of three are missing. 4 and 5 lie before the last one, 7.
		{"not at the end", Case{First: 1, Last: 9, Reserved: []int{9}, Spares: 3, Devices: block(5)}, []int{1, 2, 3, 6, 7}, Measures{Missing: 2}},
		{"spread", Case{First: 1, Last: 9, Reserved: []int{9}, Spares: 3, Spread: true, Devices: block(5)}, []int{1, 2, 3, 6, 7}, Measures{}},
	} {
		if got := Measure(c.c, c.numbers); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

// TestExactAgainstAll: the solver's cuts lose nothing. All plans are gone through without cuts.
func TestExactAgainstAll(t *testing.T) {
	possible := 0
	for seed := range uint64(400) {
		c := Small(seed)
		c.Devices = c.Devices[:min(4, len(c.Devices))]
		for _, order := range []func(Case, []int) int{Within, Across} {
			_, got, err := Exact(c, order)
			want, ok := all(c, order)
			if ok != (err == nil) || got != want {
				t.Fatalf("%d: %v %v, want %v", seed, got, err, want)
			}
			if ok {
				possible++
			}
		}
	}
	if possible < 400 {
		t.Error(possible)
	}
}

func all(c Case, order func(Case, []int) int) (best Score, ok bool) {
	numbers := make([]int, len(c.Devices))
	reasons := slices.Repeat([]string{"because"}, len(numbers))
	var walk func(int)
	free := c
	free.Keep = false // so that Check does not look for what could stay
	walk = func(i int) {
		if i < len(numbers) {
			for numbers[i] = c.First; numbers[i] <= c.Last; numbers[i]++ {
				walk(i + 1)
			}
			return
		}
		if Check(free, Plan{numbers, reasons}) == nil {
			if s := Of(c, numbers, order); !ok || s.less(best) {
				best, ok = s, true
			}
		}
	}
	walk(0)
	return best, ok
}

// TestBounds: what no plan is below is not above the best one.
func TestBounds(t *testing.T) {
	reached := 0
	for seed := range uint64(400) {
		c := Small(seed)
		c.Keep = true
		numbers, best, err := Exact(c, Within)
		if err != nil {
			continue
		}
		if LeastMoves(c) > best[0] || LeastOut(c, false) > Within(c, numbers) || LeastOut(c, true) > Across(c, numbers) {
			t.Fatalf("%d: %d %d %d, best %v", seed, LeastMoves(c), LeastOut(c, false), LeastOut(c, true), numbers)
		}
		if LeastMoves(c) == best[0] {
			reached++
		}
	}
	if reached < 200 {
		t.Error(reached)
	}
}

// TestWrongPlans: one move too many, no reason, a number twice, a reserved one, out of order without need.
func TestWrongPlans(t *testing.T) {
	c := Case{First: 1, Last: 9, Keep: true, Reserved: []int{5}, Devices: block(3)}
	for i, n := range []int{1, 2, 2} {
		c.Devices[i].Now = n
	}
	for _, w := range []struct {
		numbers []int
		reasons []string
		want    string
	}{
		{[]int{1, 2, 3}, []string{"", "", "2 is taken"}, ""},
		{[]int{1, 2, 3}, nil, "without a reason"},
		{[]int{4, 2, 3}, []string{"so", "", "so"}, "could stay"},
		{[]int{1, 6, 7}, []string{"", "so", "so"}, "could stay"},
		{[]int{1, 2, 5}, []string{"", "", "so"}, "reserved"},
		{[]int{1, 2, 2}, nil, "share"},
		{[]int{1, 2, 10}, []string{"", "", "so"}, "outside"},
		{[]int{1, 2}, nil, "2 numbers for 3"},
		{[]int{1, 3, 2}, []string{"", "so", ""}, "the best is [1 0]"},
	} {
		err := Against(c, &Plan{w.numbers, w.reasons}, Within)
		if w.want == "" && err != nil || w.want != "" && (err == nil || !strings.Contains(err.Error(), w.want)) {
			t.Errorf("%v: %v, want %q", w.numbers, err, w.want)
		}
	}
	if err := Against(c, nil, Within); err == nil {
		t.Error("a plan was said to be impossible")
	}
}

// TestMoveTooMany: two wide devices stand on one narrow one; to move the narrow one is one move, and two the other way.
func TestMoveTooMany(t *testing.T) {
	c := Case{First: 1, Last: 8, Keep: true, Devices: []Device{
		{Width: 2, Block: "A", Now: 1}, {Width: 2, Block: "A", Now: 2}, {Width: 2, Block: "A", Now: 3},
	}}
	reasons := []string{"so", "so", "so"}
	if err := Against(c, &Plan{[]int{1, 5, 3}, reasons}, Within); err != nil {
		t.Error(err)
	}
	if err := Against(c, &Plan{[]int{5, 2, 7}, reasons}, Within); err == nil || !strings.Contains(err.Error(), "the best is [1 1]") {
		t.Error(err)
	}
}

// TestDraw: one seed gives one case; small ones mostly have a plan; large ones have what is promised and can be planned.
func TestDraw(t *testing.T) {
	kinds := map[string]int{}
	for seed := range uint64(300) {
		c := Small(seed)
		if !reflect.DeepEqual(c, Small(seed)) {
			t.Fatal(seed)
		}
		if _, _, err := Exact(c, Within); err == nil {
			kinds["possible"]++
		}
		for _, d := range c.Devices {
			if d.Pinned {
				kinds["pinned"]++
			}
			if d.Least+d.Most > 0 {
				kinds["setter"]++
			}
		}
	}
	if kinds["possible"] < 150 || kinds["possible"] == 300 || kinds["pinned"] < 50 || kinds["setter"] < 50 {
		t.Error(kinds)
	}
	for seed := range uint64(20) {
		c := Large(seed)
		pinned := 0
		for i, d := range c.Devices {
			if d.Pinned {
				pinned++
				if err := c.may(i, d.Now); err != nil {
					t.Error(err)
				}
			}
		}
		if len(c.Devices) != 250 || pinned != 10 || LeastMoves(c) < 2 || LeastMoves(c) > 60 {
			t.Error(seed, pinned, LeastMoves(c))
		}
		if n := LeastOut(c, true); n > 60 {
			t.Error(seed, n)
		}
	}
}
