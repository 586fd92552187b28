package ducts

import (
	"math"
	"slices"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// What a scenario is named after is in it.
func TestEveryScenarioHasItsOwn(t *testing.T) {
	wants := map[string][]string{
		"compensated": {levels.CompensationUsed}, "offsets": {levels.InstrumentOffset}, "works": {levels.Works},
		"half-cleaned": {levels.HalfCleaned, levels.Cleaned}, "slips": {levels.Slip, levels.Neighbour}, "swapped": {levels.Swapped},
		"rescaled": {levels.Rescaled}, "stuck-and-noisy": {levels.Stuck, levels.Noisy}, "everything": levels.Kinds(),
	}
	for name, kinds := range wants {
		happened := map[string]int{}
		for seed := range uint64(6) {
			s := World{}.Make(seed, name)
			for _, p := range s.Points {
				for _, e := range p.Events {
					if !e.Noted {
						happened[e.Kind]++
					}
				}
			}
		}
		for _, kind := range kinds {
			if happened[kind] < 5 {
				t.Errorf("%s: %d unwritten of %s", name, happened[kind], kind)
			}
		}
	}
}

// Sites have from 5 to 2,000 points, of which each has up to about 30 visits, and gaps of 18 months.
func TestSizes(t *testing.T) {
	span := func(name string, seeds uint64) (points, readings [2]int, gap float64) {
		points, readings = [2]int{math.MaxInt, 0}, [2]int{math.MaxInt, 0}
		for seed := range seeds {
			s := World{}.Make(seed, name)
			points = [2]int{min(points[0], len(s.Points)), max(points[1], len(s.Points))}
			r := sootline.Fold(s.Entries, s.Now)
			for _, p := range r.Points() {
				readings = [2]int{min(readings[0], len(p.Readings)), max(readings[1], len(p.Readings))}
				for i := 1; i < len(p.Readings); i++ {
					gap = max(gap, p.Readings[i].At.Sub(p.Readings[i-1].At).Hours()/24/30.44)
				}
			}
		}
		return points, readings, gap
	}
	if points, _, _ := span("small", 30); points[0] > 6 || points[1] > 12 {
		t.Errorf("small sites have %v points", points)
	}
	if points, _, _ := span("large", 1); points[0] < 1990 {
		t.Errorf("a large site has %v points", points)
	}
	if _, readings, _ := span("young", 3); readings[0] != 0 || readings[1] > 8 {
		t.Errorf("young points have %v readings", readings)
	}
	if _, readings, _ := span("many-readings", 3); readings[1] < 28 {
		t.Errorf("many readings are %v", readings)
	}
	if _, _, gap := span("gaps", 2); gap < 17 {
		t.Errorf("the longest gap is %.1f months", gap)
	}
}

// Compensation keeps a level flat until it is used up, and then it runs.
func TestCompensationHidesDust(t *testing.T) {
	k := compensated()
	at := func(dust float64) float64 {
		c := chamber{loose: dust}
		return c.respond(&k)
	}
	if hidden := at(k.reserve); hidden > 0.05 {
		t.Errorf("a full reserve shows %.3f of the band", hidden)
	}
	if runs := at(k.reserve+0.1) - at(k.reserve); runs < 0.1 {
		t.Errorf("then a tenth shows as %.3f", runs)
	}
}

// Dust falls off by itself: levels of a proportional type go down between cleanings too, unlike a line.
func TestDustFallsOffAgain(t *testing.T) {
	s := World{}.Make(3, "harvest")
	fell := 0
	for _, p := range s.Points {
		if p.Level(s.Now.AddDate(4, 0, 0)) != p.Level(s.Now.AddDate(3, 10, 0)) && turns(p.Level, s.Now) > 3 {
			fell++
		}
	}
	if share := float64(fell) / float64(len(s.Points)); share < 0.5 {
		t.Errorf("the levels of %.2f of the points turn", share)
	}
}

// turns counts how often a level turns in ten years, looked at each quarter.
func turns(level func(time.Time) float64, from time.Time) int {
	n, last := 0, 0.0
	for quarter := range 40 {
		step := level(from.AddDate(0, 3*quarter+3, 0)) - level(from.AddDate(0, 3*quarter, 0))
		if step*last < 0 {
			n++
		}
		if step != 0 {
			last = step
		}
	}
	return n
}

// The last value that was read tells much and not all: no limit on it, be it the best in hindsight, tells well
// who is outside by the next visit, and none tells nothing.
func TestWorldIsNotTriviallySeparable(t *testing.T) {
	type seen struct {
		share float64
		truth bool
	}
	for _, name := range []string{"lumps", "second-shift", "half-cleaned", "slips", "compensated", "gaps", "everything"} {
		var all []seen
		for seed := range uint64(5) {
			s := World{}.Make(seed, name)
			r := sootline.Fold(s.Entries, s.Now)
			for _, p := range s.Points {
				all = append(all, seen{lastShare(t, r, p.Point), p.OutsideByNext})
			}
		}
		best := 0.0
		for limit := 0.3; limit < 1.2; limit += 0.02 {
			hits, called, there := 0, 0, 0
			for _, x := range all {
				if x.truth {
					there++
				}
				if x.share > limit {
					called++
					if x.truth {
						hits++
					}
				}
			}
			best = max(best, 2*float64(hits)/float64(called+there))
		}
		if best > 0.93 || best < 0.3 {
			t.Errorf("%s: the best limit on the last value has F1 %.3f", name, best)
		}
		t.Logf("%s: %.3f", name, best)
	}
}

// lastShare is how far the last value lies from the middle of its band, 1 at either limit.
func lastShare(t *testing.T, r *sootline.Register, id sootline.ID) float64 {
	p := r.Point(id)
	own := slices.DeleteFunc(slices.Clone(p.Readings), func(x sootline.Reading) bool { return x.Quantity != "" })
	if len(own) == 0 {
		return 0
	}
	low, high := band(t, r, id)
	return math.Abs(own[len(own)-1].Samples[0]-(low+high)/2) / ((high - low) / 2)
}

// The gamma draws have the mean and variance of their shape (both equal the shape at scale 1).
func TestGammaDraws(t *testing.T) {
	d := newDice(1, "gamma")
	for _, shape := range []float64{0.05, 0.5, 1, 3.5} {
		const n = 200_000
		sum, squares := 0.0, 0.0
		for range n {
			x := d.gamma(shape)
			sum, squares = sum+x, squares+x*x
		}
		mean := sum / n
		if variance := squares/n - mean*mean; math.Abs(mean/shape-1) > 0.03 || math.Abs(variance/shape-1) > 0.06 {
			t.Errorf("shape %v: mean %.4f, variance %.4f", shape, mean, variance)
		}
	}
}
