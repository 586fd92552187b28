package visit_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/visit"
)

// TestKnapsackPublished: the optima of J. Burkardt's KNAPSACK_01 data sets P01
// and P07, exactly (testdata/README.md).
func TestKnapsackPublished(t *testing.T) {
	raw, err := os.ReadFile("testdata/knapsack.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		Name              string
		Capacity, Optimum int
		Weights, Profits  []int
	}
	if err := json.Unmarshal(raw, &cases); err != nil || len(cases) != 2 {
		t.Fatalf("%d cases: %v", len(cases), err)
	}
	for _, c := range cases {
		var lot visit.Lot
		for i, w := range c.Weights {
			lot.Items = append(lot.Items, visit.Item{Minutes: w, Worth: visit.Worth{Risk: float64(c.Profits[i])}})
		}
		weight, profit := 0, 0
		for _, i := range visit.Pick(c.Capacity, []visit.Lot{lot})[0] {
			weight += c.Weights[i]
			profit += c.Profits[i]
		}
		if profit != c.Optimum || weight > c.Capacity {
			t.Errorf("%s: profit %d of weight %d, want %d within %d", c.Name, profit, weight, c.Optimum, c.Capacity)
		}
	}
}

// TestToursPublished: the optimal lengths that TSPLIB gives (testdata/README.md).
// The small ones are reached exactly, by the exact search and by the improving
// one; berlin52 within 2 %.
func TestToursPublished(t *testing.T) {
	for _, c := range []struct {
		name    string
		way     func(a, b [2]float64) float64
		optimum float64
		within  float64
	}{
		{"burma14", geo, 3323, 0},
		{"ulysses16", geo, 6859, 0},
		{"berlin52", euclid, 7542, 0.02},
	} {
		w := ways(coordinates(t, c.name), c.way)
		if exact := visit.Exact(w); exact != nil {
			checkTour(t, c.name+", exact", w, exact, c.optimum, c.within)
		} else if len(w) <= visit.MostExact {
			t.Errorf("%s: no exact tour", c.name)
		}
		checkTour(t, c.name, w, visit.Tour(w), c.optimum, c.within)
	}
}

func checkTour(t *testing.T, name string, w visit.Ways, order []int, optimum, within float64) {
	t.Helper()
	length := w.Length(order)
	t.Logf("%s: %v, published optimum %v", name, length, optimum)
	if length < optimum || length > optimum*(1+within) {
		t.Errorf("%s: length %v, published optimum %v", name, length, optimum)
	}
	sorted := slices.Sorted(slices.Values(order))
	for i, at := range sorted {
		if i != at || len(sorted) != len(w) {
			t.Fatalf("%s: %v is no tour of %d places", name, order, len(w))
		}
	}
}

func coordinates(t *testing.T, name string) [][2]float64 {
	t.Helper()
	raw, err := os.ReadFile("testdata/" + name + ".tsp")
	if err != nil {
		t.Fatal(err)
	}
	var at [][2]float64
	for line := range strings.Lines(string(raw)) {
		var n int
		var x, y float64
		if _, err := fmt.Sscan(line, &n, &x, &y); err != nil || n != len(at)+1 {
			t.Fatalf("%s: line %q: %v", name, line, err)
		}
		at = append(at, [2]float64{x, y})
	}
	return at
}

func ways(at [][2]float64, way func(a, b [2]float64) float64) visit.Ways {
	w := make(visit.Ways, len(at))
	for i := range at {
		w[i] = make([]float64, len(at))
		for j := range at {
			if i != j {
				w[i][j] = way(at[i], at[j])
			}
		}
	}
	return w
}

// euclid is TSPLIB's EUC_2D: rounded to whole numbers.
func euclid(a, b [2]float64) float64 { return math.Round(math.Hypot(a[0]-b[0], a[1]-b[1])) }

// geo is TSPLIB's GEO: degrees.minutes on a sphere of 6378.388 km with pi
// 3.141592, cut to whole kilometres (Reinelt, TSPLIB 95, 2.4; from memory).
func geo(a, b [2]float64) float64 {
	const pi, radius = 3.141592, 6378.388
	radians := func(x float64) float64 {
		degrees := math.Trunc(x)
		return pi * (degrees + 5*(x-degrees)/3) / 180
	}
	q1 := math.Cos(radians(a[1]) - radians(b[1]))
	q2 := math.Cos(radians(a[0]) - radians(b[0]))
	q3 := math.Cos(radians(a[0]) + radians(b[0]))
	return math.Trunc(radius*math.Acos(0.5*((1+q1)*q2-(1-q1)*q3)) + 1)
}

// TestMonthEnds: the rule of docs/methods/visit.md. The first row is the worked
// example of BS 5839-1:2025 (facts read in IET Wiring Matters 108): a visit on
// 12 May 2025 is followed by one from 12 October to 12 December. 31 August and
// six months: the last day of February, leap or not.
func TestMonthEnds(t *testing.T) {
	for _, c := range []struct {
		from   string
		months int
		want   string
	}{
		{"2025-05-12", 5, "2025-10-12"},
		{"2025-05-12", 6, "2025-11-12"},
		{"2025-05-12", 7, "2025-12-12"},
		{"2025-08-31", 6, "2026-02-28"},
		{"2023-08-31", 6, "2024-02-29"},
		{"2025-08-31", 12, "2026-08-31"},
		{"2026-02-28", 6, "2026-08-28"},
		{"2024-02-29", 12, "2025-02-28"},
		{"2024-02-29", 48, "2028-02-29"},
		{"2025-12-31", 2, "2026-02-28"},
		{"2025-01-31", 1, "2025-02-28"},
		{"2025-03-31", -1, "2025-02-28"},
	} {
		if got := day(t, c.from).AddMonths(c.months).String(); got != c.want {
			t.Errorf("%s and %d months: %s, want %s", c.from, c.months, got, c.want)
		}
	}
}

// TestMonthsDoNotCreep: two terms of six months never reach beyond one of
// twelve, and a term never ends in another month than it should.
func TestMonthsDoNotCreep(t *testing.T) {
	for d := day(t, "2023-01-01"); d < day(t, "2029-01-01"); d++ {
		if twice, once := d.AddMonths(6).AddMonths(6), d.AddMonths(12); twice > once {
			t.Fatalf("%s: %s by halves, %s at once", d, twice, once)
		}
		for months := -13; months <= 61; months++ {
			got, from := d.AddMonths(months).Time(), d.Time()
			want := 12*from.Year() + int(from.Month()) + months
			if 12*got.Year()+int(got.Month()) != want || got.Day() > from.Day() {
				t.Fatalf("%s and %d months: %s", d, months, got)
			}
		}
	}
}

// TestDayOf: the day is that of the site's clock, and a beginning that nobody
// wrote down is no day, wherever the site lies.
func TestDayOf(t *testing.T) {
	late := time.Date(2026, 1, 31, 23, 30, 0, 0, time.UTC)
	for hours, want := range map[int]string{-8: "2026-01-31", 0: "2026-01-31", 1: "2026-02-01", 13: "2026-02-01"} {
		zone := time.FixedZone("", hours*3600)
		if got := visit.DayOf(late, zone).String(); got != want {
			t.Errorf("%d hours: %s, want %s", hours, got, want)
		}
		if visit.DayOf(sootline.LongAgo, zone).Known() || visit.Day(0).AddMonths(12).Known() {
			t.Errorf("%d hours: a day that nobody knows is known", hours)
		}
	}
}

func day(t testing.TB, text string) visit.Day {
	t.Helper()
	at, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return visit.Date(at.Date())
}
