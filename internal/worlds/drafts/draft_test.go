package drafts

import (
	"math"
	"slices"
	"testing"
)

// TestMetres by hand: across and along on a floor; over a riser between floors.
func TestMetres(t *testing.T) {
	b := Building{Storey: 3, Risers: [][2]float64{{0, 0}, {10, 0}}}
	for _, c := range []struct {
		p, q Place
		want float64
	}{
		{Place{X: 1, Y: 2}, Place{X: 4, Y: 6}, 7},
		{Place{X: 1, Y: 2}, Place{X: 1, Y: 2, Floor: 2}, 1 + 2 + 1 + 2 + 6},
		{Place{X: 9, Y: 2}, Place{X: 8, Y: 1, Floor: 1}, 1 + 2 + 2 + 1 + 3},
	} {
		if got := b.Metres(c.p, c.q); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%+v: %v, want %v", c, got, c.want)
		}
	}
}

// TestPlaces: as many of each sort as are wanted, each within its area.
func TestPlaces(t *testing.T) {
	mixed := Building{Name: "mixed", Areas: []Area{{W: 10, H: 10, Detectors: 5, CallPoints: 3, Sounders: 3}, {W: 9, H: 20, CallPoints: 2}, {W: 9, H: 9}}}
	for _, b := range append(Ten(), mixed) {
		had := map[int]map[Sort]int{}
		for _, p := range b.Places() {
			a := b.Areas[p.Area]
			if p.X < a.X || p.X > a.X+a.W || p.Y < a.Y || p.Y > a.Y+a.H || p.Floor != a.Floor {
				t.Errorf("%s: %+v outside %+v", b.Name, p, a)
			}
			if had[p.Area] == nil {
				had[p.Area] = map[Sort]int{}
			}
			had[p.Area][p.Sort]++
		}
		for i, a := range b.Areas {
			if had[i][Detector] != a.Detectors || had[i][CallPoint] != a.CallPoints || had[i][Sounder] != a.Sounders {
				t.Errorf("%s: %+v has %v", b.Name, a, had[i])
			}
		}
	}
}

// TestReferenceAgainstAll: of a few devices the search finds the shortest of all orders.
func TestReferenceAgainstAll(t *testing.T) {
	for seed := range uint64(8) {
		b := draw("small", 2, 3, 126, 100+seed)
		for i := range b.Areas {
			b.Areas[i].Detectors, b.Areas[i].CallPoints, b.Areas[i].Sounders = 1, ones[i%3 == 0], 0
		}
		n := len(b.Places())
		if n != 8 {
			t.Fatal(n)
		}
		_, got := Reference(b, 20000, 2)
		if want := shortest(b, n); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d: %v, want %v", seed, got, want)
		}
	}
}

// shortest goes through all orders.
func shortest(b Building, n int) float64 {
	best := math.Inf(1)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var walk func(int)
	walk = func(i int) {
		if i == n {
			best = min(best, Metres(b, Design{Loops: [][]int{order}}))
			return
		}
		for k := i; k < n; k++ {
			order[i], order[k] = order[k], order[i]
			walk(i + 1)
			order[i], order[k] = order[k], order[i]
		}
	}
	walk(0)
	return best
}

// TestReferences: each is whole, is not longer than going to the nearest each time nor than a search of a tenth, is not
// shorter than the shortest tree, and is the same when it is searched again.
func TestReferences(t *testing.T) {
	for _, b := range Ten() {
		d, metres := Reference(b, 400000, 1)
		if err := Check(b, d); err != nil {
			t.Errorf("%s: %v", b.Name, err)
		}
		s := newSearch(b)
		s.begin()
		n := len(b.Places())
		nearest := s.length() + Slack*float64(n)
		tree := tree(s.metres) + Slack*float64(n)
		_, again := Reference(b, 400000, 1)
		if metres > nearest+1e-6 || metres < tree-1e-6 || again != metres {
			t.Errorf("%s: %v and %v m, to the nearest %v, tree %v", b.Name, metres, again, nearest, tree)
		}
		t.Logf("%s: %d devices, %d loops, %.0f m; to the nearest %.0f m; tree %.0f m", b.Name, n, len(d.Loops), metres, nearest, tree)
	}
}

// tree gives the length of the shortest tree, which no tour is below.
func tree(metres [][]float64) float64 {
	sum := 0.0
	in := []int{0}
	for len(in) < len(metres) {
		best, next := math.Inf(1), 0
		for k := range metres {
			if slices.Contains(in, k) {
				continue
			}
			for _, i := range in {
				if metres[i][k] < best {
					best, next = metres[i][k], k
				}
			}
		}
		sum, in = sum+best, append(in, next)
	}
	return sum
}

// TestScore: the reference with isolators throughout passes; without isolators, too long, too thin or with a device left
// out it does not.
func TestScore(t *testing.T) {
	b := Ten()[5]
	d, metres := Reference(b, 50000, 1)
	for k := range b.Places() {
		d.Isolators = append(d.Isolators, k)
	}
	thick := d
	thick.MM2 = 4
	if mark := Score(b, thick, metres, Usual()); mark.Why != "" || mark.Longer != 0 {
		t.Error(mark)
	}
	bare, less, thin := d, d, d
	bare.Isolators = nil
	thin.MM2 = 0.5
	less.Loops = append([][]int{d.Loops[0][1:]}, d.Loops[1:]...)
	weak := Usual()
	weak.Supply.Low, weak.Supply.High, weak.Least = 18, 18, 17.5
	for name, why := range map[string]string{
		"bare": Score(b, bare, metres, Usual()).Why,
		"less": Score(b, less, metres, Usual()).Why,
		"thin": Score(b, thin, metres, weak).Why,
		"long": Score(b, thick, metres/1.06, Usual()).Why,
	} {
		if why == "" {
			t.Errorf("%s is taken", name)
		}
	}
}
