package fault

import "math"

// told is what a step is expected to tell.
type told struct {
	nats float64 // of information about the verdict
	best float64 // the share of hunts in which the likeliest verdict would then be right
}

// tally adds up what causes foretell, cell by cell; causes of one class come one after another.
type tally struct {
	all, most map[uint64]float64
	class     []cell
	nats      float64
}

type cell struct {
	key    uint64
	weight float64
}

func newTally() *tally { return &tally{all: map[uint64]float64{}, most: map[uint64]float64{}} }

func (t *tally) add(key uint64, weight float64) {
	for i := range t.class {
		if t.class[i].key == key {
			t.class[i].weight += weight
			return
		}
	}
	t.class = append(t.class, cell{key, weight})
}

// flush ends a class.
func (t *tally) flush() {
	whole := 0.0
	for _, c := range t.class {
		whole += c.weight
	}
	for _, c := range t.class {
		if c.weight > 0 {
			t.all[c.key] += c.weight
			t.most[c.key] = max(t.most[c.key], c.weight)
			t.nats += c.weight * math.Log(c.weight/whole)
		}
	}
	t.class = t.class[:0]
}

// sum ends the tally: what the cells tell of the class.
func (t *tally) sum() told {
	r := told{nats: t.nats}
	for key, w := range t.all {
		r.nats -= w * math.Log(w)
		r.best += t.most[key]
	}
	clear(t.all)
	clear(t.most)
	t.nats = 0
	return r
}

// likely is a cause that is still worth a thought, with its chance.
type likely struct {
	*Cause
	chance float64
}

// tells says what a step is expected to tell of the likely causes.
func (r *Ring) tells(s *Step, causes []likely, means Means, t *tally) told {
	if s.Look == AtDevice || s.Look == AtStretch {
		return r.tellsSeen(s, causes, t)
	}
	q := quantities(s.Look)[0]
	if s.Look == AtPanel && s.Feed == FromIn {
		q = inMA
	}
	keys, centres, deviations := make([]uint64, len(causes)), make([]float64, len(causes)), make([]float64, len(causes))
	width := 0.0
	for i, c := range causes {
		f := r.reach(c.Cause, s)
		if s.Look == AtPanel {
			keys[i] = r.panel(c.Cause, s).key()
		}
		if s.Look == AtPanel && !means.Currents {
			centres[i] = math.Inf(1)
			continue
		}
		e := r.expect(c.Cause, s, &f, q)
		variance, _ := c.spread(&e.slope)
		centres[i], deviations[i] = e.mean, math.Sqrt(variance+e.noise)
		if !math.IsInf(e.mean, 0) {
			width += c.chance * deviations[i]
		}
	}
	width = max(1.2*width, 0.01)
	for i, c := range causes {
		if i > 0 && differ(causes[i-1].Cause, c.Cause) {
			t.flush()
		}
		r.spread(t, keys[i], centres[i], deviations[i], width, c.chance)
	}
	t.flush()
	return t.sum()
}

func differ(a, b *Cause) bool { return a.Kind != b.Kind || a.At != b.At }

// key tells lists and messages apart.
func (f foretold) key() uint64 {
	key := uint64(f.message)
	for _, part := range []int{f.upTo, f.from, f.silent + 1, f.also + 1} {
		key = key<<12 ^ key>>45 ^ uint64(part)
	}
	return key << 8
}

// spread puts a reading into cells of one width. What lies off by more than two and a half deviations is left out.
func (r *Ring) spread(t *tally, key uint64, mean, deviation, width, weight float64) {
	if math.IsInf(mean, 0) {
		t.add(key^0xff, weight)
		return
	}
	low, high := math.Floor((mean-2.5*deviation)/width), math.Floor((mean+2.5*deviation)/width)
	if high-low > 40 { // so wide that it tells nothing
		low, high = math.Floor(mean/width)-20, math.Floor(mean/width)+20
	}
	before := 0.0
	for cell := low; cell <= high; cell++ {
		upTo := 1.0
		if cell < high {
			upTo = 0.5 * math.Erfc(-((cell+1)*width-mean)/(deviation*math.Sqrt2))
		}
		t.add(key^uint64(int64(cell))*0x9e3779b97f4a7c15, weight*(upTo-before))
		before = upTo
	}
}

func (r *Ring) tellsSeen(s *Step, causes []likely, t *tally) told {
	for i, c := range causes {
		if i > 0 && differ(causes[i-1].Cause, c.Cause) {
			t.flush()
		}
		seen := r.seenBy(c.Cause, s)
		t.add(uint64(c.Kind), c.chance*seen)
		t.add(0, c.chance*(1-seen))
	}
	t.flush()
	return t.sum()
}
