package papers

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// The numbers of a drawn firm are choices of ours, without a source.
const (
	half      = 182 // days from visit to visit, nominally: six months
	soonest   = 150 // five months
	latest    = 213 // seven months
	yearsDays = 364
)

// skills that sites ask for; a site in five asks for one.
var skills = []string{"high access", "aspirating", "gas release"}

// Year draws a firm's year of two visits to each site, and a plan that keeps all rules, by which it is known that one
// does. The visits that the firm cannot do are not drawn: there may be fewer than two to a site.
func Year(seed uint64, sites, technicians int) (*World, []Assignment) {
	r := rand.New(rand.NewPCG(seed, 19))
	w := &World{Days: yearsDays}
	for i := range technicians {
		w.Technicians = append(w.Technicians, w.hire(r, i))
	}
	p := &planting{w: w, tours: map[[2]int][]int{}}
	for range sites {
		site := w.place(r)
		nominal, before := r.IntN(half), 0
		needs := []string(nil)
		if r.IntN(5) == 0 {
			needs = []string{skills[r.IntN(len(skills))]}
		}
		minutes := 60 + 30*r.IntN(10)
		for n := range 2 {
			v := Visit{Site: site, Minutes: minutes, Needs: needs, After: before, First: max(0, nominal-20), Last: min(yearsDays-1, nominal+20)}
			if n > 0 && before > 0 {
				v.First, v.Last, v.Least, v.Most = 0, yearsDays-1, soonest, latest
				nominal = p.day[before-1] + half
			}
			if p.plant(r, v, nominal) {
				before = len(w.Visits)
			}
		}
	}
	return w, p.plan()
}

// hire draws a technician with a home.
func (w *World) hire(r *rand.Rand, i int) Technician {
	t := Technician{Name: fmt.Sprintf("Technician %d", i+1), Home: w.place(r), Skills: []string{skills[i%len(skills)], skills[r.IntN(len(skills))]}}
	for day := range 5 {
		t.Hours[day] = Hours{7*60 + 30*r.IntN(3), 16*60 + 30*r.IntN(3)}
	}
	if r.IntN(3) == 0 {
		t.Hours[4] = Hours{7 * 60, 12 * 60}
	}
	for range 4 { // weeks of holiday
		week := r.IntN(yearsDays / 7)
		for day := range 5 {
			t.Off = append(t.Off, week*7+day)
		}
	}
	return t
}

// place draws a place in a square of 80 km.
func (w *World) place(r *rand.Rand) int {
	w.Places = append(w.Places, Place{80 * r.Float64(), 80 * r.Float64()})
	return len(w.Places) - 1
}

// planting puts visits where they fit, so that a plan is known.
type planting struct {
	w     *World
	tours map[[2]int][]int // by technician and day
	day   []int            // of each visit
}

// plant adds a visit to the world on a day about the nominal one, where somebody can go; false where nobody can.
func (p *planting) plant(r *rand.Rand, v Visit, nominal int) bool {
	p.w.Visits = append(p.w.Visits, v)
	n := len(p.w.Visits) - 1
	for off := range 31 {
		for _, day := range []int{nominal + off, nominal - off} {
			if day < v.First || day > v.Last || v.After > 0 && !(Hours{v.Least, v.Most}).hold(day-p.day[v.After-1]) {
				continue
			}
			for _, t := range r.Perm(len(p.w.Technicians)) {
				key := [2]int{t, day}
				if order := append(slices.Clone(p.tours[key]), n); p.w.walk(t, day, order).ok {
					p.tours[key], p.day = order, append(p.day, day)
					return true
				}
			}
		}
	}
	p.w.Visits = p.w.Visits[:n]
	return false
}

func (h Hours) hold(n int) bool { return h.From <= n && n <= h.To }

func (p *planting) plan() []Assignment {
	var all []Assignment
	for key, order := range p.tours {
		all = append(all, p.w.walk(key[0], key[1], order).plan...)
	}
	slices.SortFunc(all, func(a, b Assignment) int { return a.Visit - b.Visit })
	return all
}

// Week draws a small world for [Exact]: up to six visits, two technicians, five days, roads that differ by direction, a
// promise now and then, and a site that is visited twice. A plan of all visits need not exist.
func Week(seed uint64) *World {
	r := rand.New(rand.NewPCG(seed, 6))
	w := &World{Days: 5, Roads: map[[2]int]int{}}
	for i := range 1 + r.IntN(2) {
		w.Technicians = append(w.Technicians, w.hire(r, i))
		w.Technicians[i].Off = []int{r.IntN(10)}
	}
	for range 2 + r.IntN(5) {
		first := r.IntN(4)
		v := Visit{Site: w.place(r), Minutes: 60 + 30*r.IntN(8), First: first, Last: min(4, first+r.IntN(4))}
		if r.IntN(4) == 0 {
			v.Needs = []string{skills[r.IntN(len(skills))]}
		}
		if r.IntN(5) == 0 {
			v.Promised = &Promise{v.First, 9*60 + 30*r.IntN(8)}
		}
		w.Visits = append(w.Visits, v)
	}
	if n := len(w.Visits); r.IntN(2) == 0 {
		last := &w.Visits[n-1]
		*last = Visit{Site: w.Visits[0].Site, Minutes: 60, First: 0, Last: 4, After: 1, Least: 1, Most: 1 + r.IntN(3)}
	}
	for range 3 {
		from, to := r.IntN(len(w.Places)), r.IntN(len(w.Places))
		w.Roads[[2]int{from, to}] = 5 + r.IntN(90)
	}
	return w
}
