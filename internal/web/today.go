package web

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// todayPage is the state of every site.
type todayPage struct {
	Frame
	Sites   []siteLine // what is at stake first
	All     int        // sites there are
	Needing int        // of these, where something needs somebody now
	Search  string     // words of names
	paging
	Waiting int // sites not looked at yet
	Since   string
	News    bool   // something arrived since then
	Demo    string // the folder of the demo's listings
	Backups string // what managers are told of them where they fail or are late
}

// siteLine is the state of one site.
type siteLine struct {
	Name, Address string
	Trouble       *siteTrouble // not nil: it cannot be shown, and nothing below is known
	Known         bool
	Points        int
	Now           []actionCount // what needs somebody now
	Later         int           // to be seen to at the next visit
	Next          string        // when the next thing is due
	Overdue, Due  int           // of what the rules of service ask for
	Defects       int           // open
	Critical      int           // of these
	Mended        int           // and wait for their retest
	Serious       int           // findings of the register that need somebody now
	Questions     int
	Off           *offNotice
	ZoneDoubt     string // its days are read in UTC, and why; empty: its zone is known
	Last          string // day of the latest entry
	News          []newsLine
	MoreNews      string
	Inside        string   // how many are inside their band
	Listens       []string // names of the sources that are kept with the site
	Listening     []app.SourceTrouble
	id            sootline.ID
}

type actionCount struct {
	Action  string
	Count   int
	Address string
}

type newsLine struct{ At, Ref, Address, Says, By string }

// patience is how long a look at Today folds logs that nobody has looked at yet;
// the rest comes with the next look.
const patience = time.Second

func (s *Server) showToday(w http.ResponseWriter, r *http.Request) error {
	lines, err := s.as(r).Sites(r.Context())
	if err != nil {
		return err
	}
	since := s.lastLook(r)
	page := &todayPage{Frame: Frame{Title: "Today"}, Since: local(since, s.Zone), Demo: s.DemoFolder}
	if page.Backups, err = s.backupsLate(r); err != nil {
		return err
	}
	oldest := s.App.Now()
	until := time.Now().Add(patience)
	for _, line := range lines {
		kept, err := s.summaryOf(r, line, until)
		if err != nil {
			return err
		}
		if kept == nil {
			page.Waiting++
			page.Sites = append(page.Sites, siteLine{Name: line.Name, Address: "/site/" + line.ID.String()})
			continue
		}
		if kept.made.Before(oldest) {
			oldest = kept.made
		}
		shown := kept.since(since)
		shown.Trouble = s.troubleAt(r, line, kept.trouble)
		page.News = page.News || len(shown.News) > 0
		page.Sites = append(page.Sites, shown)
	}
	page.narrow(r.URL.Query())
	for i := range page.Sites {
		site := &page.Sites[i]
		if site.Listening, err = s.as(r).SourceTroubles(site.id, site.Listens); err != nil {
			return err
		}
	}
	page.AsOf = local(oldest, s.Zone)
	return s.show(w, r, http.StatusOK, "today.html", page)
}

// summaryOf gives what is kept of a site, and looks at it before where that is not as
// good as new and there is time; nil: nothing is kept yet.
func (s *Server) summaryOf(r *http.Request, line store.SiteLine, until time.Time) (*summary, error) {
	kept, fresh := s.summaries.of(line, s.App.Now())
	if fresh || !time.Now().Before(until) {
		return kept, nil
	}
	return s.summarize(r, line)
}

// shown puts to a list of sites why one cannot be shown, as Today does: of a site that
// was not looked at for want of time, nothing is known.
func (s *Server) shown(r *http.Request, lines []store.SiteLine) error {
	until := time.Now().Add(patience)
	for i := range lines {
		kept, err := s.summaryOf(r, lines[i], until)
		if err != nil {
			return err
		}
		if kept != nil && kept.trouble != nil {
			lines[i].Trouble = errors.New(s.told(visitorOf(r), kept.trouble))
		}
	}
	return nil
}

// summarize looks at a site for its line. What keeps a site from being shown is its
// line, and noted; the others go on.
func (s *Server) summarize(r *http.Request, line store.SiteLine) (kept *summary, err error) {
	err = app.ForSite(r.Context(), line, func() error {
		survey, _, err := s.surveys.of(r.Context(), line)
		if err == nil {
			err = survey.Judge(r.Context())
		}
		if err == nil {
			kept = s.summaries.keep(line, survey, s.App.Now())
		}
		return err
	})
	switch {
	case err == nil:
		return kept, nil
	case r.Context().Err() != nil:
		return nil, err
	}
	s.noteTrouble(r, err)
	return s.summaries.keepTrouble(line, err, s.App.Now()), nil
}

// tell fills the line from the survey.
func (l *siteLine) tell(survey *app.Survey) {
	l.Known, l.id = true, survey.Register.Site.ID
	for name, source := range survey.Register.Sources {
		if source.Via != "" {
			l.Listens = append(l.Listens, name)
		}
	}
	slices.Sort(l.Listens)
	figures := survey.Figures()
	l.Points, l.Next = figures.Points.All, figures.Of(app.NextDueFigure).Value
	l.Off = stillOff(survey)
	l.ZoneDoubt = survey.Register.Site.ZoneDoubt()
	l.Questions = len(survey.Asked())
	l.Last = day(survey.Register.Last, survey.Zone)
	l.Inside = insideNow(survey)
	l.Overdue, l.Due = survey.Due()
	l.Defects, l.Mended = survey.Register.CountDefects()
	for _, g := range app.ByAction(survey.Judged().Judgements) {
		switch g.Action {
		case app.CleanNow, app.Replace:
			l.Now = append(l.Now, actionCount{string(g.Action), len(g.Judgements), l.Address + "/points?state=" + queryWord(string(g.Action))})
		case app.Leave:
		default:
			l.Later += len(g.Judgements)
		}
	}
	for i := range survey.Findings() {
		switch f := &survey.Findings()[i]; {
		case f.Weight == sootline.Serious && app.TellsDefect(f):
			l.Critical++
		case f.Weight == sootline.Serious:
			l.Serious++
		}
	}
}

func newsOf(survey *app.Survey, e *sootline.Entry) newsLine {
	line := newsLine{At: local(e.Noted, survey.Zone), Says: sootline.Say(e.Body), By: e.By}
	if p := survey.Register.Point(e.Point); p != nil {
		line.Ref, line.Address = p.Ref().String(), pointAddress(survey, p)
	}
	return line
}

// insideNow tells how many of the points with a verdict are inside their band.
func insideNow(survey *app.Survey) string {
	inside, all := 0, 0
	for _, j := range survey.Judged().Judgements {
		switch j.Verdict {
		case app.Inside:
			inside++
			all++
		case app.Above, app.Below:
			all++
		}
	}
	if all == 0 {
		return ""
	}
	return grouped(inside) + " of " + grouped(all)
}

// seenCookie keeps when this browser's user last said that the news were seen.
const seenCookie = "seen"

// lastLook is that instant, or a week ago.
func (s *Server) lastLook(r *http.Request) time.Time {
	if c, err := r.Cookie(seenCookie); err == nil {
		if ms, err := strconv.ParseInt(c.Value, 10, 64); err == nil {
			return time.UnixMilli(ms)
		}
	}
	return s.App.Now().AddDate(0, 0, -7)
}

func (s *Server) markSeen(w http.ResponseWriter, r *http.Request) error {
	s.remember(w, seenCookie, strconv.FormatInt(s.App.Now().UnixMilli(), 10))
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

// demoSeed gives the demo that the documentation shows.
const demoSeed = 2026

// makeDemo makes the invented site in an empty book.
func (s *Server) makeDemo(w http.ResponseWriter, r *http.Request) error {
	lines, err := s.demoIn(r.Context(), s.as(r))
	if err != nil {
		return err
	}
	http.Redirect(w, r, afterDemo(lines), http.StatusSeeOther)
	return nil
}

// demoIn makes the demo where the book has no site, and lists the sites.
func (s *Server) demoIn(ctx context.Context, a *app.App) ([]store.SiteLine, error) {
	lines, err := a.Sites(ctx)
	if err != nil || len(lines) > 0 {
		return lines, err
	}
	until := a.Now().UTC().Truncate(24 * time.Hour)
	if _, err := a.MakeDemo(ctx, s.DemoFolder, demoSeed, until); err != nil {
		return nil, err
	}
	return a.Sites(ctx)
}

func afterDemo(lines []store.SiteLine) string {
	if len(lines) == 1 {
		return "/site/" + lines[0].ID.String()
	}
	return "/"
}
