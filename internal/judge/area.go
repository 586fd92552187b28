package judge

import "math"

// area is what the points of one area share: the dust of its air, as a factor on all drifts. Factors are looked
// for in steps of the square root of two, four either way.
type area struct {
	name    string
	members []*past
	read    map[*kin]int // members with looks, by type
	works   []works
	logs    [nShifts]float64 // logarithm of the weight of each factor
}

const (
	nShifts  = 9
	noShift  = nShifts / 2
	areaStep = 1.5 // standard deviation of the factor of an area, in steps: rooms differ by about a factor of two
)

// slower lists, for each factor of an area, the two paths of its points that a path stands for, half each: those as many
// steps below. Rates are twice apart, and so two steps.
var slower = func() (all [nShifts][nPaths][2]uint8) {
	for shift := range all {
		steps := shift - noShift
		for p := range all[shift] {
			rate := p % nRates
			for half := range 2 {
				to := rate
				if rate >= firstUp && rate < firstOff {
					to = min(firstOff-1, max(firstUp, rate-(steps+half)>>1))
				}
				all[shift][p][half] = uint8(p - rate + to)
			}
		}
	}
	return all
}()

// shifted is the weight of a path where the drifts of an area are larger by a factor.
func (w *weights) shifted(p, shift int) float64 {
	from := &slower[shift][p]
	return (w[from[0]] + w[from[1]]) / 2
}

// back adds to the paths from which a shifted one came.
func (w *weights) back(p, shift int, x float64) {
	for _, from := range slower[shift][p] {
		w[from] += x / 2
	}
}

// likely is how likely what was read at a point is under weights shifted by a factor.
func (p *past) likely(w *weights, shift int) float64 {
	sum := 0.0
	for i := range p.tales {
		for l := range p.tales[i].leaves {
			leaf := &p.tales[i].leaves[l]
			sum += leaf.w * w.shifted(int(leaf.path), shift)
		}
	}
	return sum
}

// learn weighs the factors by what all points of the area show.
func (a *area) learn() {
	for s := range a.logs {
		off := float64(s-noShift) / areaStep
		a.logs[s] = -off * off / 2
	}
	if a.name == "" {
		for s := range a.logs { // points of no area share none
			if s != noShift {
				a.logs[s] = math.Inf(-1)
			}
		}
		return
	}
	for _, p := range a.members {
		for s := range a.logs {
			a.logs[s] += math.Log(max(p.likely(p.kin.w, s), 1e-300))
		}
	}
	most := math.Inf(-1)
	for _, l := range a.logs {
		most = max(most, l)
	}
	for s := range a.logs {
		a.logs[s] -= most
	}
}

// prior is what the type and the area, without the point itself, teach of its paths.
func (p *past) prior() *weights {
	if p.area.name == "" {
		return p.kin.w
	}
	var share [nShifts]float64
	sum, most := 0.0, math.Inf(-1)
	for s := range share {
		if share[s] = p.area.logs[s]; !p.strange {
			share[s] -= math.Log(max(p.likely(p.kin.w, s), 1e-300))
		}
		most = max(most, share[s])
	}
	for s := range share {
		share[s] = math.Exp(share[s] - most)
		sum += share[s]
	}
	w := new(weights)
	for s := range share {
		if share[s] < 1e-3*sum {
			continue
		}
		for k := range w {
			w[k] += share[s] / sum * p.kin.w.shifted(k, s)
		}
	}
	return w
}
