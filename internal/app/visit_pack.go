package app

import (
	"context"
	"slices"
	"time"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/robust"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// Expectation is what a value read now is held against.
type Expectation = judge.Expectation

// VisitPack is all that a phone needs to walk a round without network.
type VisitPack struct {
	DueList
	Visit    *visit.Attendance
	Before   *sootline.Register // as the visit found the site
	Stops    []visit.Stop       // of the round, in its order; without tasks where the plan of then has none
	Expected map[sootline.ID]Expectation
	Cards    map[sootline.ID]NumberCard // setting cards
}

// VisitPack gathers what a phone needs for the visit that is open.
func (a *App) VisitPack(ctx context.Context, site store.SiteLine) (VisitPack, error) {
	now := a.Now()
	due, err := a.Due(ctx, site, now)
	if err != nil {
		return VisitPack{}, err
	}
	open := visit.Open(due.Register)
	if open == nil {
		return VisitPack{}, sootline.Errorf(sootline.NotFound, "open one first", "no visit is open")
	}
	pack := VisitPack{DueList: due, Visit: open, Expected: map[sootline.ID]Expectation{}}
	for _, x := range judge.Expect(due.Register, now) {
		pack.Expected[x.Point.ID] = x
	}
	if pack.Cards, err = cardsOf(due.Register); err != nil {
		pack.Cards = nil // what is wrong with a loop's rules is told where numbers are planned
	}
	pack.Stops, pack.Before, err = a.stopsAtOpening(ctx, site, open)
	return pack, err
}

// stopsAtOpening gives the round with what was to be done at each point when the
// visit began: by the log of before, since what is done meanwhile is due no more.
func (a *App) stopsAtOpening(ctx context.Context, site store.SiteLine, open *visit.Attendance) ([]visit.Stop, *sootline.Register, error) {
	log, err := a.LogOf(ctx, site.ID)
	if err != nil {
		return nil, nil, err
	}
	return stopsOf(ctx, site, log, open)
}

// stopsOf plans by the log of before the visit.
func stopsOf(ctx context.Context, site store.SiteLine, log *sootline.Log, open *visit.Attendance) ([]visit.Stop, *sootline.Register, error) {
	from := open.From()
	due, err := dueBy(site, log, from.Add(-time.Millisecond), 0)
	if err != nil {
		return nil, nil, err
	}
	minutes := open.Said().Minutes
	if minutes < 1 {
		minutes = 1
	}
	plan, err := planOf(ctx, due, VisitWish{On: from, Minutes: minutes})
	if err != nil {
		return nil, nil, err
	}
	byPoint := map[sootline.ID]visit.Stop{}
	for _, stop := range plan.Stops {
		byPoint[stop.Point.ID] = stop
	}
	stops := make([]visit.Stop, len(open.Round))
	for i, p := range open.Round {
		stops[i] = visit.Stop{Point: p, Floor: due.Register.Floor(p), Tasks: tasksOf(open, i, byPoint[p.ID].Tasks)}
	}
	return stops, due.Register, nil
}

// tasksOf gives the work that the opening wrote down for a point, with the reasons
// that the plan of then gives; where none was written down, the plan's own.
func tasksOf(open *visit.Attendance, turn int, planned []visit.Task) []visit.Task {
	if len(open.Work) == 0 {
		return planned
	}
	var tasks []visit.Task
	for _, work := range open.Work[turn] {
		at := slices.IndexFunc(planned, func(t visit.Task) bool { return t.Work == work })
		if at >= 0 {
			tasks = append(tasks, planned[at])
		} else {
			tasks = append(tasks, visit.Task{Point: open.Round[turn], Work: work})
		}
	}
	return tasks
}

// Done is an entry of the visit about its work, and whether it was taken back.
type Done struct {
	*sootline.Entry
	Withdrawn bool
}

// VisitDone is what was done in the visit that is open, by all stations.
type VisitDone struct {
	Visit       *visit.Attendance  // nil: none is open
	Done        []Done             // in order
	Undone      []visit.LeftUndone // of the round
	Differences []Difference
	Off         []OutOfUse
	Unlike      []visit.Tick // what a panel said of activations that the register has otherwise
}

// VisitDone gathers what was done in the visit that is open.
func (a *App) VisitDone(ctx context.Context, site store.SiteLine) (VisitDone, error) {
	log, err := a.LogOf(ctx, site.ID)
	if err != nil {
		return VisitDone{}, err
	}
	// A phone asks this every few seconds: it costs what the visit holds, not what
	// the log has grown to.
	r := log.FoldPlaces(Always)
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return VisitDone{}, err
	}
	if open := visit.Open(r); open != nil {
		r = log.FoldSince(beginning(open, zone), Always)
	}
	list := DueList{Site: site, Register: r, Zone: zone}
	done := VisitDone{Visit: visit.Open(r), Off: list.Standing()}
	if done.Visit == nil {
		return done, nil
	}
	sorted := RaisedOf(SignalsOf(r, zone))
	done.Done = workOf(log, done.Visit, sorted.Tests, zone)
	done.Undone = visit.Undone(done.Visit, sorted, zone)
	done.Differences = differences(r, done.Done)
	done.Unlike = visit.Unlike(r, done.Visit, zone)
	return done, nil
}

// workOf lists the entries about work at points in a visit, in order, with the
// alarms that were tests.
func workOf(log *sootline.Log, a *visit.Attendance, tests map[sootline.ID]bool, zone *time.Location) []Done {
	var all []Done
	known := map[sootline.ID]bool{}
	from := beginning(a, zone)
	for _, e := range slices.Concat(log.WrittenSince(from), log.HoldingSince(from)) { // what was withdrawn, and what was corrected to that day
		if known[e.ID] {
			continue
		}
		known[e.ID] = true
		one := holding(e, log.Amendment(e.ID))
		if one.Point.Zero() || !a.Holds(one.Entry, zone) || !capturable(one.Body) && !tests[one.ID] {
			continue
		}
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b Done) int { return sootline.Compare(a.Entry, b.Entry) })
	return all
}

// beginning is the begin of the day on which a visit began: what has only its day
// may stand before its hour.
func beginning(a *visit.Attendance, zone *time.Location) time.Time {
	y, m, d := a.From().In(zone).Date()
	return sootline.DayBegins(y, m, d, zone)
}

// holding gives what holds of an entry.
func holding(e, amended *sootline.Entry) Done {
	if amended == nil {
		return Done{Entry: e}
	}
	c, ok := amended.Body.(sootline.Corrected)
	if !ok {
		return Done{Entry: e, Withdrawn: true}
	}
	corrected := *e
	corrected.At, corrected.Day, corrected.Point, corrected.Body = c.At, c.Day, c.Point, c.Body
	return Done{Entry: &corrected}
}

// ValueOf is the value of a reading: the median of its samples.
func ValueOf(reading *sootline.Reading) float64 {
	value, _ := robust.Median(reading.Samples)
	return value
}
