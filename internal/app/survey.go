package app

import (
	"cmp"
	"context"
	"slices"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/check"
	"sootline/internal/count"
	"sootline/internal/judge"
	"sootline/internal/store"
)

// Survey is everything that the log of a site comes to at an instant, folded
// and judged once for all who want to see it. It must not be changed.
type Survey struct {
	Register *sootline.Register
	On       time.Time
	Zone     *time.Location     // of the site
	Findings []sootline.Finding // as [App.Check] gives them
	Judged   judge.Assessment
	Asked    []Asked // the open questions
	Signals  *count.Signals
	News     []*sootline.Entry // the latest to be written down, the last one first

	log     *sootline.Log
	byPoint map[*sootline.Point]*Judgement
}

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
	return SurveyOf(r, log, on, zone), nil
}

// SurveyOf judges a register that was folded from the log as of on.
func SurveyOf(r *sootline.Register, log *sootline.Log, on time.Time, zone *time.Location) *Survey {
	on = on.In(zone)
	s := &Survey{Register: r, On: on, Zone: zone, Judged: judge.Assess(r, on), Signals: SignalsOf(r, zone), News: news(log), log: log, byPoint: map[*sootline.Point]*Judgement{}}
	s.Findings = findings(r, on)
	s.Asked = openQuestions(r, s.Judged.Questions, zone)
	for i := range s.Judged.Judgements {
		j := &s.Judged.Judgements[i]
		s.byPoint[j.Point] = j
	}
	return s
}

// Judgement gives what the readings of a point come to; nil where its kind of
// device has no resting value to judge.
func (s *Survey) Judgement(p *sootline.Point) *Judgement { return s.byPoint[p] }

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
	return a.Book.Site(ctx, id)
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
	all := slices.Concat(address.Check(r), check.Register(r, on.In(r.AsOf.Location())))
	slices.SortStableFunc(all, func(a, b sootline.Finding) int { return cmp.Compare(b.Weight, a.Weight) })
	return all
}
