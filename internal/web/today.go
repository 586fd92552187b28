package web

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"sootline/internal/app"
	"sootline/internal/store"
)

// todayPage is the state of every site, as the heads of the sites say it.
type todayPage struct {
	Frame
	Sites []siteLine // what is at stake first
	siteFilter
	All     int // sites there are
	Needing int // of these, where something needs somebody now
	Found   int // by the filter
	paging
	Behind  int // sites of which the list does not say all yet
	Since   string
	News    bool   // something arrived since then
	Demo    string // the folder of the demo's listings
	Backups string // what managers are told of them where they fail or are late
}

// siteLine is the state of one site.
type siteLine struct {
	Name, Address string
	Customer      string
	Trouble       *siteTrouble // not nil: it cannot be shown, and nothing below is known
	Known         bool
	Behind        string // how far this is behind; empty: it is not
	store.SiteCounts
	Now       []actionCount // what needs somebody now
	Next      string        // when the next thing is due
	Off       *offNotice
	ZoneDoubt string // its days are read in UTC, and why; empty: its zone is known
	Last      string // day of the latest entry
	News      []newsLine
	MoreNews  string
	InBand    string // how many are inside their band
	Listening []app.SourceTrouble
}

type actionCount struct {
	Action  string
	Count   int
	Address string
}

type newsLine struct{ At, Ref, Address, Says, By string }

// patience is how long a search looks through sites.
const patience = time.Second

func (s *Server) showToday(w http.ResponseWriter, r *http.Request) error {
	since := s.lastLook(r)
	page := &todayPage{Frame: Frame{Title: "Today"}, siteFilter: filterOf(r.URL.Query()), Since: local(since, s.Zone), Demo: s.DemoFolder}
	lines, err := s.siteList(r, page.list(), &page.paging)
	if err != nil {
		return err
	}
	counts, err := s.as(r).CountSiteHeads(r.Context(), store.HeadList{})
	if err != nil {
		return err
	}
	page.All, page.Needing, page.Behind, page.Found = counts.All, counts.Needing, counts.Behind, page.Rows
	if page.News, err = s.as(r).NotedSince(r.Context(), since); err != nil {
		return err
	}
	if page.Backups, err = s.backupsLate(r); err != nil {
		return err
	}
	oldest := s.App.Now()
	for i := range lines {
		shown, err := s.siteLine(r, &lines[i], since)
		if err != nil {
			return err
		}
		if shown.Known && lines[i].Made.Before(oldest) {
			oldest = lines[i].Made
		}
		page.Sites = append(page.Sites, shown)
	}
	page.AsOf = local(oldest, s.Zone)
	return s.show(w, r, http.StatusOK, "today.html", page)
}

// siteLine puts a head into the line of a list, with what arrived since an instant.
func (s *Server) siteLine(r *http.Request, head *store.HeadLine, since time.Time) (siteLine, error) {
	line := siteLine{Name: head.Name, Address: "/site/" + head.ID.String(), SiteCounts: head.SiteCounts}
	says, err := app.Says(head)
	if err != nil || says.Trouble != nil {
		if err == nil {
			err = says.Trouble.Err()
		}
		line.Trouble = s.troubleAt(r, head.SiteLine, err)
		return line, nil
	}
	if head.Held < 0 {
		return line, nil
	}
	line.Known, line.Behind = true, app.BehindWords(head, s.App.Now())
	line.Customer, line.Next, line.ZoneDoubt, line.Last = says.Customer, says.Next, says.ZoneDoubt, says.Last.String()
	for _, now := range []actionCount{{Action: string(app.CleanNow), Count: head.CleanNow}, {Action: string(app.Replace), Count: head.Replace}} {
		if now.Count > 0 {
			now.Address = line.Address + "/points?state=" + queryWord(now.Action)
			line.Now = append(line.Now, now)
		}
	}
	if head.WithVerdict > 0 {
		line.InBand = grouped(head.Inside) + " of " + grouped(head.WithVerdict)
	}
	line.tellOff(&says)
	if line.Listening, err = s.as(r).SourceTroubles(head.ID, says.Listens); err != nil {
		return line, err
	}
	return line, line.tellNews(&says, since)
}

// tellOff names points that are out of use.
func (l *siteLine) tellOff(says *app.SiteSays) {
	if len(says.Off) == 0 {
		return
	}
	l.Off = &offNotice{Count: l.Disabled, More: max(0, l.Disabled-len(says.Off)), All: l.Address + "/points?state=disabled"}
	for _, off := range says.Off {
		l.Off.Points = append(l.Off.Points, offPoint{off.Ref, l.Address + "/point/" + off.Point.String(), off.Since.String()})
	}
}

// tellNews tells what was written down since an instant.
func (l *siteLine) tellNews(says *app.SiteSays, since time.Time) error {
	zone, err := app.Zone(says.Zone)
	if err != nil {
		return err
	}
	n := 0
	for n < len(says.Noted) && says.Noted[n] > since.UnixMilli() {
		n++
	}
	for _, news := range says.News[:min(n, len(says.News))] {
		line := newsLine{At: local(time.UnixMilli(news.Noted), zone), Ref: news.Ref, Says: news.Says, By: news.By}
		if news.Ref != "" {
			line.Address = l.Address + "/point/" + news.Point.String()
		}
		l.News = append(l.News, line)
	}
	switch more := count(n-len(l.News), "entry", "entries") + " more"; {
	case n == len(l.News):
	case n == len(says.Noted):
		l.MoreNews = "and at least " + more
	default:
		l.MoreNews = "and " + more
	}
	return nil
}

// insideNow tells how many of the points with a verdict are inside their band.
func insideNow(survey *app.Survey) string {
	inside, all := app.InsideOf(survey)
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
