package app

import (
	"context"
	"slices"
	"time"

	"sootline"
	"sootline/internal/address"
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
	Cards    map[sootline.ID]string // setting cards, drawn
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

func cardsOf(r *sootline.Register) (map[sootline.ID]string, error) {
	loops, err := loopsOf(r)
	if err != nil {
		return nil, err
	}
	cards := map[sootline.ID]string{}
	for _, l := range loops {
		for _, d := range l.Devices {
			card := address.NewCard(d, l.Span)
			cards[d.ID] = card.Draw()
		}
	}
	return cards, nil
}

// stopsAtOpening gives the round with what was to be done at each point when the
// visit began: by the log of before, since what is done meanwhile is due no more.
func (a *App) stopsAtOpening(ctx context.Context, site store.SiteLine, open *visit.Attendance) ([]visit.Stop, *sootline.Register, error) {
	entries, err := a.Book.Entries(ctx, site.ID)
	if err != nil {
		return nil, nil, err
	}
	from := open.From()
	entries = slices.DeleteFunc(entries, func(e sootline.Entry) bool { return !e.At.Before(from) })
	due, err := dueBy(site, entries, from, 0)
	if err != nil {
		return nil, nil, err
	}
	minutes := open.Said().Minutes
	if minutes < 1 {
		minutes = 1
	}
	plan := planOf(due, VisitWish{On: from, Minutes: minutes})
	byPoint := map[sootline.ID]visit.Stop{}
	for _, stop := range plan.Stops {
		byPoint[stop.Point.ID] = stop
	}
	stops := make([]visit.Stop, len(open.Round))
	for i, p := range open.Round {
		stops[i] = visit.Stop{Point: p, Floor: due.Register.Floor(p), Tasks: byPoint[p.ID].Tasks}
	}
	return stops, due.Register, nil
}

// Done is an entry of the visit about its work, and whether it was taken back.
type Done struct {
	*sootline.Entry
	Withdrawn bool
}

// VisitDone is what was done in the visit that is open, by all stations.
type VisitDone struct {
	Visit       *visit.Attendance // nil: none is open
	Done        []Done            // in order
	Differences []Difference
	Off         []OutOfUse
}

// VisitDone gathers what was done in the visit that is open.
func (a *App) VisitDone(ctx context.Context, site store.SiteLine) (VisitDone, error) {
	entries, err := a.Book.Entries(ctx, site.ID)
	if err != nil {
		return VisitDone{}, err
	}
	r := sootline.Fold(entries, always)
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return VisitDone{}, err
	}
	list := DueList{Site: site, Register: r, Zone: zone}
	done := VisitDone{Visit: visit.Open(r), Off: list.Standing()}
	if done.Visit == nil {
		return done, nil
	}
	done.Done = workSince(entries, done.Visit.From())
	done.Differences = differences(r, done.Done)
	return done, nil
}

// workSince lists the entries about work at points since an instant, in order.
func workSince(entries []sootline.Entry, from time.Time) []Done {
	slices.SortFunc(entries, func(a, b sootline.Entry) int { return sootline.Compare(&a, &b) })
	amended := sootline.Amendments(entries)
	var all []Done
	var last sootline.ID
	for i := range entries {
		e := &entries[i]
		if e.At.Before(from) || e.ID == last || e.Point.Zero() || !capturable(e.Body) {
			continue
		}
		last = e.ID
		one := Done{Entry: e}
		if by := amended[e.ID]; by != nil {
			c, ok := by.Body.(sootline.Corrected)
			one.Withdrawn = !ok
			if ok {
				corrected := *e
				corrected.At, corrected.Point, corrected.Body = c.At, c.Point, c.Body
				one.Entry = &corrected
			}
		}
		all = append(all, one)
	}
	return all
}

// ValueOf is the value of a reading: the median of its samples.
func ValueOf(reading *sootline.Reading) float64 {
	value, _ := robust.Median(reading.Samples)
	return value
}
