package app

import (
	"context"
	"io"
	"reflect"
	"time"

	"sootline"
	"sootline/internal/count"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// DueList is what is due on one site as of a day; or why nobody can say.
type DueList struct {
	Trouble     error // not nil: the site cannot be shown, and nothing below it is known but the site
	Site        store.SiteLine
	Register    *sootline.Register
	On          visit.Day
	Zone        *time.Location
	Obligations []visit.Obligation
}

// Due says what the rules of a site ask for as of an instant.
func (a *App) Due(ctx context.Context, site store.SiteLine, on time.Time) (DueList, error) {
	return a.due(ctx, site, on, 0)
}

// due is Due with the day of the visit after the next; 0: as the rules say.
func (a *App) due(ctx context.Context, site store.SiteLine, on time.Time, next visit.Day) (DueList, error) {
	log, err := a.LogOf(ctx, site.ID)
	if err != nil {
		return DueList{}, err
	}
	return dueBy(site, log, on, next)
}

// dueBy says what is due by a log.
func dueBy(site store.SiteLine, log *sootline.Log, on time.Time, next visit.Day) (DueList, error) {
	zone, err := Zone(log.FoldPlaces(on).Site.Zone)
	if err != nil {
		return DueList{}, err
	}
	// Due dates go by the day: what a list dates by the day alone counts from its morning.
	y, m, d := on.In(zone).Date()
	r := log.Fold(sootline.DayEnds(y, m, d, zone))
	r.In(zone)
	list := DueList{Site: site, Register: r, On: visit.DayOf(on, zone), Zone: zone}
	list.Obligations = Obligations(r, SignalsOf(r, zone), list.On, next, zone)
	return list, nil
}

// DueList says what is due on the day of the survey, as [App.Due] does.
func (s *Survey) DueList(site store.SiteLine) (DueList, error) {
	y, m, d := s.On.Date() // in the site's zone
	if next := s.Until(); !next.IsZero() && !next.After(sootline.DayEnds(y, m, d, s.Zone)) {
		return dueBy(site, s.log, s.On, 0) // more comes to hold on this day yet
	}
	list := DueList{Site: site, Register: s.Register, On: visit.DayOf(s.On, s.Zone), Zone: s.Zone}
	list.Obligations = Obligations(s.Register, s.Signals(), list.On, 0, s.Zone)
	return list, nil
}

// OutOfUse is a part of the site, or a point, that is out of use.
type OutOfUse struct {
	What  string
	Point *sootline.Point // nil: a part of the site
	Since visit.Day
}

// String says what it is and since when.
func (o OutOfUse) String() string {
	if !o.Since.Known() {
		return o.What
	}
	return o.What + " (since " + o.Since.String() + ")"
}

// Standing lists what is out of use on the site.
func (l *DueList) Standing() []OutOfUse {
	var all []OutOfUse
	for _, event := range visit.Standing(l.Register) {
		all = append(all, OutOfUse{What: event.Text, Since: visit.DayOf(event.At, l.Zone)})
	}
	for _, p := range l.Register.Points() {
		if p.Disabled != nil {
			all = append(all, OutOfUse{"point " + p.Ref().String(), p, visit.DayOf(p.Disabled.At, l.Zone)})
		}
	}
	return all
}

// Forgotten gives the day of a visit that is still open and began before this
// day; 0 when there is none.
func (l *DueList) Forgotten() visit.Day {
	open := visit.Open(l.Register)
	if open == nil {
		return 0
	}
	if day := visit.DayOf(open.From(), l.Zone); day < l.On {
		return day
	}
	return 0
}

// Next is when the next thing is due.
func (l *DueList) Next() visit.Next { return visit.NextDue(l.Obligations, l.On) }

// Count tells how many obligations are in a state.
func (l *DueList) Count(state visit.State) int {
	n := 0
	for i := range l.Obligations {
		if l.Obligations[i].State == state {
			n++
		}
	}
	return n
}

// DueOn says what the rules of a site ask for on a day of its own calendar; 0: now.
func (a *App) DueOn(ctx context.Context, site store.SiteLine, on visit.Day) (DueList, error) {
	log, err := a.LogOf(ctx, site.ID)
	if err != nil {
		return DueList{}, err
	}
	if !on.Known() {
		return dueBy(site, log, a.Now(), 0)
	}
	zone, err := Zone(log.FoldPlaces(Always).Site.Zone)
	if err != nil {
		return DueList{}, err
	}
	y, m, d := on.Time().Date()
	return dueBy(site, log, sootline.DayEnds(y, m, d, zone), 0)
}

// DueEverywhere says what is due on every site of the book, on a day that is
// each site's own; 0: now. A site that cannot be shown stands among the others, with
// the reason.
func (a *App) DueEverywhere(ctx context.Context, on visit.Day) ([]DueList, error) {
	sites, err := a.Sites(ctx)
	if err != nil {
		return nil, err
	}
	var lists []DueList
	for i, site := range sites {
		a.progress("due dates", i, len(sites))
		var list DueList
		err := ForSite(ctx, site, func() (err error) {
			list, err = a.DueOn(ctx, site, on)
			return err
		})
		if gone := ctx.Err(); gone != nil {
			return nil, gone
		}
		if err != nil {
			list = DueList{Trouble: err, Site: site}
		}
		lists = append(lists, list)
	}
	return lists, nil
}

// Obligations says what the rules of a site ask for on a day. The register must
// have been folded as of that day, and the signals be its own.
func Obligations(r *sootline.Register, signals *count.Signals, on, next visit.Day, zone *time.Location) []visit.Obligation {
	in := visit.Input{On: on, Next: next, Zone: zone, Raised: RaisedOf(signals)}
	for i := range signals.All {
		if s := &signals.All[i]; s.Point != nil && s.Point.Removed == nil && s.Counts() {
			in.Unwanted = append(in.Unwanted, visit.Alarm{At: s.At, Point: s.Point})
		}
	}
	return visit.List(r, in)
}

// DueCalendar writes what is due as an iCalendar feed.
func (a *App) DueCalendar(w io.Writer, lists []DueList) error {
	var feeds []visit.Feed
	for _, list := range lists {
		feed := visit.Feed{Site: list.Site.ID, Name: list.Site.Name, Days: visit.DueDays(list.Obligations)}
		if list.Trouble != nil {
			feed.Trouble = list.Trouble.Error()
		}
		feeds = append(feeds, feed)
	}
	return visit.Calendar(w, a.Now(), feeds)
}

// SetService states how a site is looked after, from now on.
func (a *App) SetService(ctx context.Context, site sootline.ID, service sootline.Service) error {
	return a.add(ctx, site, a.entry(site, a.Now(), sootline.ID{}, service))
}

// ruleSet finds a set of rules by its name.
func ruleSet(name string) (RuleSet, error) {
	sets := RuleSets()
	for _, set := range sets {
		if set.Name == name {
			return set, nil
		}
	}
	return RuleSet{}, sootline.Errorf(sootline.Invalid, "choose one of the list", "there is no set of rules named %q", name)
}

// RuleSetOf names the set of rules that was chosen for a site, word for word; empty:
// nobody chose, or the site has rules of its own.
func RuleSetOf(r *sootline.Register) string {
	for _, set := range RuleSets() {
		if reflect.DeepEqual(r.Site.Service.Rules, set.Rules) {
			return set.Name
		}
	}
	return ""
}

// ChooseRules states by which set of rules things fall due on a site, from now on. What
// else was said of how it is looked after stays.
func (a *App) ChooseRules(ctx context.Context, site sootline.ID, name string) error {
	if err := a.Who.MaySee(site); err != nil {
		return err
	}
	set, err := ruleSet(name)
	if err != nil {
		return err
	}
	return a.settle(ctx, site, func() ([]sootline.Entry, error) {
		r, err := a.Register(ctx, site, a.Now())
		if err != nil || RuleSetOf(r) == name {
			return nil, err
		}
		service := r.Site.Service
		service.Rules = set.Rules
		return []sootline.Entry{a.entry(site, a.Now(), sootline.ID{}, service)}, nil
	})
}

// NoteChange logs a change of configuration and the points known to be affected.
func (a *App) NoteChange(ctx context.Context, site sootline.ID, at sootline.Moment, text string, names []string) (sootline.Entry, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return sootline.Entry{}, err
	}
	changed := sootline.Changed{Text: text}
	for _, name := range names {
		p, err := PointNamed(r, name)
		if err != nil {
			return sootline.Entry{}, err
		}
		changed.Points = append(changed.Points, p.ID)
	}
	return a.AddEntry(ctx, site, Note{At: at.At, Day: at.Day, Body: changed})
}
