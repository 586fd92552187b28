package nights

import (
	"cmp"
	"math"
	"slices"
)

// Weighed is what came of keeping some of the values.
type Weighed struct {
	Values, Kept int
	Strange      int // kept, and never read, or kept twice
	OddKept      int // kept, and no level
	// Changes are those at once by four standard deviations and more; Found of them have a kept value within a week that is
	// nearer to the new level than to the old.
	Changes, Found int
	// RMS is how far the level is, over all nights and points, from the last value kept, in steps of the display; Missing
	// is how many of these have none.
	// Values that are no level are left out of it.
	RMS     float64
	Missing int
}

// Weigh holds what was kept against the truth.
func (y *Year) Weigh(kept []Value) Weighed {
	w := Weighed{Values: len(y.Values), Kept: len(kept)}
	odd := map[Value]bool{}
	for _, i := range y.Odd {
		odd[y.Values[i]] = true
	}
	read := map[Value]bool{}
	for _, v := range y.Values {
		read[v] = true
	}
	of := make([][]Value, y.Points)
	for _, v := range kept {
		if !read[v] {
			w.Strange++
			continue
		}
		read[v] = false // twice is strange
		if odd[v] {
			w.OddKept++
			continue
		}
		of[v.Point] = append(of[v.Point], v)
	}
	for p := range of {
		slices.SortFunc(of[p], func(a, b Value) int { return cmp.Compare(a.Night, b.Night) })
	}
	y.hold(&w, of)
	y.find(&w, of)
	return w
}

// hold compares the level with the last value that was kept.
func (y *Year) hold(w *Weighed, of [][]Value) {
	sum, n := 0.0, 0
	for p, kept := range of {
		at := -1
		for night := range y.Nights {
			for at+1 < len(kept) && kept[at+1].Night <= night {
				at++
			}
			if at < 0 {
				w.Missing++
				continue
			}
			off := kept[at].Value - y.level[p][night]
			sum, n = sum+off*off, n+1
		}
	}
	w.RMS = math.Sqrt(sum / float64(n))
}

// find looks for the changes among what was kept.
func (y *Year) find(w *Weighed, of [][]Value) {
	for _, c := range y.Changes {
		if math.Abs(c.Size) < 4*noises[c.Point%len(noises)] || c.Night == 0 {
			continue
		}
		w.Changes++
		before := y.level[c.Point][c.Night-1]
		if slices.ContainsFunc(of[c.Point], func(v Value) bool {
			return v.Night >= c.Night && v.Night < c.Night+7 && math.Abs(v.Value-before) > math.Abs(v.Value-before-c.Size)
		}) {
			w.Found++
		}
	}
}
