package papers

import (
	"slices"
	"testing"
)

// naive tries each order of all visits with each technician and day, and takes what [Check] lets pass: another way to the
// optimum than that of [Exact], for worlds of three visits without promises.
func naive(w *World) (best int) {
	best = -1
	var try func(rest, order []int, place [][2]int)
	try = func(rest, order []int, place [][2]int) {
		if len(rest) == 0 {
			plan := timed(w, order, place)
			if len(Check(w, plan)) == 0 && (best < 0 || w.Away(plan) < best) {
				best = w.Away(plan)
			}
			return
		}
		for i, v := range rest {
			for t := range w.Technicians {
				for d := range w.Days {
					others := slices.Delete(slices.Clone(rest), i, i+1)
					try(others, append(slices.Clone(order), v), append(slices.Clone(place), [2]int{t, d}))
				}
			}
		}
	}
	all := make([]int, len(w.Visits))
	for i := range all {
		all[i] = i
	}
	try(all, nil, nil)
	return best
}

// timed lets each technician go at the first minute of the hours, from visit to visit.
func timed(w *World, order []int, place [][2]int) []Assignment {
	type state struct{ now, at int }
	days := map[[2]int]state{}
	var plan []Assignment
	for i, v := range order {
		s, ok := days[place[i]]
		if !ok {
			t := w.Technicians[place[i][0]]
			s = state{t.Hours[place[i][1]%7].From, t.Home}
		}
		start := s.now + w.Travel(s.at, w.Visits[v].Site)
		plan = append(plan, Assignment{v, place[i][0], place[i][1], start})
		days[place[i]] = state{start + w.Visits[v].Minutes, w.Visits[v].Site}
	}
	return plan
}

// The search finds what trying everything and asking the checker finds.
func TestExactAgainstTryingAll(t *testing.T) {
	possible := 0
	for seed := range uint64(60) {
		w := Week(seed)
		if len(w.Visits) != 3 || slices.ContainsFunc(w.Visits, func(v Visit) bool { return v.Promised != nil }) {
			continue
		}
		plan, unplanned, away := Exact(w)
		want := naive(w)
		if (want < 0) != (unplanned > 0) || want >= 0 && want != away {
			t.Errorf("seed %d: %d away, %d unplanned; trying all gives %d", seed, away, unplanned, want)
		}
		if w.Away(plan) != away {
			t.Errorf("seed %d: the plan is %d away, said were %d", seed, w.Away(plan), away)
		}
		if want >= 0 {
			possible++
		}
	}
	if possible < 3 {
		t.Errorf("only %d worlds were compared", possible)
	}
}

// What the search plans keeps all rules but that of planning every visit, and that no more often than it says.
func TestExactKeepsRules(t *testing.T) {
	whole := 0
	for seed := range uint64(100) {
		w := Week(seed)
		plan, unplanned, _ := Exact(w)
		broken := Check(w, plan)
		if slices.ContainsFunc(broken, func(b Broken) bool { return b.Rule != Planned }) || len(broken) != unplanned {
			t.Errorf("seed %d: %d unplanned, broken %v", seed, unplanned, broken)
		}
		if unplanned == 0 {
			whole++
		}
	}
	if whole < 20 || whole == 100 {
		t.Errorf("%d of 100 weeks can be planned whole: too few or too many to try both", whole)
	}
}

// The firms that are drawn have a plan that keeps all rules, the same for the same seed.
func TestYearCanBePlanned(t *testing.T) {
	for _, size := range [][2]int{{60, 4}, {2000, 40}} {
		w, plan := Year(1, size[0], size[1])
		if broken := Check(w, plan); len(broken) > 0 {
			t.Errorf("%v: %d rules broken, first %v", size, len(broken), broken[0])
		}
		if len(w.Visits) < size[0]*19/10 {
			t.Errorf("%v: only %d visits", size, len(w.Visits))
		}
		if _, again := Year(1, size[0], size[1]); !slices.Equal(plan, again) {
			t.Errorf("%v: another plan by the same seed", size)
		}
	}
}

// small is a world in which one plan keeps all rules; from home to each site it is 30 minutes.
func small() (*World, []Assignment) {
	w := &World{
		Days: 14, Places: []Place{{}, {10, 0}, {20, 0}}, Roads: map[[2]int]int{{0, 1}: 30, {1, 0}: 30, {0, 2}: 30, {2, 0}: 30, {1, 2}: 20, {2, 1}: 20},
		Technicians: []Technician{
			{Name: "A", Skills: []string{"gas release"}, Hours: [7]Hours{{480, 960}, {480, 960}, {480, 960}}, Off: []int{2}},
			{Name: "B", Hours: [7]Hours{{480, 960}, {480, 960}, {480, 960}}},
		},
		Visits: []Visit{
			{Site: 1, Minutes: 120, First: 1, Last: 9, Needs: []string{"gas release"}},
			{Site: 1, Minutes: 60, Last: 13, After: 1, Least: 6, Most: 7},
			{Site: 2, Minutes: 60, Last: 13, Promised: &Promise{1, 660}},
		},
	}
	return w, []Assignment{{0, 0, 1, 520}, {1, 1, 8, 520}, {2, 0, 1, 660}}
}

// Each rule is found broken where a plan is made to break it, and nothing else is.
func TestCheckFindsEachRule(t *testing.T) {
	w, good := small()
	if broken := Check(w, good); len(broken) > 0 {
		t.Fatalf("the good plan: %v", broken)
	}
	for _, c := range []struct {
		rule Rule
		plan []Assignment
		also Rule
	}{
		{Known, append(slices.Clone(good), Assignment{0, 7, 1, 520}), ""},
		{Known, append(slices.Clone(good), Assignment{0, 0, 14, 520}), ""},
		{Planned, good[:2], ""},
		{Once, append(slices.Clone(good), Assignment{2, 1, 7, 600}), ""},
		{FirstDay, []Assignment{{0, 0, 0, 520}, {1, 1, 7, 520}, good[2]}, ""},
		{LastDay, []Assignment{{0, 0, 14 - 5 + 1, 520}, good[2]}, Planned},
		{NotSoon, []Assignment{good[0], {1, 1, 2, 520}, good[2]}, ""},
		{NotLate, []Assignment{good[0], {1, 1, 9, 520}, good[2]}, ""},
		{Skilled, []Assignment{{0, 1, 1, 520}, good[1], good[2]}, ""},
		{AtWork, []Assignment{{0, 0, 2, 520}, {1, 1, 8, 520}, good[2]}, ""},
		{InHours, []Assignment{good[0], {1, 1, 8, 509}, good[2]}, ""},
		{InHours, []Assignment{good[0], {1, 1, 8, 871}, good[2]}, ""},
		{Reachable, []Assignment{{0, 0, 1, 521}, good[1], good[2]}, ""},
		{Kept, []Assignment{good[0], good[1], {2, 0, 1, 661}}, ""},
	} {
		broken := Check(w, c.plan)
		if !slices.ContainsFunc(broken, func(b Broken) bool { return b.Rule == c.rule }) {
			t.Errorf("%q is not found in %v: %v", c.rule, c.plan, broken)
		}
		for _, b := range broken {
			if b.Rule != c.rule && b.Rule != c.also && b.Rule != AtWork {
				t.Errorf("%v breaks %q alone, found %v", c.plan, c.rule, b)
			}
		}
	}
}
