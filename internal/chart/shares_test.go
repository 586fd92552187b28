package chart

import (
	"strings"
	"testing"
)

// 60 of 80, then 70 of 80: the edge of the lowest part is at 75 and 87.5 % of the
// height of the whole, and the parts lie one upon the other without a gap.
func TestShares(t *testing.T) {
	s := Shares{Title: "Points", Names: []string{"inside", "outside"}, At: []SharesAt{{day("2026-02-01"), []int{70, 10}}, {day("2026-01-01"), []int{60, 20}}, {day("2026-03-01"), []int{0, 0}}}}
	p := s.Picture()
	root := parsed(t, p)
	low, high := root.all("polygon", "part-0")[0].pairs(t), root.all("polygon", "part-1")[0].pairs(t)
	// the ends of an edge are doubled; the upper edge comes first
	foot, head := low[len(low)-1].Y, high[0].Y
	near(t, "first share", (foot-low[0].Y)/(foot-head), 0.75)
	near(t, "second share", (foot-low[3].Y)/(foot-head), 0.875)
	near(t, "no gap", high[len(high)-1].Y, low[0].Y)
	if want := "On 2026-02-01, inside 70 of 80 (88 %), outside 10 of 80 (12 %)."; p.Desc != want {
		t.Errorf("%q, want %q", p.Desc, want)
	}
	if len(p.Table.Rows) != 2 {
		t.Errorf("%d rows: an instant with nothing has no shares", len(p.Table.Rows))
	}
}

// Where nearly all is in one part, the axis is cut and says so: the share of 98 % lies
// at 80 % of the height from 90 up. A site that is all inside is drawn so too.
func TestSharesNearAll(t *testing.T) {
	s := Shares{Title: "Points", Names: []string{"inside", "outside"}, At: []SharesAt{{day("2026-01-01"), []int{100, 0}}, {day("2026-02-01"), []int{97, 3}}, {day("2026-03-01"), []int{98, 2}}}}
	p := s.Picture()
	if want := "On 2026-03-01, inside 98 of 100 (98 %), outside 2 of 100 (2 %); the axis begins at 90 %, not at 0."; p.Desc != want {
		t.Errorf("%q, want %q", p.Desc, want)
	}
	low := parsed(t, p).all("polygon", "part-0")[0].pairs(t)
	foot, all := low[len(low)-1].Y, low[0].Y
	near(t, "98 of 90 to 100", (foot-low[3].Y)/(foot-all), 0.8)
	for inside, want := range map[int]float64{100: 95, 98: 95, 97: 90, 95: 90, 91: 80, 90: 80, 89: 0, 40: 0} {
		one := Shares{Names: s.Names, At: []SharesAt{{day("2026-01-01"), []int{inside, 100 - inside}}}}
		if got := one.foot(); got != want {
			t.Errorf("%d %% inside: the axis begins at %v, want %v", inside, got, want)
		}
	}
}

// A month without a count keeps its place; two counts of one month are added; the
// month is that of where people live: 23:30 UTC on 31 January is February in Berlin.
func TestCounts(t *testing.T) {
	c := Counts{Title: "Alarms", Zone: zone(t, "Europe/Berlin"), Names: []string{"unwanted", "real"}, Months: []Month{
		{day("2026-04-10"), []int{2, 2}}, {day("2026-01-31").Add(23*60*60*1e9 + 30*60*1e9), []int{1, 0}}, {day("2026-04-01"), []int{0, 1}},
	}}
	p := c.Picture()
	var rows []string
	for _, row := range p.Table.Rows {
		rows = append(rows, strings.Join(row, " "))
	}
	if got, want := strings.Join(rows, ", "), "2026-02 1 0, 2026-03 0 0, 2026-04 2 3"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if want := "6 in 3 months from 2026-02 to 2026-04; most in 2026-04 with 5."; p.Desc != want {
		t.Errorf("%q, want %q", p.Desc, want)
	}
	root := parsed(t, p)
	one, two := root.all("rect", "part-0"), root.all("rect", "part-1")
	if len(one) != 2 || len(two) != 1 {
		t.Fatalf("%d and %d boxes", len(one), len(two))
	}
	unit := one[0].number(t, "height")
	near(t, "two", one[1].number(t, "height"), 2*unit)
	near(t, "three", two[0].number(t, "height"), 3*unit)
	near(t, "three upon two", two[0].number(t, "y")+two[0].number(t, "height"), one[1].number(t, "y"))
}

func TestIntervals(t *testing.T) {
	root := parsed(t, sampleIntervals().Picture())
	lines := root.all("polyline", "limit")
	one, two := lines[0].pairs(t)[0].X, lines[1].pairs(t)[0].X // rates 1 and 2.5
	x := func(rate float64) float64 { return one + (rate-1)/1.5*(two-one) }
	for i, r := range sampleIntervals().Rows {
		whisker := root.all("polyline", "whisker")[i].pairs(t)
		near(t, r.Name+" low", whisker[0].X, x(r.Low))
		near(t, r.Name+" high", whisker[1].X, x(r.High))
	}
	table := sampleIntervals().Picture().Table
	var got []string
	for _, row := range table.Rows {
		got = append(got, row[5]+"/"+row[6])
	}
	const same = "cannot be told apart from"
	if want := same + "/below, above/above, below/below, " + same + "/" + same; strings.Join(got, ", ") != want {
		t.Errorf("%v, want %s", got, want)
	}
}
