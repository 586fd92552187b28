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
)

// Survey is everything that the log of a site comes to at an instant, for all who
// want to see it: folded at once, judged when somebody first asks. It must not be
// changed.
type Survey struct {
	Register *sootline.Register
	On       time.Time
	Zone     *time.Location // of the site

	log      *sootline.Log
	judging  func(context.Context) (*assessed, error)
	judged   latch[*assessed]
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

// Until is when the next entry of the log comes to hold that was dated later than the
// survey, as by a clock that was ahead of the one it was made by; the zero time where
// there is none.
func (s *Survey) Until() (next time.Time) {
	if s.log == nil {
		return next
	}
	for _, e := range s.log.HoldingSince(s.On) {
		if e.At.After(s.On) {
			return e.At
		}
	}
	return next
}

// Holds is until when the survey says what the log says, if nothing is written: a day of
// the site passes, or an entry comes to hold that was dated later.
func (s *Survey) Holds() time.Time {
	y, m, d := s.On.Date() // in the site's zone
	day := sootline.DayBegins(y, m, d+1, s.On.Location())
	if next := s.Until(); !next.IsZero() && next.Before(day) {
		return next
	}
	return day
}

// RulesSince is when the site's rules were last set after the day of the survey, which is judged by those that held then;
// the zero time where they were not.
func (s *Survey) RulesSince() (at time.Time) {
	if s.log == nil {
		return at
	}
	for _, e := range s.log.HoldingSince(s.On) {
		if set, ok := e.Body.(sootline.Opened); ok && e.At.After(s.On) && set.Rules != (sootline.Rules{}) {
			at = e.At.In(s.Zone)
		}
	}
	return at
}

// Entries is how many entries the survey was made of.
func (s *Survey) Entries() int {
	if s.log == nil {
		return 0
	}
	return s.log.Len()
}

// Judge judges the site, for all who ask later, and ends with the context. Without
// it the first who asks does so, to the end.
func (s *Survey) Judge(ctx context.Context) error {
	_, err := s.judged.get(ctx, s.judging)
	return err
}

func (s *Survey) assessed() *assessed {
	made, _ := s.judged.get(context.Background(), s.judging) // which has no end, so that there is no error
	return made
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
	return SurveyOf(r, log, on, zone, a.Now()), nil
}

// SurveyOf is the survey of a register that was folded from the log as of on, for
// whom it is now.
func SurveyOf(r *sootline.Register, log *sootline.Log, on time.Time, zone *time.Location, now time.Time) *Survey {
	on = on.In(zone)
	return &Survey{
		Register: r, On: on, Zone: zone, log: log,
		judging:  func(ctx context.Context) (*assessed, error) { return assess(ctx, r, on, zone) },
		judged:   newLatch[*assessed](),
		findings: sync.OnceValue(func() []sootline.Finding { return findings(r, log, on, now) }),
		signals:  sync.OnceValue(func() *count.Signals { return SignalsOf(r, zone) }),
		news:     sync.OnceValue(func() []*sootline.Entry { return news(log) }),
	}
}

func assess(ctx context.Context, r *sootline.Register, on time.Time, zone *time.Location) (*assessed, error) {
	judged, err := judge.AssessUntil(ctx, r, on, time.Time{})
	if err != nil {
		return nil, err
	}
	j := &assessed{Assessment: judged, byPoint: map[*sootline.Point]*Judgement{}}
	j.asked = openQuestions(r, j.Questions, zone)
	for i := range j.Judgements {
		one := &j.Judgements[i]
		j.byPoint[one.Point] = one
	}
	return j, nil
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
	entries = append(entries, p.Placings...)
	slices.SortFunc(entries, func(a, b *sootline.Entry) int { return sootline.Compare(b, a) })
	return slices.Compact(entries)
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

func findings(r *sootline.Register, log *sootline.Log, on, now time.Time) []sootline.Finding {
	all := slices.Concat(check.Ahead(r, log, now.Add(aheadOfTime)), address.Check(r), address.CheckHow(r), check.Register(r, on.In(r.AsOf.Location())), contradicted(r), doubtfulPasses(r))
	slices.SortStableFunc(all, func(a, b sootline.Finding) int { return cmp.Compare(b.Weight, a.Weight) })
	return all
}
