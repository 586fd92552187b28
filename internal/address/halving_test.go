package address_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sootline"
	"sootline/internal/address"
)

// every is the best search by trying every place after every outcome: a state
// is the set of what is still possible, so that nothing is taken for granted
// about runs or about two devices telling each other apart. It gives the least
// expected effort times the weight of the set.
type every struct {
	places []address.Place
	pairs  [][2]int
	weight []int64
	known  map[uint64]int64
}

func newEvery(places []address.Place, two bool) *every {
	e := &every{places: places, known: map[uint64]int64{}}
	chance := func(i int) int64 { return int64(max(places[i].Chance, 1)) }
	for i := range places {
		for k := i; k < len(places); k++ {
			switch {
			case !two && i == k:
				e.pairs, e.weight = append(e.pairs, [2]int{i, -1}), append(e.weight, chance(i))
			case two && i == k && !places[i].Single:
				e.pairs, e.weight = append(e.pairs, [2]int{i, i}), append(e.weight, chance(i)*chance(i))
			case two && i < k:
				e.pairs, e.weight = append(e.pairs, [2]int{i, k}), append(e.weight, 2*chance(i)*chance(k))
			}
		}
	}
	return e
}

func (e *every) least(set uint64) int64 {
	if set&(set-1) == 0 {
		return 0
	}
	if cost, known := e.known[set]; known {
		return cost
	}
	best := int64(math.MaxInt64)
	for at := range len(e.places) - 1 {
		var part [3]uint64
		var weight int64
		for k, p := range e.pairs {
			if set>>k&1 == 0 {
				continue
			}
			weight += e.weight[k]
			answered := 0
			for _, where := range p {
				if where >= 0 && where <= at {
					answered++
				}
			}
			part[answered] |= 1 << k
		}
		if part[0] == set || part[1] == set || part[2] == set {
			continue
		}
		best = min(best, weight*int64(e.places[at].Effort)+e.least(part[0])+e.least(part[1])+e.least(part[2]))
	}
	e.known[set] = best
	return best
}

func (e *every) effort() float64 {
	var sum int64
	for _, w := range e.weight {
		sum += w
	}
	return float64(e.least(1<<len(e.pairs)-1)) / float64(sum)
}

func drawPlaces(r *rand.Rand, n int) []address.Place {
	places := make([]address.Place, n)
	for i := range places {
		places[i] = address.Place{Name: fmt.Sprint("base ", i+1), Effort: 1 + r.IntN(9), Chance: r.IntN(4), Single: r.IntN(2) == 0}
	}
	return places
}

func searches(t *testing.T, places []address.Place) map[bool]*address.Search {
	t.Helper()
	one, err := address.SearchOne(places)
	if err != nil {
		t.Fatal(err)
	}
	two, err := address.SearchTwo(places)
	if err != nil {
		t.Fatal(err)
	}
	return map[bool]*address.Search{false: one, true: two}
}

// The expected effort is the least there is; weights are whole numbers, so
// that only their quotient is rounded: 1e-12.
func TestSearchIsCheapest(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 4))
	for range 60 {
		places := drawPlaces(r, 2+r.IntN(4))
		for two, s := range searches(t, places) {
			got := 0.0
			if next, ok := s.Next(); ok {
				got = next.Effort
			}
			want := newEvery(places, two).effort()
			if math.Abs(got-want) > 1e-12*want {
				t.Fatalf("two %t: %v, the least is %v: %+v", two, got, want, places)
			}
		}
	}
}

// Followed for everything that is possible, a search ends where it should, and
// the steps it takes agree with those it foretold.
func TestSearchFindsWhatItForetold(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 5))
	for range 20 {
		places := drawPlaces(r, 2+r.IntN(12))
		for _, two := range []bool{false, true} {
			e := newEvery(places, two)
			first, _ := searches(t, places)[two].Next()
			var effort, steps, sum float64
			worst := 0
			for k, where := range e.pairs {
				s := searches(t, places)[two]
				for next, more := s.Next(); more; next, more = s.Next() {
					answered := 0
					for _, at := range where {
						if at >= 0 && at <= next.Place {
							answered++
						}
					}
					if err := s.Record(next.Place, answered); err != nil {
						t.Fatal(err)
					}
				}
				want := [][2]int{{where[0], where[0]}}
				if two {
					want = append(want, [2]int{where[1], where[1]})
				}
				if diff := cmp.Diff(want, s.Found()); diff != "" {
					t.Fatal(diff)
				}
				for _, asked := range s.Asked() {
					effort += float64(e.weight[k]) * float64(places[asked.Place].Effort)
				}
				steps += float64(e.weight[k]) * float64(len(s.Asked()))
				sum += float64(e.weight[k])
				worst = max(worst, len(s.Asked()))
			}
			if math.Abs(effort/sum-first.Effort) > 1e-9 || math.Abs(steps/sum-first.Steps) > 1e-9 || worst != first.Worst {
				t.Fatalf("two %t: effort %v steps %v worst %d, foretold %+v", two, effort/sum, steps/sum, worst, first)
			}
		}
	}
}

// With equal efforts and chances one device among 2^k places takes k steps, as
// halving does.
func TestHalving(t *testing.T) {
	for k := range 8 {
		places := make([]address.Place, 1<<k)
		for i := range places {
			places[i] = address.Place{Effort: 1}
		}
		next, ok := searches(t, places)[false].Next()
		if ok != (k > 0) || next.Worst != k || next.Steps != float64(k) {
			t.Errorf("%d places: %+v", len(places), next)
		}
	}
	// Of six, two and four apart is as good as three and three: the middle is taken.
	six := slices.Repeat([]address.Place{{Effort: 1}}, 6)
	if next, _ := searches(t, six)[false].Next(); next.Place != 2 {
		t.Errorf("of six places, %d is opened first", next.Place+1)
	}
}

func TestSearchAnswers(t *testing.T) {
	places := make([]address.Place, 10)
	for i := range places {
		places[i] = address.Place{Name: fmt.Sprint("base ", i+1), Effort: 1, Single: true}
	}
	s := searches(t, places)[true]
	for _, step := range []struct{ place, answered int }{{6, 2}, {2, 1}, {1, 0}} { // 7 first, though another place was proposed
		if err := s.Record(step.place, step.answered); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff([][2]int{{2, 2}, {3, 6}}, s.Found()); diff != "" {
		t.Error(diff)
	}
	for _, wrong := range []struct{ place, answered int }{{0, 1}, {8, 1}, {4, 0}, {4, 3}, {4, -1}, {10, 1}, {-1, 0}} {
		if err := s.Record(wrong.place, wrong.answered); sootline.ErrorCode(err) == "" {
			t.Errorf("place %d, %d answered: %v", wrong.place, wrong.answered, err)
		}
	}
	if err := s.Record(4, 2); err != nil {
		t.Error(err)
	}
	if len(s.Asked()) != 4 {
		t.Errorf("asked %v", s.Asked())
	}
}

func TestSearchRefuses(t *testing.T) {
	for _, c := range []struct {
		places []address.Place
		says   string
	}{
		{nil, "a search needs 1 to 300 places, found 0"},
		{make([]address.Place, 301), "found 301"},
		{[]address.Place{{Name: "hall"}}, `place "hall": effort is from 1`},
		{[]address.Place{{Effort: 1, Single: true}}, "two devices cannot be on a stretch that holds one"},
	} {
		if _, err := address.SearchTwo(c.places); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v does not say %q", err, c.says)
		}
	}
}

func BenchmarkSearchTwo(b *testing.B) {
	places := drawPlaces(rand.New(rand.NewPCG(6, 6)), 250)
	for b.Loop() {
		if _, err := address.SearchTwo(places); err != nil {
			b.Fatal(err)
		}
	}
}
