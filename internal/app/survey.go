package app

import (
	"cmp"
	"context"
	"slices"
	"sync"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/check"
	"sootline/internal/count"
	"sootline/internal/judge"
	"sootline/internal/robust"
	"sootline/internal/store"
)

// Survey is everything that the log of a site comes to at an instant, for all who
// want to see it: folded at once, judged when somebody first asks. It must not be
// changed.
type Survey struct {
	Register *sootline.Register
	On       time.Time
	Zone     *time.Location // of the site

	log      *sootline.Log
	assessed func() *assessed
	findings func() []sootline.Finding
	signals  func() *count.Signals
	news     func() []*sootline.Entry
}

// assessed is what the readings of a site come to.
type assessed struct {
	judge.Assessment
	asked   []Asked
	byPoint map[*sootline.Point]*Judgement
}

// Judged gives what the readings come to.
func (s *Survey) Judged() *judge.Assessment { return &s.assessed().Assessment }

// Asked lists the open questions.
func (s *Survey) Asked() []Asked { return s.assessed().asked }

// Findings lists what is wrong, as [App.Check] gives it.
func (s *Survey) Findings() []sootline.Finding { return s.findings() }

// News lists the latest entries to be written down, the last one first.
func (s *Survey) News() []*sootline.Entry { return s.news() }

// mostNews is how many of the latest entries a survey keeps at hand.
const mostNews = 200

// Survey folds and judges a site as of an instant.
func (a *App) Survey(ctx context.Context, site sootline.ID, on time.Time) (*Survey, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	r, zone, err := fold(log, on)
	if err != nil {
		return nil, err
	}
	return surveyAgain(r, log, on, zone, a.Logs.memory(site)), nil
}

// SurveyOf is the survey of a register that was folded from the log as of on.
func SurveyOf(r *sootline.Register, log *sootline.Log, on time.Time, zone *time.Location) *Survey {
	return surveyAgain(r, log, on, zone, nil)
}

// surveyAgain is SurveyOf with the memory of the surveys before.
func surveyAgain(r *sootline.Register, log *sootline.Log, on time.Time, zone *time.Location, memory *robust.Memory) *Survey {
	on = on.In(zone)
	return &Survey{
		Register: r, On: on, Zone: zone, log: log,
		assessed: sync.OnceValue(func() *assessed { return assess(r, on, zone, memory) }),
		findings: sync.OnceValue(func() []sootline.Finding { return findings(r, on) }),
		signals:  sync.OnceValue(func() *count.Signals { return SignalsOf(r, zone) }),
		news:     sync.OnceValue(func() []*sootline.Entry { return news(log) }),
	}
}

func assess(r *sootline.Register, on time.Time, zone *time.Location, memory *robust.Memory) *assessed {
	j := &assessed{Assessment: judge.AssessAgain(r, on, memory), byPoint: map[*sootline.Point]*Judgement{}}
	j.asked = openQuestions(r, j.Questions, zone)
	for i := range j.Judgements {
		one := &j.Judgements[i]
		j.byPoint[one.Point] = one
	}
	return j
}

// Signals gives the fire signals of the site, sorted.
func (s *Survey) Signals() *count.Signals { return s.signals() }

// Judgement gives what the readings of a point come to; nil where its kind of
// device has no resting value to judge.
func (s *Survey) Judgement(p *sootline.Point) *Judgement { return s.assessed().byPoint[p] }

// Happened lists the entries about a point that hold, the latest first.
func (s *Survey) Happened(p *sootline.Point) []*sootline.Entry {
	var entries []*sootline.Entry
	add := func(e *sootline.Entry) {
		if e != nil {
			entries = append(entries, e)
		}
	}
	for _, reading := range p.Readings {
		add(reading.Entry)
	}
	for _, reset := range p.Resets {
		add(reset.Entry)
	}
	for _, event := range p.Events {
		add(event.Entry)
	}
	for _, d := range p.Defects {
		entries = append(entries, d.Story...)
	}
	slices.SortFunc(entries, func(a, b *sootline.Entry) int { return sootline.Compare(b, a) })
	return slices.Compact(entries)
}

// Sites lists the sites of the book, with how many entries each log holds: a log
// only grows, so that a survey is as good as new while that number stands.
func (a *App) Sites(ctx context.Context) ([]store.SiteLine, error) { return a.Book.Sites(ctx) }

// SiteOf finds a site by its id; nil when the book has none.
func (a *App) SiteOf(ctx context.Context, id sootline.ID) (*store.SiteLine, error) {
	line, err := a.Book.Site(ctx, id)
	if line != nil && err != nil {
		err = inSite(ctx, *line, err)
	}
	return line, err
}

// news lists the latest entries to be written down, the last one first. Only a
// few are kept in order on the way: a log may hold a million.
func news(log *sootline.Log) []*sootline.Entry {
	later := func(a, b *sootline.Entry) int {
		return cmp.Or(b.Noted.Compare(a.Noted), sootline.Compare(b, a))
	}
	latest := make([]*sootline.Entry, 0, mostNews+1)
	for _, e := range log.Entries() {
		if len(latest) == mostNews && later(e, latest[mostNews-1]) > 0 {
			continue
		}
		at, _ := slices.BinarySearchFunc(latest, e, later)
		latest = slices.Insert(latest, at, e)
		latest = latest[:min(mostNews, len(latest))]
	}
	return latest
}

func findings(r *sootline.Register, on time.Time) []sootline.Finding {
	all := slices.Concat(address.Check(r), check.Register(r, on.In(r.AsOf.Location())), doubtfulPasses(r))
	slices.SortStableFunc(all, func(a, b sootline.Finding) int { return cmp.Compare(b.Weight, a.Weight) })
	return all
}
