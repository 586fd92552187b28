package circuit

import (
	"math"
	"slices"
)

// choice is a set of choices of alarms: who is in alarm in all of them, who in none, and how many of the others may be.
type choice struct {
	in, out []bool
	left    int
	low     []float64 // volts that none of the choices goes below, by place in live; nil: none are known
}

// caps are the least and the most current that each load draws, at rest and in alarm, in any of the choices.
type caps struct {
	restLow, restHigh, alarmLow, alarmHigh []float64
	gains                                  []float64 // working space
}

// all is the set of every choice that the alarms allow.
func (f *field) all(alarms Alarms) choice {
	n := len(f.live)
	ch := choice{in: make([]bool, n), out: make([]bool, n), left: alarms.Most}
	switch {
	case alarms.Named != nil:
		ch.left = 0
		for i, p := range f.live {
			ch.in[i] = slices.Contains(alarms.Named, p)
		}
	case alarms.Most < 0:
		ch.left = n
	}
	for i := range n {
		ch.out[i] = !ch.in[i] && (f.rest[i] == f.alarm[i] || ch.left == 0)
	}
	return ch
}

// between gives the least and the most that a load draws while its volts lie between low and high.
func (load Load) between(low, high float64) (least, most float64) {
	switch {
	case load.Value == 0:
		return 0, 0
	case load.Kind == Resistance:
		return low / load.Value, high / load.Value
	case load.Kind == Power:
		if low <= 0 {
			return load.Value / high, math.Inf(1)
		}
		return load.Value / high, load.Value / low
	}
	return load.Value, load.Value
}

func newCaps(n int) *caps {
	space := make([]float64, 4*n)
	return &caps{space[:n], space[n : 2*n], space[2*n : 3*n], space[3*n:], make([]float64, 0, n)}
}

// within works the caps out for volts between low and high; low nil: from 0.
func (k *caps) within(f *field, low, high []float64) {
	for i := range f.live {
		least := 0.0
		if low != nil {
			least = low[i]
		}
		k.restLow[i], k.restHigh[i] = f.rest[i].between(least, high[i])
		k.alarmLow[i], k.alarmHigh[i] = f.alarm[i].between(least, high[i])
	}
}

// reach is the most that a sum can come to in any of the choices, with their loads at the caps.
func (k *caps) reach(ch *choice, weight []float64) float64 {
	sum := 0.0
	list := k.gains[:0]
	for i, w := range weight {
		if w == 0 {
			continue
		}
		rest, alarm := w*k.restHigh[i], w*k.alarmHigh[i]
		if w < 0 {
			rest, alarm = w*k.restLow[i], w*k.alarmLow[i]
		}
		switch {
		case ch.in[i]:
			sum += alarm
		case ch.out[i] || !(alarm > rest):
			sum += rest
		default:
			sum += rest
			list = append(list, alarm-rest)
		}
	}
	return sum + largest(list, ch.left)
}

// worst sets in to who is in alarm where a sum comes to most, with the loads at the caps.
func (k *caps) worst(ch *choice, weight []float64, in []bool) {
	p := newPicks(ch.left)
	for i, w := range weight {
		in[i] = ch.in[i]
		if ch.in[i] || ch.out[i] || w == 0 {
			continue
		}
		more := w * (k.alarmHigh[i] - k.restHigh[i])
		if w < 0 {
			more = w * (k.alarmLow[i] - k.restLow[i])
		}
		if more > 0 {
			p.offer(i, more)
		}
	}
	for _, one := range p.kept {
		in[one.point] = true
	}
}

// largest sums the n largest of a list, which it puts into another order.
func largest(list []float64, n int) float64 {
	sum := 0.0
	for n > 0 {
		if len(list) <= n {
			for _, x := range list {
				sum += x
			}
			return sum
		}
		pivot := list[len(list)/2]
		i, j := 0, len(list)-1
		for i <= j {
			for list[i] > pivot {
				i++
			}
			for list[j] < pivot {
				j--
			}
			if i <= j {
				list[i], list[j] = list[j], list[i]
				i, j = i+1, j-1
			}
		}
		// What is up to j is no less than the pivot, what is from i on no more; between them stands the pivot.
		switch {
		case n <= j:
			list = list[:j+1]
		default:
			for _, x := range list[:i] {
				sum += x
			}
			if n < i {
				return sum - pivot*float64(i-n)
			}
			list, n = list[i:], n-i
		}
	}
	return sum
}

// lowest finds volts that no point goes below in any of the choices, from above: every load is put at the most that it
// draws at the volts found so far, with the alarms placed for each point anew. The map is monotone, so its highest fixed
// point lies below every operating point, and there is one for each choice (Tarski). What is returned was checked to lie
// below its own image, which is the proof. nil: none was found.
func (f *field) lowest(ch *choice, high []float64) []float64 {
	n := len(f.live)
	v, next := slices.Clone(high), make([]float64, n)
	k := newCaps(n)
	step := 1e-8 * f.c.top
	for range 400 {
		k.within(f, v, high)
		moved, least := 0.0, math.Inf(1)
		for i := range n {
			next[i] = min(v[i], f.none[i]-k.reach(ch, f.z[i]))
			moved, least = max(moved, v[i]-next[i]), min(least, next[i])
		}
		if !(least > 0) {
			return nil
		}
		v, next = next, v
		if moved <= step {
			break
		}
	}
	for i := range n {
		v[i] -= 100 * step
	}
	k.within(f, v, high)
	for i := range n {
		if !(f.none[i]-k.reach(ch, f.z[i]) >= v[i]) {
			return nil
		}
	}
	return v
}

// raise lifts volts that no point goes below: what the map makes of a lower bound is one too.
func (f *field) raise(ch *choice, high []float64) {
	k := newCaps(len(f.live))
	v := slices.Clone(ch.low)
	for range 3 {
		k.within(f, v, high)
		moved := 0.0
		for i := range v {
			up := max(v[i], f.none[i]-k.reach(ch, f.z[i]))
			moved = max(moved, up-v[i])
			v[i] = up
		}
		if moved < 1e-6*f.c.top {
			break
		}
	}
	ch.low = v
}

// highest gives volts that no point goes above in any of the choices: nothing drawn, less what is drawn at the least.
func (f *field) highest(ch *choice, low []float64) []float64 {
	k := newCaps(len(f.live))
	k.within(f, low, f.none)
	least := make([]float64, len(f.live))
	for i := range f.live {
		switch {
		case ch.in[i]:
			least[i] = k.alarmLow[i]
		case ch.out[i]:
			least[i] = k.restLow[i]
		default:
			least[i] = min(k.restLow[i], k.alarmLow[i])
		}
	}
	high := make([]float64, len(f.live))
	for i := range f.live {
		high[i] = f.none[i] - dot(f.z[i], least)
	}
	return high
}

// narrow puts the volts of the choices between bounds. Bounds of a wider set of choices hold for a narrower one, and are
// where it starts from.
func (f *field) narrow(ch *choice) (high []float64) {
	high = f.none
	if !f.power && !f.ohmic {
		return high
	}
	if ch.low == nil {
		ch.low = f.lowest(ch, high)
	}
	if ch.low == nil {
		return high
	}
	if f.ohmic {
		high = f.highest(ch, ch.low)
	}
	f.raise(ch, high)
	return high
}

// most bounds a row from above over the choices, beyond its budget: at most 0 proves that all of them keep it.
//
// A row of volts is proved by contradiction where one end feeds: if point m had less than it needs, the current along the
// way there never growing, every point j would have at most none - (none - needs) z_mj/z_mm, which caps what resistances draw.
func (f *field) most(r *row, ch *choice, high []float64, k *caps) float64 {
	if f.power && ch.low == nil {
		k.within(f, f.guess(high), high)
		return math.Inf(1)
	}
	if f.ohmic && f.single && r.at >= 0 {
		capped := make([]float64, len(high))
		for j := range high {
			capped[j] = min(high[j], max(f.none[r.at]-r.budget*r.weight[j]/r.weight[r.at], 0))
		}
		if ch.low != nil {
			for j := range capped {
				capped[j] = max(capped[j], ch.low[j])
			}
		}
		high = capped
	}
	k.within(f, ch.low, high)
	return k.reach(ch, r.weight) - r.budget
}

// guess stands in for volts that are not bounded, only to choose alarms by.
func (f *field) guess(high []float64) []float64 {
	low := make([]float64, len(high))
	for i := range high {
		low[i] = high[i] / 2
	}
	return low
}
