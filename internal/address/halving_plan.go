package address

// halving holds the best way to search every run of places, for one device and
// for two, found by dynamic programming.
type halving struct {
	places []Place
	n      int
	chance []int64     // of the places before
	single []int64     // squares of the chances of the single ones before
	choice [2][]choice // for one and for two, [first*n+last]
}

// choice is the best place to open on a run. Effort and steps are expectations
// times the weight of the run, so that they stay whole numbers.
type choice struct {
	open, worst   int
	effort, steps int64
}

func newHalving(places []Place) *halving {
	n := len(places)
	h := &halving{places: places, n: n, chance: make([]int64, n+1), single: make([]int64, n+1)}
	for i, p := range places {
		c := int64(max(p.Chance, 1))
		h.chance[i+1], h.single[i+1] = h.chance[i]+c, h.single[i]
		if p.Single {
			h.single[i+1] += c * c
		}
	}
	for holds := 1; holds <= 2; holds++ {
		h.choice[holds-1] = make([]choice, n*n)
		for length := 2; length <= n; length++ {
			for first := 0; first+length <= n; first++ {
				k := stretch{holds, first, first + length - 1}
				*h.best(k) = h.choose(k)
			}
		}
	}
	return h
}

func (h *halving) best(k stretch) *choice { return &h.choice[k.holds-1][k.first*h.n+k.last] }

// weight is how likely a stretch is to hold what it holds, in the unit of the
// chances: for two of them counted as ordered pairs, without those that put
// both on a stretch of one device.
func (h *halving) weight(k stretch) int64 {
	sum := h.chance[k.last+1] - h.chance[k.first]
	if k.holds == 1 {
		return sum
	}
	return sum*sum - (h.single[k.last+1] - h.single[k.first])
}

// choose tries every place of a run. Of equal ones it takes the one nearer the
// middle.
func (h *halving) choose(k stretch) choice {
	if h.apart(k) {
		return choice{}
	}
	var best choice
	for at := k.first; at < k.last; at++ {
		c := h.opened(k, at)
		if at == k.first || c.effort < best.effort || c.effort == best.effort && off(k, at) < off(k, best.open) {
			best = c
		}
	}
	return best
}

// off is twice the distance of a place from the middle of a run.
func off(k stretch, at int) int {
	d := 2*at + 1 - k.first - k.last
	return max(d, -d)
}

// opened gives what is to be expected when a place of the run is opened first.
// One on either side is two searches that tell each other nothing.
func (h *halving) opened(k stretch, at int) choice {
	weight := h.weight(k)
	near, far := stretch{k.holds, k.first, at}, stretch{k.holds, at + 1, k.last}
	a, b := h.best(near), h.best(far)
	c := choice{
		open: at, worst: 1 + max(a.worst, b.worst),
		effort: weight*int64(h.places[at].Effort) + a.effort + b.effort,
		steps:  weight + a.steps + b.steps,
	}
	if k.holds == 2 {
		near.holds, far.holds = 1, 1
		a, b = h.best(near), h.best(far)
		c.effort += 2 * (h.weight(far)*a.effort + h.weight(near)*b.effort)
		c.steps += 2 * (h.weight(far)*a.steps + h.weight(near)*b.steps)
		c.worst = max(c.worst, 1+a.worst+b.worst)
	}
	return c
}

// apart reports whether two devices on two single stretches are already told
// apart.
func (h *halving) apart(k stretch) bool {
	return k.holds == 2 && k.last == k.first+1 && h.places[k.first].Single && h.places[k.last].Single
}

// settle gives a stretch, or the two it amounts to.
func (h *halving) settle(k stretch) []stretch {
	if h.apart(k) {
		return []stretch{{1, k.first, k.first}, {1, k.last, k.last}}
	}
	return []stretch{k}
}

// split gives what is known of a stretch when so many of those on it are at or
// before a place.
func (h *halving) split(k stretch, at, before int) []stretch {
	var known []stretch
	if before > 0 {
		known = append(known, h.settle(stretch{before, k.first, at})...)
	}
	if after := k.holds - before; after > 0 {
		known = append(known, h.settle(stretch{after, at + 1, k.last})...)
	}
	return known
}

// possible reports whether the places can hold what they are said to.
func (h *halving) possible(known []stretch) bool {
	for _, k := range known {
		if h.weight(k) <= 0 {
			return false
		}
	}
	return true
}
