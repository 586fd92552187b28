package visit_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"sootline"
	"sootline/internal/visit"
)

// TestRota simulates five years of rotas for random sites under every set of
// rules, and holds what happened against the rules by arithmetic of its own: no
// rule may be broken at any date unless the plan of the visit before named what
// it left and why. It also compares the tests done because a rule demanded them
// with a lower bound on how few there could have been.
func TestRota(t *testing.T) {
	sites := 500
	if testing.Short() {
		sites = 40
	}
	var sum rotaSum
	for seed := range sites {
		r := newRota(t, uint64(seed))
		r.live()
		r.judge(&sum)
	}
	t.Logf("%d sites, %d visits, %d tests demanded and done, lower bound %d: %.4f times the least possible; worst site %.3f; %d breaches on sites with too little time, all foretold; %d changes of configuration",
		sites, sum.visits, sum.forced, sum.least, float64(sum.forced)/float64(sum.least), sum.worst, sum.breaches, sum.changes)
	if sum.ample == 0 || sum.scarce == 0 || sum.breaches == 0 || sum.changes == 0 {
		t.Errorf("the simulation shows too little: %+v", sum)
	}
	// Published in docs/methods/visit.md.
	if ratio := float64(sum.forced) / float64(sum.least); ratio > 1.03 {
		t.Errorf("%.4f times the least possible work is demanded", ratio)
	}
}

type rotaSum struct {
	changes                                        int
	visits, forced, least, breaches, ample, scarce int
	worst                                          float64
}

// change is a change of configuration, on the day of a visit.
type change struct {
	on       visit.Day
	affected []int
}

// rota is one site and its five years.
type rota struct {
	*book
	rng      *rand.Rand
	rules    []sootline.ServiceRule
	start    visit.Day
	end      visit.Day
	days     []visit.Day // of visits
	minutes  int
	changing bool // its configuration is changed now and then
	kinds    []sootline.DeviceKind
	zones    []string
	loops    []string
	tests    [][]visit.Day // by point, in order
	reads    [][]visit.Day
	free     [][]visit.Day // tests by the user
	renewed  [][]visit.Day
	aged     []bool
	changes  []change
	pressed  int
	forced   int
	left     []map[string]bool // by visit: what the plan said it left, as "point work"
}

func newRota(t *testing.T, seed uint64) *rota {
	rng := rand.New(rand.NewPCG(seed, 7))
	sets := visit.Sets()
	s := sets[int(seed)%len(sets)]
	service := sootline.Service{Rules: s.Rules}
	for a := range 6 {
		service.Areas = append(service.Areas, sootline.ServiceArea{Area: fmt.Sprint("area ", a), Setup: rng.IntN(20)})
	}
	r := &rota{book: newBook(t, service), rng: rng, rules: s.Rules, start: visit.Date(2020, 1, 1) + visit.Day(rng.IntN(366)), minutes: 100_000}
	if seed%4 == 3 {
		r.minutes = 90 // too little for some
	}
	retest := slices.ContainsFunc(s.Rules, func(rule sootline.ServiceRule) bool { return rule.Form == sootline.RetestForm })
	r.changing = retest && seed%4 == 1
	types := []string{"Larch", "Larch", "Larch", "Elder", "Press", "Aged"}
	for range 20 + rng.IntN(80) {
		typ := types[rng.IntN(len(types))]
		place := sootline.Place{Zone: fmt.Sprint(1 + rng.IntN(6)), Area: fmt.Sprint("area ", rng.IntN(6)), Loop: fmt.Sprint(1 + rng.IntN(2))}
		r.fit(morning(r.start), typ, place)
		r.kinds = append(r.kinds, map[string]sootline.DeviceKind{"Larch": sootline.Smoke, "Aged": sootline.Smoke, "Elder": sootline.Heat, "Press": sootline.CallPoint}[typ])
		r.aged = append(r.aged, typ == "Aged")
		r.zones, r.loops = append(r.zones, place.Zone), append(r.loops, place.Loop)
	}
	n := len(r.ids)
	r.tests, r.reads, r.free, r.renewed = make([][]visit.Day, n), make([][]visit.Day, n), make([][]visit.Day, n), make([][]visit.Day, n)
	r.end = clamp(r.start, 60)
	return r
}

// live plays the five years. The day of the visit after the next is known when
// a visit is planned, as a rota has it; days wander within what the rules allow.
func (r *rota) live() {
	at := r.next(r.start)
	r.week(r.start, at)
	r.add(morning(r.start), sootline.ID{}, sootline.Visit{State: "closed"}) // handed over
	for at < r.end {
		next := r.next(at)
		r.attend(at, next)
		r.week(at, next)
		at = next
	}
}

// next gives the day of the following visit: within the window of the rule, or
// up to three weeks before its last day.
func (r *rota) next(at visit.Day) visit.Day {
	rule := r.rules[slices.IndexFunc(r.rules, func(rule sootline.ServiceRule) bool { return rule.Form == sootline.VisitForm })]
	if rule.To != 0 {
		first, last := clamp(at, rule.From), clamp(at, rule.To)
		return first + visit.Day(r.rng.IntN(int(last-first)+1))
	}
	return clamp(at, rule.Months) - visit.Day(r.rng.IntN(22))
}

// week lets the user operate a call point each week, in turn.
func (r *rota) week(from, to visit.Day) {
	var presses []int
	for p, kind := range r.kinds {
		if kind == sootline.CallPoint {
			presses = append(presses, p)
		}
	}
	rotation := slices.ContainsFunc(r.rules, func(rule sootline.ServiceRule) bool { return rule.Form == sootline.RotationForm })
	for d := from + 7; rotation && len(presses) > 0 && d < to; d += 7 {
		p := presses[r.pressed%len(presses)]
		r.pressed++
		r.test(morning(d), p)
		r.free[p] = append(r.free[p], d)
	}
}

func (r *rota) attend(at, next visit.Day) {
	if r.changing && r.rng.IntN(3) == 0 {
		c := change{on: at, affected: r.rng.Perm(len(r.ids))[:3]}
		r.changes = append(r.changes, c)
		r.add(morning(at).Add(-time.Hour), sootline.ID{}, sootline.Changed{
			Text: "site software", Points: []sootline.ID{r.ids[c.affected[0]], r.ids[c.affected[1]], r.ids[c.affected[2]]},
		})
	}
	register := r.fold(at)
	plan := visit.Make(register, visit.Wish{Minutes: r.minutes, Obligations: visit.List(register, visit.Input{On: at, Next: next})})
	if plan.Work+plan.Setup > r.minutes {
		r.t.Fatalf("%d minutes planned of %d", plan.Work+plan.Setup, r.minutes)
	}
	index := map[sootline.ID]int{}
	for p, id := range r.ids {
		index[id] = p
	}
	for _, stop := range plan.Stops {
		r.work(at, index[stop.Point.ID], stop.Tasks)
	}
	left := map[string]bool{}
	for _, l := range plan.Left {
		if l.Why == "" {
			r.t.Fatalf("left without a reason: %+v", l)
		}
		left[fmt.Sprint(index[l.Point.ID], " ", l.Work)] = true
	}
	r.days, r.left = append(r.days, at), append(r.left, left)
	r.book.visit(morning(at))
}

func (r *rota) work(at visit.Day, p int, tasks []visit.Task) {
	replaced := false
	for _, task := range tasks {
		switch task.Work {
		case visit.Test:
			r.forced++
		case visit.Read:
			r.read(morning(at), p, 30)
			r.reads[p] = append(r.reads[p], at)
		case visit.Replace:
			r.add(morning(at).Add(time.Hour), r.ids[p], sootline.Replaced{})
			r.renewed[p] = append(r.renewed[p], at)
			replaced = true
		}
	}
	if replaced || slices.ContainsFunc(tasks, func(t visit.Task) bool { return t.Work == visit.Test }) {
		r.test(morning(at).Add(2*time.Hour), p) // a unit that was replaced is tested, too
		r.tests[p] = append(r.tests[p], at)
	}
}

// clamp adds months as the rule of docs/methods/visit.md says, by another way
// than the engine: day by day back from where the time package lands.
func clamp(d visit.Day, months int) visit.Day {
	from := d.Time()
	to := from.AddDate(0, months, 0)
	for to.Day() != from.Day() && to.Day() < 4 { // ran over into the next month
		to = to.AddDate(0, 0, -1)
	}
	return visit.Day(to.Unix() / 86400)
}
