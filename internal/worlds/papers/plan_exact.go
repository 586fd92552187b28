package papers

import (
	"math"
	"slices"
)

// exact searches a small world: days first, then who goes, then in which order.
type exact struct {
	w     *World
	tours map[[3]int]tour // by technician, day and set of visits
	day   []int           // of each visit; -1: not planned
	best  []Assignment
	left  int // visits not planned in the best
	away  int
}

// tour is the best way through a set of visits in a technician's day.
type tour struct {
	plan []Assignment
	away int
	ok   bool
}

// Exact gives a plan that plans the most visits, and of those one with the fewest minutes away from home, by trying all;
// keep the world to six visits, two technicians and five days. A visit whose visit before is not planned is not held
// against it, as in [Check].
func Exact(w *World) (plan []Assignment, unplanned, away int) {
	x := &exact{w: w, tours: map[[3]int]tour{}, day: make([]int, len(w.Visits)), left: len(w.Visits) + 1, away: math.MaxInt}
	x.days(0)
	return x.best, x.left, x.away
}

// days tries each day of the visit i and of those behind it.
func (x *exact) days(i int) {
	if i == len(x.day) {
		x.who()
		return
	}
	v := x.w.Visits[i]
	for d := -1; d < x.w.Days; d++ {
		if d >= 0 && (d < v.First || d > v.Last || v.Promised != nil && d != v.Promised.Day) {
			continue
		}
		x.day[i] = d
		x.days(i + 1)
	}
}

// apart says whether visits of the same site keep their distance.
func (x *exact) apart() bool {
	for i, v := range x.w.Visits {
		if v.After == 0 || x.day[i] < 0 || x.day[v.After-1] < 0 {
			continue
		}
		if gap := x.day[i] - x.day[v.After-1]; gap < v.Least || gap > v.Most {
			return false
		}
	}
	return true
}

// who finds the best technicians for the days as they stand.
func (x *exact) who() {
	left, sets := 0, make([]int, x.w.Days)
	for i, d := range x.day {
		if d < 0 {
			left++
			continue
		}
		sets[d] |= 1 << i
	}
	if left > x.left || !x.apart() {
		return
	}
	var plan []Assignment
	away := 0
	for d, set := range sets {
		part := x.share(d, 0, set)
		if !part.ok {
			return
		}
		plan, away = append(plan, part.plan...), away+part.away
	}
	if left < x.left || away < x.away {
		x.best, x.left, x.away = plan, left, away
	}
}

// share parts a set of visits of a day among the technicians from one on.
func (x *exact) share(day, technician, set int) tour {
	if set == 0 || technician == len(x.w.Technicians) {
		return tour{ok: set == 0}
	}
	best := tour{}
	for mine := set; ; mine = (mine - 1) & set {
		own, rest := x.tour(technician, day, mine), tour{}
		if own.ok {
			rest = x.share(day, technician+1, set&^mine)
		}
		if own.ok && rest.ok && (!best.ok || own.away+rest.away < best.away) {
			best = tour{append(slices.Clone(own.plan), rest.plan...), own.away + rest.away, true}
		}
		if mine == 0 {
			return best
		}
	}
}

// tour tries each order of a set of visits in a technician's day.
func (x *exact) tour(technician, day, set int) tour {
	key := [3]int{technician, day, set}
	best, known := x.tours[key]
	if known {
		return best
	}
	best = tour{ok: set == 0}
	orders(set, nil, func(order []int) {
		if t := x.w.walk(technician, day, order); t.ok && (!best.ok || t.away < best.away) {
			best = t
		}
	})
	x.tours[key] = best
	return best
}

// orders calls for each order of a set that is not empty.
func orders(set int, begun []int, call func([]int)) {
	if set == 0 && len(begun) > 0 {
		call(begun)
	}
	for i := 0; set>>i > 0; i++ {
		if set&(1<<i) != 0 {
			orders(set&^(1<<i), append(begun, i), call)
		}
	}
}

// walk times a technician's day: home as early as may be, then away as late as may be.
func (w *World) walk(technician, day int, order []int) tour {
	h, works := w.hours(technician, day)
	at, now, place := make([]int, len(order)), h.From, w.Technicians[technician].Home
	for i, n := range order {
		v := w.Visits[n]
		now += w.Travel(place, v.Site)
		if p := v.Promised; p != nil {
			if now > p.Start || day != p.Day {
				return tour{}
			}
			now = p.Start
		}
		for _, skill := range v.Needs {
			works = works && slices.Contains(w.Technicians[technician].Skills, skill)
		}
		at[i], now, place = now, now+v.Minutes, v.Site
	}
	if !works || now+w.Travel(place, w.Technicians[technician].Home) > h.To {
		return tour{}
	}
	plan := make([]Assignment, len(order))
	for i := len(order) - 1; i >= 0; i-- {
		v := w.Visits[order[i]]
		if i < len(order)-1 && v.Promised == nil {
			at[i] = at[i+1] - w.Travel(v.Site, w.Visits[order[i+1]].Site) - v.Minutes
		}
		plan[i] = Assignment{order[i], technician, day, at[i]}
	}
	leaves, back := w.span(plan)
	return tour{plan, back - leaves, true}
}
