package address_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/address"
)

// line makes a loop of devices from their widths, in cable order.
func line(s address.Span, widths ...int) address.Loop {
	l := address.Loop{Name: "1.2", Span: s}
	for i, w := range widths {
		l.Devices = append(l.Devices, address.Device{Name: fmt.Sprint("d", i+1), Width: w, Order: i + 1})
	}
	return l
}

func span(first, last int) address.Span {
	return address.Span{First: first, Last: last, Unset: last + 1}
}

func plan(t *testing.T, l address.Loop, s address.Style) address.Proposal {
	t.Helper()
	p, err := address.Plan(l, s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The expectations follow from counting along the cable.
func TestPlan(t *testing.T) {
	with := func(l address.Loop, wanted ...int) address.Loop {
		for i, n := range wanted {
			l.Devices[i].Wanted = n
		}
		return l
	}
	reserved := span(1, 20)
	reserved.Reserved = []int{4}
	zoned := line(span(1, 20), 1, 1, 1, 1, 1)
	for i, z := range []string{"10", "2", "", "2", "10"} {
		zoned.Devices[i].Zone = z
	}
	short := line(span(1, 120), 1, 1)
	short.Devices[1].Setter = setter(t, "dials 9")
	for i := range 98 {
		short.Devices = append(short.Devices, address.Device{Name: fmt.Sprint("x", i), Order: 3 + i, Wanted: 1 + i})
	}
	for _, c := range []struct {
		name  string
		loop  address.Loop
		style address.Style
		want  []int
	}{
		{"along the cable", line(span(1, 20), 1, 1, 1), address.Style{}, []int{1, 2, 3}},
		{"numbers begin at 1 where the span begins at 0", line(span(0, 20), 1), address.Style{}, []int{1}},
		{"a wide device", line(span(1, 20), 1, 4, 1), address.Style{}, []int{1, 2, 6}},
		{"past a reserved number", line(reserved, 1, 1, 2, 1), address.Style{}, []int{1, 2, 5, 7}},
		{"the hole before a reserved number is used when the rest is full", line(address.Span{First: 1, Last: 7, Reserved: []int{4}}, 2, 2, 1, 1), address.Style{}, []int{1, 5, 3, 7}},
		{"by zone, 2 before 10, none last", zoned, address.Style{By: address.ByZone}, []int{3, 1, 5, 2, 4}},
		{"spares spread", line(span(1, 20), 1, 1, 1, 1), address.Style{Spares: address.Spares{Count: 2, Spread: true}}, []int{1, 2, 4, 5}},
		{"spares spread over blocks", zoned, address.Style{By: address.ByZone, Spares: address.Spares{Percent: 60, Spread: true}}, []int{4, 1, 7, 2, 5}},
		{"keep", with(line(span(1, 20), 1, 1, 1), 0, 9, 0), address.Style{Keep: true}, []int{1, 9, 10}},
		{"keep the one that is there", found(with(line(span(1, 20), 1, 1), 5, 5), 6, 5), address.Style{Keep: true}, []int{1, 5}},
		{"keep as many as can be", with(line(span(1, 20), 4, 1, 1), 5, 5, 8), address.Style{Keep: true}, []int{1, 5, 8}},
		{"let one go for a wide one", with(line(span(1, 8), 1, 1, 4), 2, 6, 0), address.Style{Keep: true}, []int{2, 3, 4}},
		{"let the fewest go", with(line(span(1, 8), 1, 1, 1, 4), 2, 3, 6, 0), address.Style{Keep: true}, []int{2, 3, 4, 5}},
		{"a short dial gets a number that it reaches", short, address.Style{Keep: true}, slices.Concat([]int{100, 99}, upTo(98))},
	} {
		t.Run(c.name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, plan(t, c.loop, c.style).Numbers); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func upTo(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i + 1
	}
	return all
}

func found(l address.Loop, numbers ...int) address.Loop {
	for i, n := range numbers {
		l.Devices[i].Found = n
	}
	return l
}

func TestPlanSaysWhyNot(t *testing.T) {
	short := line(span(1, 200), 1, 1, 1)
	for i := range short.Devices {
		short.Devices[i].Setter = address.Setter{How: address.Dials, TensTo: 9}
	}
	short.Span.First = 98
	split := line(address.Span{First: 1, Last: 7, Reserved: []int{4}}, 4)
	for _, c := range []struct {
		loop    address.Loop
		spares  address.Spares
		howMany int
		says    string
	}{
		{line(span(1, 3), 1, 1, 1, 1), address.Spares{}, 3, "4 devices and 0 spares need 4 numbers, and loop 1.2 has 3"},
		{line(span(1, 4), 1, 1, 1, 1), address.Spares{Percent: 20}, 3, "4 devices and 1 spares need 5 numbers, and loop 1.2 has 4"},
		{short, address.Spares{}, 2, "d3 can be set to 99 at most, and loop 1.2 has no number left up to there"},
		{split, address.Spares{}, 0, "d1 takes 4 in a row, up to first number 4 at most, and loop 1.2 has no such run left"},
		{line(span(1, 4), 5), address.Spares{}, -1, "d1 takes 5 numbers, and loop 1.2 ends at 4"},
		{line(span(1, 4), 1), address.Spares{Count: 1, Percent: 1}, -1, "1 spares and 1 percent are not a wish for spares"},
	} {
		p, err := address.Plan(c.loop, address.Style{Spares: c.spares})
		if sootline.ErrorCode(err) != sootline.Invalid || !strings.Contains(err.Error(), c.says) || sootline.ErrorHint(err) == "" {
			t.Errorf("%q does not say %q", err, c.says)
			continue
		}
		if c.howMany >= 0 && p.Fits[0].HowMany != c.howMany {
			t.Errorf("%q: %d fit, want %d", err, p.Fits[0].HowMany, c.howMany)
		}
	}
}

func TestPlanAll(t *testing.T) {
	full, roomy := line(span(1, 2), 1, 1, 1), line(span(1, 20), 1, 1)
	full.Name = "1.1"
	p, err := address.PlanAll(context.Background(), []address.Loop{full, roomy}, address.Style{})
	if err == nil || strings.Count(err.Error(), "cannot hold all") != 1 || !strings.Contains(err.Error(), "loop 1.1") {
		t.Errorf("error %v", err)
	}
	if p[0].Numbers != nil || p[0].Fits[0].HowMany != 2 || !slices.Equal(p[1].Numbers, []int{1, 2}) {
		t.Errorf("proposals %+v", p)
	}
}

func TestProblems(t *testing.T) {
	l := line(span(1, 3), 1, 1, 2, 1)
	l.Devices[0].Wanted, l.Devices[1].Wanted, l.Devices[2].Wanted = 300, 2, 3
	l.Devices[1].Location, l.Devices[3].Location = "hall", "hall"
	var got []string
	for _, err := range l.Problems() {
		got = append(got, err.Error())
	}
	want := []string{
		"loop 1.2 cannot hold all its devices: 4 devices need 5 numbers, and the loop has 3",
		"d1: number 300 is not one of the loop's numbers 1 to 3",
		"d3: a device that takes 2 numbers from 3 needs number 4, and the loop ends at 3",
		`d2 and d4 have the same location text "hall"`,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func drawLoop(t *rapid.T) address.Loop {
	l := address.Loop{Name: "1.2", Span: drawSpan(t)}
	for i := range rapid.IntRange(0, 30).Draw(t, "devices") {
		l.Devices = append(l.Devices, address.Device{
			Name: fmt.Sprint("d", i), Order: rapid.IntRange(0, 40).Draw(t, "order"),
			Width:  rapid.SampledFrom([]int{0, 1, 1, 1, 1, 2, 3, 4}).Draw(t, "width"),
			Range:  rapid.SampledFrom([]address.Range{address.Sensors, address.Modules}).Draw(t, "range"),
			Zone:   rapid.SampledFrom([]string{"", "1", "2", "10", "A"}).Draw(t, "zone"),
			Wanted: rapid.IntRange(0, 70).Draw(t, "wanted"), Found: rapid.SampledFrom([]int{0, 0, 3, 9, 30}).Draw(t, "found"),
		})
	}
	return l
}

func drawStyle(t *rapid.T) address.Style {
	s := address.Style{By: rapid.SampledFrom([]address.Grouping{address.AlongCable, address.ByZone, address.ByArea}).Draw(t, "by"), Keep: rapid.Bool().Draw(t, "keep")}
	if rapid.Bool().Draw(t, "share") {
		s.Spares.Percent = rapid.IntRange(0, 40).Draw(t, "percent")
	} else {
		s.Spares.Count = rapid.IntRange(0, 6).Draw(t, "count")
	}
	s.Spares.Spread = rapid.Bool().Draw(t, "spread")
	return s
}

// Every plan gives numbers that the loop allows, none of them twice, leaves the
// spares, says every change, and planned again with Keep changes nothing.
func TestPlanProperties(t *testing.T) {
	planned := 0
	rapid.Check(t, func(t *rapid.T) {
		l, style := drawLoop(t), drawStyle(t)
		p, err := address.Plan(l, style)
		if err != nil {
			if !strings.Contains(err.Error(), "cannot hold all") {
				t.Fatal(err)
			}
			return
		}
		planned++
		taken := map[[2]int]int{}
		for i, n := range p.Numbers {
			d := l.Devices[i]
			if err := l.Span.Refuse(n, d.Width); err != nil {
				t.Fatal(err)
			}
			r := 0
			if l.Span.Separate {
				r = int(d.Range)
			}
			for k := range max(d.Width, 1) {
				if other, twice := taken[[2]int{r, n + k}]; twice {
					t.Fatalf("%d and %d share number %d", other, i, n+k)
				}
				taken[[2]int{r, n + k}] = i
			}
		}
		after := accept(l, p)
		again, err := address.Plan(after, address.Style{By: style.By, Spares: style.Spares, Keep: true})
		if err != nil || len(again.Changes) > 0 {
			t.Fatalf("planned again: %v, %+v", err, again.Changes)
		}
		if diff := cmp.Diff(p.Numbers, again.Numbers); diff != "" {
			t.Fatal(diff)
		}
		for _, f := range p.Fits {
			used := 0
			for key := range taken {
				if key[0] == int(f.Range) {
					used++
				}
			}
			if f.Numbers-used < f.Spares {
				t.Fatalf("%d numbers of %d are taken, and %d should stay free", used, f.Numbers, f.Spares)
			}
		}
	})
	if planned == 0 {
		t.Error("no loop was planned")
	}
}

// accept writes a proposal into the loop, as the log book would.
func accept(l address.Loop, p address.Proposal) address.Loop {
	l.Devices = slices.Clone(l.Devices)
	for _, c := range p.Changes {
		l.Devices[c.Device].Wanted = c.To
	}
	return l
}

// A fresh plan of the same loop is the same, whatever numbers it has.
func TestPlanWithoutKeepingForgetsTheNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, style := drawLoop(t), drawStyle(t)
		style.Keep = false
		for i := range l.Devices {
			l.Devices[i].Order = i + 1
		}
		p, err := address.Plan(l, style)
		if err != nil {
			return
		}
		again, err := address.Plan(accept(l, p), style)
		if err != nil || len(again.Changes) > 0 {
			t.Fatalf("planned again: %v, %+v", err, again.Changes)
		}
	})
}

// Keeping leaves the most devices where they are: held against trying every
// set of them.
func TestKeepKeepsTheMost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := line(span(1, 40))
		n := rapid.IntRange(1, 9).Draw(t, "devices")
		for i := range n {
			l.Devices = append(l.Devices, address.Device{Order: i + 1, Width: rapid.IntRange(1, 3).Draw(t, "width"), Wanted: rapid.IntRange(1, 14).Draw(t, "wanted")})
		}
		p, err := address.Plan(l, address.Style{Keep: true})
		if err != nil {
			t.Fatal(err)
		}
		most := 0
		for set := range 1 << n {
			if kept, ok := apart(l.Devices, set); ok {
				most = max(most, kept)
			}
		}
		if got := n - len(p.Changes); got < most {
			t.Fatalf("%d stay, %d could", got, most)
		}
	})
}

// apart counts the devices of a set; ok is false when two of them overlap.
func apart(devices []address.Device, set int) (count int, ok bool) {
	taken := map[int]bool{}
	for i, d := range devices {
		if set>>i&1 == 0 {
			continue
		}
		count++
		for k := range d.Width {
			if taken[d.Wanted+k] {
				return 0, false
			}
			taken[d.Wanted+k] = true
		}
	}
	return count, true
}

// With widths that divide each other, a loop is called too small only when it
// is: held against trying every place for every device.
func TestFitsIsExactForDividingWidths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := address.Span{First: 1, Last: rapid.IntRange(4, 14).Draw(t, "last")}
		s.Reserved = rapid.SliceOfN(rapid.IntRange(1, s.Last), 0, 3).Draw(t, "reserved")
		l := line(s, rapid.SliceOfN(rapid.SampledFrom([]int{1, 2, 4}), 1, 5).Draw(t, "widths")...)
		_, err := address.Plan(l, address.Style{})
		if can := placeable(l, 0, map[int]bool{}); can != (err == nil) {
			t.Fatalf("placeable %t, plan says %v", can, err)
		}
	})
}

func placeable(l address.Loop, i int, taken map[int]bool) bool {
	if i == len(l.Devices) {
		return true
	}
	w := l.Devices[i].Width
	for n := 1; n <= l.Span.Last; n++ {
		if l.Span.Refuse(n, w) != nil || slices.ContainsFunc(upTo(w), func(k int) bool { return taken[n+k-1] }) {
			continue
		}
		for k := range w {
			taken[n+k] = true
		}
		if placeable(l, i+1, taken) {
			return true
		}
		for k := range w {
			delete(taken, n+k)
		}
	}
	return false
}

// Any plan passes Check, through a register and back.
func TestPlanPassesCheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var b book
		for width := 1; width <= 4; width++ {
			b.add("", sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: fmt.Sprint("W", width), Width: width}})
		}
		for i := range rapid.IntRange(1, 20).Draw(t, "devices") { // 80 numbers and 40 % spares at most: they fit
			b.fit(fmt.Sprint("p", i), fmt.Sprint("W", rapid.IntRange(1, 4).Draw(t, "width")), rapid.IntRange(0, 140).Draw(t, "wanted"), 0)
		}
		loops := address.Loops(sootline.Fold(b.entries, day.AddDate(1, 0, 0)), address.Rules{})
		p, err := address.Plan(loops[0], drawStyle(t))
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range p.Changes {
			b.add(loops[0].Devices[c.Device].Location, sootline.Addressed{Wanted: c.To})
		}
		if findings := b.check(); len(findings) > 0 {
			t.Fatalf("%v", brief(findings))
		}
	})
}
