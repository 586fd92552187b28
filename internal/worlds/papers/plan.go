package papers

import (
	"cmp"
	"math"
	"slices"
)

// World is a firm's sites, visits and technicians over some days. Day 0 is a Monday; minutes of a day count from
// midnight; places are indices into Places.
type World struct {
	Days        int
	Places      []Place
	Roads       map[[2]int]int // minutes from one place to another, where somebody gave them; each way by itself
	Technicians []Technician
	Visits      []Visit
}

// Place lies so many kilometres east and north of some point.
type Place struct{ East, North float64 }

// Technician is a person with hours, skills, days off and a home.
type Technician struct {
	Name   string
	Home   int // a place
	Skills []string
	Hours  [7]Hours // from Monday on; on the road counts as at work, from leaving home until home again
	Off    []int    // days
}

// Hours are the minutes of a day between which somebody works; both zero: not on that day.
type Hours struct{ From, To int }

// Visit is one that the rules of a site ask for.
type Visit struct {
	Site     int // a place
	Minutes  int // of work there
	First    int // the first and last day on which the rules have it
	Last     int
	Needs    []string // skills
	After    int      // the visit of the same site before it, as an index from 1; 0: none
	Least    int      // days from that one to this at least
	Most     int      // and at most
	Promised *Promise // what a customer agreed
}

// Promise is a day and minute that a customer agreed; who goes is free.
type Promise struct{ Day, Start int }

// Assignment puts a visit of the world at a technician's day and the minute at which it begins there.
type Assignment struct{ Visit, Technician, Day, Start int }

const (
	kmPerHour  = 50   // on the road (our choice)
	detour     = 1.25 // of the road against the straight line (our choice)
	minutesOff = 2    // to park and walk in (our choice)
)

// Travel gives the minutes from a place to another: as given, else by the straight line. Within a place it is 0.
func (w *World) Travel(from, to int) int {
	if from == to {
		return 0
	}
	if given, ok := w.Roads[[2]int{from, to}]; ok {
		return given
	}
	a, b := w.Places[from], w.Places[to]
	return minutesOff + int(math.Ceil(math.Hypot(a.East-b.East, a.North-b.North)*detour*60/kmPerHour))
}

// hours gives the hours of a technician on a day, false where there are none.
func (w *World) hours(technician, day int) (Hours, bool) {
	t := &w.Technicians[technician]
	h := t.Hours[day%7]
	return h, h != Hours{} && !slices.Contains(t.Off, day)
}

// tours parts a plan by technician and day, each in the order of its beginnings. What names nothing of the world is
// left out.
func (w *World) tours(plan []Assignment) map[[2]int][]Assignment {
	all := map[[2]int][]Assignment{}
	for _, a := range plan {
		if w.there(a) {
			key := [2]int{a.Technician, a.Day}
			all[key] = append(all[key], a)
		}
	}
	for _, tour := range all {
		slices.SortFunc(tour, func(a, b Assignment) int {
			return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.Visit, b.Visit))
		})
	}
	return all
}

func (w *World) there(a Assignment) bool {
	return a.Visit >= 0 && a.Visit < len(w.Visits) && a.Technician >= 0 && a.Technician < len(w.Technicians) && a.Day >= 0 && a.Day < w.Days
}

// span gives the minutes at which a tour leaves home and is home again.
func (w *World) span(tour []Assignment) (leaves, back int) {
	first, last := tour[0], tour[len(tour)-1]
	home := w.Technicians[first.Technician].Home
	leaves = first.Start - w.Travel(home, w.Visits[first.Visit].Site)
	v := w.Visits[last.Visit]
	return leaves, last.Start + v.Minutes + w.Travel(v.Site, home)
}

// Away gives the minutes that all technicians together are away from home in a plan, which is what a plan costs.
func (w *World) Away(plan []Assignment) int {
	sum := 0
	for _, tour := range w.tours(plan) {
		leaves, back := w.span(tour)
		sum += back - leaves
	}
	return sum
}
