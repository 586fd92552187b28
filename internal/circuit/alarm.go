package circuit

import "slices"

// Alarms says who is in alarm while faults are looked at.
type Alarms struct {
	// Most is how many points may be in alarm at once. They are placed where they hurt most, for each fault and
	// each side of it anew. Below 0: all points are in alarm.
	Most  int
	Named []int // exactly these points instead, by index; nil: Most holds
}

// EveryAlarm puts all points in alarm.
func EveryAlarm() Alarms { return Alarms{Most: -1} }

// finding is what one arc comes to at its worst.
type finding struct {
	exists   bool
	point    int     // where the margin is least, or -1 where no device is
	volts    float64 // there
	margin   float64 // above its least working volts
	alarm    []int   // who is in alarm
	exact    bool    // no other choice of alarms can be worse
	bounded  bool    // no choice can be worse than floor
	floor    float64 // of the margin
	out, in  float64 // the most that each end may have to give
	circling float64
}

// worst places the alarms of an arc where they hurt most.
//
// With constant currents it is exact: the drop at a point m is a sum of Z_mj i_j over the loads, so the worst alarms
// for m are those with the largest Z_mj times their added current, and m is tried at every point that could be worst.
// Other loads are replaced by currents that they cannot exceed, which bounds the drop from above; the state with
// the same points in alarm is then solved for what it is.
func (w *ladder) worst(a arc, alarms Alarms) finding {
	w.enter(a)
	live := slices.Clone(w.live)
	loads := w.restLoads()
	raising := w.raising(alarms, live)
	if alarms.Named != nil || alarms.Most < 0 || len(raising) <= alarms.Most {
		return w.alarmed(a, loads, raising, true)
	}
	if alarms.Most == 0 {
		return w.alarmed(a, loads, nil, true)
	}
	rest, more, proven, exact := w.currents(a, live, raising)
	point, floor, chosen := w.place(a, rest, more, alarms.Most)
	f := w.alarmed(a, loads, chosen, exact)
	if !proven && floor >= 0 && point >= 0 {
		proven = true // nobody falls below the volts at which the currents were taken
	}
	f.bounded, f.floor = proven, floor
	if f.exact {
		f.bounded, f.floor = true, f.margin
	}
	w.peak(a, &f, live, rest, more, alarms.Most)
	return f
}

func (w *ladder) restLoads() []Load {
	loads := make([]Load, len(w.c.loop.Points))
	for i := range loads {
		loads[i] = w.c.loop.Points[i].Rest
	}
	return loads
}

// raising lists the fed points that may go into alarm: those named, or all, or, where the worst are to be chosen, those
// that draw more in alarm than at rest.
func (w *ladder) raising(alarms Alarms, live []int) []int {
	choose := alarms.Named == nil && alarms.Most >= 0
	var list []int
	for _, p := range live {
		point := &w.c.loop.Points[p]
		switch {
		case choose && point.Alarm.at(w.c.top) <= point.Rest.at(w.c.top):
		case alarms.Named != nil && !slices.Contains(alarms.Named, p):
		default:
			list = append(list, p)
		}
	}
	return list
}

// alarmed solves an arc with the given points in alarm and looks for the least margin.
func (w *ladder) alarmed(a arc, loads []Load, alarm []int, exact bool) finding {
	for _, p := range alarm {
		loads[p] = w.c.loop.Points[p].Alarm
	}
	f := finding{point: -1, alarm: alarm, exact: exact, bounded: exact}
	if _, f.exists = w.settle(a, loads); !f.exists {
		return f
	}
	for _, p := range w.live {
		point := &w.c.loop.Points[p]
		if point.Junction {
			continue
		}
		if margin := w.v[p] - float64(point.Least); f.point < 0 || margin < f.margin {
			f.point, f.volts, f.margin = p, w.v[p], margin
		}
	}
	f.floor = f.margin
	f.out, f.in = w.ends(a)
	f.circling = w.circulates
	return f
}

// currents gives for each point the most that it can draw at rest, and how much more in alarm. They are proven when the
// voltages that they were taken at are lower bounds: those with every point in alarm, if that state exists. They are
// exact when every load is a constant current.
func (w *ladder) currents(a arc, live, raising []int) (rest, more []float64, proven, exact bool) {
	m := len(w.c.loop.Points)
	rest, more = make([]float64, m), make([]float64, m)
	exact = true
	for _, p := range live {
		point := &w.c.loop.Points[p]
		exact = exact && constant(point.Rest) && constant(point.Alarm)
	}
	low := make([]float64, m)
	if proven = exact; !exact {
		all := w.restLoads()
		for _, p := range raising {
			all[p] = w.c.loop.Points[p].Alarm
		}
		_, proven = w.settle(a, all)
		copy(low, w.v)
	}
	for _, p := range live {
		point := &w.c.loop.Points[p]
		if !proven { // half the supply where nothing better is known, only to choose by
			low[p] = w.c.top / 2
			if point.Least > 0 {
				low[p] = float64(point.Least)
			}
		}
		rest[p] = w.atMost(point.Rest, low[p])
		more[p] = w.atMost(point.Alarm, low[p]) - rest[p]
	}
	return rest, more, proven, exact
}

func constant(load Load) bool { return load.Kind == Current || load.Value == 0 }

// at is the current of a load at a voltage.
func (load Load) at(v float64) float64 {
	switch {
	case load.Value == 0:
		return 0
	case load.Kind == Resistance:
		return v / load.Value
	case load.Kind == Power:
		return load.Value / v
	}
	return load.Value
}

// atMost is the largest current of a load whose voltage is at least low and at most the supply's.
func (w *ladder) atMost(load Load, low float64) float64 {
	if load.Kind == Power {
		return load.at(low)
	}
	return load.at(w.c.top)
}

// place looks, over the points that could be worst, for the one whose margin the alarms can make least.
func (w *ladder) place(a arc, rest, more []float64, most int) (point int, floor float64, chosen []int) {
	w.enter(a)
	clear(w.slope)
	copy(w.fixed, rest)
	w.solve(a)
	base := slices.Clone(w.v)
	point = -1
	picks := newPicks(most)
	for _, m := range w.candidates(a) {
		w.transfer(a, m)
		picks.reset()
		for _, p := range w.live {
			if gain := -w.v[p] * more[p]; gain > 0 {
				picks.offer(p, gain)
			}
		}
		margin := base[m] - picks.sum() - float64(w.c.loop.Points[m].Least)
		if point < 0 || margin < floor {
			point, floor = m, margin
			chosen = picks.points(chosen[:0])
		}
	}
	return point, floor, chosen
}

// transfer solves the arc for one ampere drawn at m and nothing else, so that -v is what each point loses by it; the
// network being symmetric, it is also what m loses by an ampere at each point.
func (w *ladder) transfer(a arc, m int) {
	out, in := w.out, w.in
	w.out, w.in = 0, 0
	clear(w.slope)
	clear(w.fixed)
	w.fixed[m] = 1
	w.solve(a)
	w.out, w.in = out, in
}

// candidates lists the points that could have the least margin. Fed from one end, a point has never less volts than
// those further along, so only one that needs more volts than all of them can be worse off.
func (w *ladder) candidates(a arc) []int {
	points := w.c.loop.Points
	var list []int
	need := -1.0
	consider := func(p int, any bool) {
		if points[p].Junction {
			return
		}
		if least := float64(points[p].Least); any || least > need {
			need = least
			list = append(list, p)
		}
	}
	closed := a.fromOut && a.fromIn
	for i := range a.hi - a.lo {
		k := a.lo + i
		if a.fromOut {
			k = a.hi - 1 - i
		}
		consider(w.c.ring[k], closed)
	}
	for s, sp := range w.c.spurs {
		if sp.at < a.lo || sp.at >= a.hi {
			continue
		}
		need = -1
		for _, p := range slices.Backward(sp.points[:a.reach(s, &sp)]) {
			consider(p, false)
		}
	}
	return list
}

// peak adds what an end may have to give at most: the alarms that draw most, wherever they are. A closed ring asks less
// of either end than the same ring broken at the other, so it keeps what its worst state draws.
func (w *ladder) peak(a arc, f *finding, live []int, rest, more []float64, most int) {
	if a.fromOut && a.fromIn || !f.exists {
		return
	}
	picks := newPicks(most)
	sum := 0.0
	for _, p := range live {
		sum += rest[p]
		if more[p] > 0 {
			picks.offer(p, more[p])
		}
	}
	sum += picks.sum()
	if a.fromOut {
		f.out = max(f.out, sum)
	} else {
		f.in = max(f.in, sum)
	}
}
