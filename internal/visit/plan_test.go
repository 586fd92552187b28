package visit_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sootline"
	"sootline/internal/visit"
)

// TestPickAgainstAll compares the choice with every possible one, on small cases.
func TestPickAgainstAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		worth := rapid.Custom(func(t *rapid.T) visit.Worth {
			return visit.Worth{Overdue: rapid.IntRange(0, 1).Draw(t, "overdue"), Due: rapid.IntRange(0, 1).Draw(t, "due"), Share: rapid.IntRange(0, 1).Draw(t, "share"), Risk: float64(rapid.IntRange(0, 5).Draw(t, "risk"))}
		})
		var lots []visit.Lot
		for range rapid.IntRange(0, 3).Draw(t, "lots") {
			lot := visit.Lot{Setup: rapid.IntRange(0, 5).Draw(t, "setup")}
			for range rapid.IntRange(0, 3).Draw(t, "items") {
				lot.Items = append(lot.Items, visit.Item{Minutes: rapid.IntRange(0, 6).Draw(t, "minutes"), Worth: worth.Draw(t, "worth")})
			}
			lots = append(lots, lot)
		}
		minutes := rapid.IntRange(-1, 30).Draw(t, "given")
		spent, got := sum(lots, visit.Pick(minutes, lots))
		if spent > max(0, minutes) {
			t.Fatalf("%d minutes spent of %d", spent, minutes)
		}
		if want := bestOf(lots, max(0, minutes)); got != want {
			t.Fatalf("worth %v, the best of all is %v", got, want)
		}
	})
}

func sum(lots []visit.Lot, chosen [][]int) (minutes int, worth [4]float64) {
	for i, items := range chosen {
		if len(items) > 0 {
			minutes += lots[i].Setup
		}
		for _, at := range items {
			item := lots[i].Items[at]
			minutes += item.Minutes
			worth[0] += float64(item.Worth.Overdue)
			worth[1] += float64(item.Worth.Due)
			worth[2] += float64(item.Worth.Share)
			worth[3] += item.Worth.Risk
		}
	}
	return minutes, worth
}

func bestOf(lots []visit.Lot, minutes int) (best [4]float64) {
	items := 0
	for _, lot := range lots {
		items += len(lot.Items)
	}
	for set := range 1 << items {
		chosen := make([][]int, len(lots))
		bit := 0
		for i, lot := range lots {
			for at := range lot.Items {
				if set&(1<<bit) != 0 {
					chosen[i] = append(chosen[i], at)
				}
				bit++
			}
		}
		if spent, worth := sum(lots, chosen); spent <= minutes && slices.Compare(worth[:], best[:]) > 0 {
			best = worth
		}
	}
	return best
}

// TestSetsAreSound: every set of the table can be logged, and says how each of
// its figures is known.
func TestSetsAreSound(t *testing.T) {
	names := map[string]bool{}
	for _, s := range visit.Sets() {
		b := newBook(t, sootline.Service{Rules: s.Rules}) // fails on a rule that is not sound
		b.fit(sootline.LongAgo, "Larch", sootline.Place{})
		if names[s.Name] || len(s.Rules) == 0 {
			t.Errorf("set %q", s.Name)
		}
		names[s.Name] = true
		for _, rule := range s.Rules {
			if rule.Text == "" || rule.Known != sootline.KnownOwn && rule.Edition == "" {
				t.Errorf("%s, %s: says too little: %+v", s.Name, rule.Name, rule)
			}
		}
	}
}

// TestForcedFirst: demanded work goes before any fall of risk, overdue before
// due; what is left says why, and set-ups are paid once.
func TestForcedFirst(t *testing.T) {
	service := one(sootline.ServiceRule{Form: sootline.EveryForm, Months: 12})
	service.Areas = []sootline.ServiceArea{{Area: "Atrium", Setup: 20, Why: "scaffold"}}
	b := newBook(t, service)
	office := sootline.Place{Area: "Office"}
	overdue := b.fit(morning(day(t, "2024-01-10")), "Larch", office)
	due := b.fit(morning(day(t, "2025-01-10")), "Larch", office)
	high := b.fit(morning(day(t, "2025-05-10")), "Larch", sootline.Place{Area: "ATRIUM"})
	dirty := b.fit(morning(day(t, "2025-05-10")), "Larch", office)
	dusty := b.fit(morning(day(t, "2025-05-10")), "Larch", office)
	on := day(t, "2025-08-01")
	r, obligations := b.list(on)
	at := func(i int) *sootline.Point { return r.Point(b.ids[i]) }
	findings := []visit.Finding{
		{Point: at(high), Work: visit.Clean, Risk: 0.9}, {Point: at(dirty), Work: visit.Clean, Risk: 0.6}, {Point: at(dusty), Work: visit.Clean, Risk: 0.3},
	}
	for _, c := range []struct {
		minutes int
		want    []int
		why     string
	}{
		{4, []int{overdue}, "demanded, but needs 4 minutes; 0 are left"},
		{8, []int{overdue, due}, "needs 12 minutes and 20 to set up Atrium (scaffold), more than the whole visit"},
		{20, []int{overdue, due, dirty}, "needs 12 minutes; 0 are left, and what was chosen counts for more"},
		{32, []int{overdue, due, dirty, dusty}, "needs 12 minutes and 20 to set up Atrium (scaffold); 0 are left"},
		// 40: the atrium alone would lower the risk by 0.9 too, and so do the two others.
		{64, []int{overdue, due, high, dirty, dusty}, ""},
	} {
		plan := visit.Make(r, visit.Wish{Minutes: c.minutes, Obligations: obligations, Findings: findings})
		var got []int
		for _, stop := range plan.Stops {
			got = append(got, slices.Index(b.ids, stop.Point.ID))
		}
		slices.Sort(got)
		if !slices.Equal(got, c.want) {
			t.Errorf("%d minutes: points %v, want %v", c.minutes, got, c.want)
		}
		if c.why != "" && (len(plan.Left) == 0 || !slices.ContainsFunc(plan.Left, func(l visit.Left) bool { return strings.Contains(l.Why, c.why) })) {
			t.Errorf("%d minutes: left %+v, want %q", c.minutes, plan.Left, c.why)
		}
	}
}

// TestOrder: floors from the bottom up, areas by the shortest way, points within
// them along it; the technician's own order before all that.
func TestOrder(t *testing.T) {
	b := newBook(t, sootline.Service{})
	fit := func(floor, area string, x float64) int {
		p := sootline.Place{Floor: floor, Area: area, X: &x, Y: new(float64), Location: "somewhere"}
		return b.fit(sootline.LongAgo, "Larch", p)
	}
	first := fit("1", "Loft", 5)
	far, near := fit("0", "Shop", 30), fit("0", "Shop", 10)
	entrance, middle := fit("0", "Hall", 0), fit("0", "Shop", 20)
	cellar := b.fit(sootline.LongAgo, "Larch", sootline.Place{Location: "Basement, pumps", Area: "Plant"})
	r := b.fold(day(t, "2025-01-01"))
	for _, c := range []struct {
		own  []string
		want []int
	}{
		{nil, []int{cellar, far, middle, near, entrance, first}},
		{[]string{"loft", "1.1.004"}, []int{first, entrance, cellar, far, middle, near}},
	} {
		var got []int
		for _, p := range visit.Order(r, r.Points(), c.own) {
			got = append(got, slices.Index(b.ids, p.ID))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("own order %v: %v, want %v", c.own, got, c.want)
		}
	}
}

// TestFloorOf: the floor on the register, or a location text that begins with one.
func TestFloorOf(t *testing.T) {
	for text, want := range map[string]int{
		"Basement, ramp 2": -1, "Ground floor, hall": 0, "First floor, store": 1, "Level 3, desk": 3, "2nd floor, hall": 2, "Basement level 2, pump": -2, "Roof, fan": 1000,
	} {
		if _, level := visit.FloorOf(&sootline.Register{}, &sootline.Point{Place: sootline.Place{Location: text}}); level != want {
			t.Errorf("%q: level %d, want %d", text, level, want)
		}
	}
	for _, text := range []string{"", "Over the door", "Oven row 1, floor plate", "Ground plate"} {
		if name, _ := visit.FloorOf(&sootline.Register{}, &sootline.Point{Place: sootline.Place{Location: text}}); name != "" {
			t.Errorf("%q: took %q for a floor", text, name)
		}
	}
}

// TestPathIsNoLonger: a way with both ends free is never longer than the points
// in any order that is tried, and visits each once.
func TestPathIsNoLonger(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for n := range 30 {
		w := randomWays(rng, n)
		way := visit.Path(w)
		if sorted := slices.Sorted(slices.Values(way)); len(sorted) != n {
			t.Fatalf("%d places: %v", n, way)
		}
		for range 50 {
			if other := w.Walk(rng.Perm(n)); n > 1 && n <= 9 && other < w.Walk(way)-1e-9 {
				t.Errorf("%d places: %v, another order %v", n, w.Walk(way), other)
			}
		}
	}
}

// crowd is a site of so many points in areas of twenty, all on a plan, with
// work that is demanded of some and findings on others.
func crowd(t testing.TB, points int) (*sootline.Register, visit.Wish) {
	service := one(sootline.ServiceRule{Form: sootline.EveryForm, Months: 12})
	for a := range points / 20 {
		service.Areas = append(service.Areas, sootline.ServiceArea{Area: fmt.Sprint("area ", a), Setup: a % 11})
	}
	b := newBook(t, service)
	rng := rand.New(rand.NewPCG(1, 2))
	on := day(t, "2025-08-01")
	for p := range points {
		x, y := 60*rng.Float64(), 30*rng.Float64()
		fitted := on.AddMonths(-3)
		if p%100 == 0 {
			fitted = on.AddMonths(-11)
		}
		b.fit(morning(fitted), "Larch", sootline.Place{Floor: fmt.Sprint(p / 400), Area: fmt.Sprint("area ", p/20), X: &x, Y: &y})
	}
	r, obligations := b.list(on)
	wish := visit.Wish{Minutes: 480, Obligations: obligations}
	for i, p := range r.Points() {
		wish.Findings = append(wish.Findings, visit.Finding{Point: p, Work: []string{visit.Read, visit.Look, visit.Clean}[i%3], Risk: math.Pow(rng.Float64(), 3)})
	}
	return r, wish
}

// BenchmarkRound chooses and orders a round of some sixty of 2,000 points.
func BenchmarkRound(b *testing.B) {
	r, wish := crowd(b, 2000)
	for b.Loop() {
		if plan := visit.Make(r, wish); len(plan.Stops) < 60 {
			b.Fatalf("%d stops", len(plan.Stops))
		}
	}
}
