package app

import (
	"context"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// Caution is a thing to be confirmed before a visit begins.
type Caution struct{ Key, Text string }

// DisabledCaution is the key of the caution that asks what is taken out of use.
const DisabledCaution = "disabled"

// Cautions lists what is confirmed before a visit begins.
func Cautions() []Caution {
	return []Caution{
		{"responsible", "the responsible person knows and agrees, and the people in the building know"},
		{"monitoring", "the monitoring centre, where there is one, is told"},
		{"outputs", "outputs that must not act are inhibited: sounders, doors, lifts, fans, extinguishing, shutdowns"},
		{DisabledCaution, "what is taken out of use is written down, with who did it, or nothing is"},
	}
}

// Opening is what begins a visit.
type Opening struct {
	VisitWish
	Confirmed []string // the keys of all cautions
	Disabled  []string // what is taken out of use for it, and by whom
	Text      string
}

// OpenVisit plans a visit and logs that it begins, with what is out of use for it.
func (a *App) OpenVisit(ctx context.Context, site store.SiteLine, o Opening) (VisitPlan, error) {
	if err := a.Who.MaySee(site.ID); err != nil {
		return VisitPlan{}, err
	}
	var missing []string
	for _, c := range Cautions() {
		if !slices.Contains(o.Confirmed, c.Key) {
			missing = append(missing, c.Key)
		}
	}
	if len(missing) > 0 {
		return VisitPlan{}, sootline.Errorf(sootline.Invalid, "do it, then confirm it",
			"not confirmed yet: %s", strings.Join(missing, ", ")).Do(sootline.Give, "confirm", strings.Join(missing, ","))
	}
	if o.On.After(a.Now().Add(24 * time.Hour)) {
		return VisitPlan{}, sootline.Errorf(sootline.Invalid, "a log book holds what happened", "the visit begins in the future")
	}
	var plan VisitPlan
	a = a.attending()
	err := a.settle(ctx, site.ID, func() (entries []sootline.Entry, err error) {
		plan, entries, err = a.opening(ctx, site, o)
		return entries, err
	})
	return plan, err
}

// attending gives the use cases to who opens or closes a visit, which a phone may.
func (a *App) attending() *App {
	attends := *a
	attends.Who.Attends = true
	return &attends
}

// opening plans a visit and makes the entries that begin it.
func (a *App) opening(ctx context.Context, site store.SiteLine, o Opening) (VisitPlan, []sootline.Entry, error) {
	plan, err := a.PlanVisit(ctx, site, o.VisitWish)
	if err != nil {
		return VisitPlan{}, nil, err
	}
	all, err := a.Register(ctx, site.ID, time.Time{})
	if err != nil {
		return VisitPlan{}, nil, err
	}
	if why := visit.Clash(all, sootline.Instant(o.On), plan.Zone); why != "" {
		return VisitPlan{}, nil, sootline.Errorf(sootline.Conflict, "close the one that is open, or say when this one began", "two visits cannot last at once: %s", why).Do(sootline.CloseVisit)
	}
	opened := sootline.Visit{State: sootline.VisitOpened, Text: o.Text, Confirmed: o.Confirmed, Disabled: o.Disabled, Minutes: o.Minutes}
	for _, stop := range plan.Stops {
		opened.Round = append(opened.Round, stop.Point.ID)
		opened.Work = append(opened.Work, worksOf(stop))
	}
	entries := []sootline.Entry{a.entry(site.ID, o.On, sootline.ID{}, opened)}
	for _, what := range o.Disabled {
		entries = append(entries, a.entry(site.ID, o.On, sootline.ID{}, sootline.Disabled{Cause: "visit", Text: what}))
	}
	return plan, entries, nil
}

// worksOf lists the work planned at a stop.
func worksOf(stop visit.Stop) []string {
	works := make([]string, len(stop.Tasks))
	for i := range stop.Tasks {
		works[i] = stop.Tasks[i].Work
	}
	return works
}

// VisitState is how an open visit stands.
type VisitState struct {
	DueList
	Visit    *visit.Attendance
	Standing []OutOfUse
	Undone   []visit.LeftUndone // of the round, where something planned was not done
	Asked    []Asked            // questions that nobody answered
	Walk     visit.WalkTest
	After    DueList // what is due once it is closed; empty before
}

// VisitState says how the visit stands that is open at an instant.
func (a *App) VisitState(ctx context.Context, site store.SiteLine, at time.Time) (VisitState, error) {
	due, err := a.Due(ctx, site, at)
	if err != nil {
		return VisitState{}, err
	}
	open := visit.Open(due.Register)
	if open == nil {
		return VisitState{}, noneOpen(due)
	}
	sorted := RaisedOf(SignalsOf(due.Register, due.Zone))
	return VisitState{
		DueList: due, Visit: open, Undone: visit.Undone(open.ClosedAt(at), sorted, due.Zone), Standing: due.Standing(),
		Asked: openQuestions(due.Register, judge.Unwritten(due.Register), due.Zone), Walk: visit.Walk(due.Register, open, sorted, due.Zone),
	}, nil
}

// noneOpen says that no visit is open, and which one was left open before another
// began.
func noneOpen(due DueList) error {
	var forgotten *visit.Attendance
	all := visit.Attendances(due.Register)
	for i := range all {
		if all[i].Closed == nil {
			forgotten = &all[i]
		}
	}
	if forgotten == nil {
		return sootline.Errorf(sootline.NotFound, "begin one", "no visit is open").Do(sootline.OpenVisit)
	}
	return sootline.Errorf(sootline.NotFound, "say when that one ended", "no visit is open now; the visit of %s was never closed, and another began after it",
		forgotten.From().In(due.Zone).Format("2006-01-02 15:04")).Do(sootline.Give, "at")
}

// notClosed refuses to close a visit within which an instant lies that was closed
// already, at a later hour.
func (a *App) notClosed(ctx context.Context, site sootline.ID, at time.Time) error {
	all, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return err
	}
	for _, v := range visit.Attendances(all) {
		if v.Opened != nil && v.Closed != nil && !at.Before(v.From()) && at.Before(v.To()) {
			return sootline.Errorf(sootline.Conflict, "correct that entry, if it ended at another hour", "this visit was closed already, at %s",
				v.To().Format("2006-01-02 15:04")).Do(sootline.CorrectEntry, v.Closed.Entry.ID.String())
		}
	}
	return nil
}

// Closing is what ends a visit.
type Closing struct {
	At       time.Time // zero: now
	Normal   bool
	Restored []string // what was taken out of use for the visit and is back in use, in the words of its opening
	Text     string
}

// CloseVisit logs that the open visit ends, with all that it leaves. A site on
// which something is out of use is not left in normal operation.
func (a *App) CloseVisit(ctx context.Context, site store.SiteLine, c Closing) (VisitState, error) {
	var s VisitState
	a = a.attending()
	err := a.settle(ctx, site.ID, func() (entries []sootline.Entry, err error) {
		s, entries, err = a.closing(ctx, site, c)
		return entries, err
	})
	if err == nil && a.Closed != nil {
		a.Closed()
	}
	return s, err
}

// closing makes the entries that end the visit that is open.
func (a *App) closing(ctx context.Context, site store.SiteLine, c Closing) (VisitState, []sootline.Entry, error) {
	at := c.At
	if at.IsZero() {
		at = a.Now()
	}
	if err := a.notClosed(ctx, site.ID, at); err != nil {
		return VisitState{}, nil, err
	}
	s, err := a.VisitState(ctx, site, at)
	if err != nil {
		return s, nil, err
	}
	if at.Before(s.Visit.From()) || at.After(a.Now().Add(24*time.Hour)) {
		return s, nil, sootline.Errorf(sootline.Invalid, "say when it ended", "a visit cannot end before it began, nor in the future").Do(sootline.Give, "at")
	}
	entries, err := a.restore(site, at, &s, c.Restored)
	if err != nil {
		return s, nil, err
	}
	var standing []string
	for _, o := range s.Standing {
		standing = append(standing, o.String())
	}
	if c.Normal && len(standing) > 0 {
		return s, nil, notNormal(standing)
	}
	closed := sootline.Visit{State: sootline.VisitClosed, Text: c.Text, Left: sootline.LeftNotNormal, Standing: standing, Asked: len(s.Asked)}
	if c.Normal {
		closed.Left = sootline.LeftNormal
	}
	for _, left := range s.Undone {
		closed.Untested = append(closed.Untested, left.Point.ID)
	}
	// The closing counts as a visit, so it decides what is due next.
	log, err := a.LogOf(ctx, site.ID)
	if err != nil {
		return s, nil, err
	}
	s.After, err = dueBy(site, log.With(append(slices.Clone(entries), a.entry(site.ID, at, sootline.ID{}, closed))), at, 0)
	if err != nil {
		return s, nil, err
	}
	closed.Next = s.After.Next().Day.String()
	entries = append(entries, a.entry(site.ID, at, sootline.ID{}, closed))
	return s, entries, nil
}

// notNormal refuses to say that a site is left in normal operation of which
// something is out of use.
func notNormal(standing []string) error {
	return sootline.Errorf(sootline.Conflict, "put it back into use and say so",
		"the site is not in normal operation: out of use: %s", strings.Join(standing, "; ")).Do(sootline.Give, "restored").
		Or("or write it down").Do(sootline.AddEntry, string(sootline.RestoredKind)).Or("else close it as not normal").Do(sootline.Give, "not-normal")
}

// restore makes the entries that put parts of the site back into use, and takes
// these off what stands.
func (a *App) restore(site store.SiteLine, at time.Time, s *VisitState, whats []string) ([]sootline.Entry, error) {
	var entries []sootline.Entry
	for _, what := range whats {
		i := slices.IndexFunc(s.Standing, func(o OutOfUse) bool { return o.Point == nil && o.What == what })
		if i < 0 {
			return nil, sootline.Errorf(sootline.NotFound, "give it in the words in which it was taken out of use; the walk lists them", "%q is not out of use", what).Do(sootline.WalkVisit)
		}
		s.Standing = slices.Delete(s.Standing, i, i+1)
		entries = append(entries, a.entry(site.ID, at, sootline.ID{}, sootline.Restored{Text: what}))
	}
	return entries, nil
}

// PastVisit is a visit, and what of its round was not done in it.
type PastVisit struct {
	visit.Attendance
	Undone []visit.LeftUndone
}

// Visits lists the visits of a site in order.
func (a *App) Visits(ctx context.Context, site store.SiteLine) (*sootline.Register, []PastVisit, error) {
	r, err := a.Register(ctx, site.ID, a.Now())
	if err != nil {
		return nil, nil, err
	}
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, nil, err
	}
	sorted := RaisedOf(SignalsOf(r, zone))
	var all []PastVisit
	for _, attended := range visit.Attendances(r) {
		all = append(all, PastVisit{attended, visit.Undone(&attended, sorted, zone)})
	}
	return r, all, nil
}
