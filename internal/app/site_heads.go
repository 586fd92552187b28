package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"sootline"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// Look gives the survey of a site as it stands now.
type Look func(ctx context.Context, line store.SiteLine) (*Survey, error)

// Heads makes anew what lists of many sites show, of each site where something was written
// or a day passed. Any number of programs may do so over one book: each claims what it
// takes in hand. One goroutine runs it.
type Heads struct {
	App  *App
	Tell func(line string) // what is told whoever looks after the server

	told map[sootline.ID]string // trouble of sites, so that it is told once
}

const (
	headsEvery   = time.Second // for what fell behind
	headsAtOnce  = 16          // sites that are claimed and written together
	mostLookedAt = 20_000      // entries of a site that a page makes anew while somebody waits
)

// NewHeads begins to look after heads; Run must be called.
func NewHeads(a *App, tell func(string)) *Heads {
	return &Heads{App: a, Tell: tell, told: map[sootline.ID]string{}}
}

// Run makes anew what is behind until the context ends. Whatever fails is told of, and
// tried again.
func (h *Heads) Run(ctx context.Context) {
	for wait := headsEvery; ; {
		err := h.Work(ctx)
		if wait = headsEvery; err != nil && ctx.Err() == nil {
			h.Tell("Lists of sites: " + sentenceOf(err))
			wait = time.Minute
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
	}
}

// Work makes anew all that is behind now, and that nobody else has in hand.
func (h *Heads) Work(ctx context.Context) (err error) {
	defer sootline.Caught(&err)
	return h.App.workOff(ctx, func(line store.SiteLine, trouble error) {
		switch {
		case trouble == nil:
			delete(h.told, line.ID)
		case h.told[line.ID] != trouble.Error():
			h.told[line.ID] = trouble.Error()
			h.Tell(sentenceOf(trouble))
		}
	})
}

// workOff makes heads anew until none is behind that is free.
func (a *App) workOff(ctx context.Context, made func(store.SiteLine, error)) error {
	for {
		lines, err := a.Book.BehindHeads(ctx, a.Now(), headsAtOnce)
		if err != nil || len(lines) == 0 {
			return err
		}
		n, err := a.makeHeads(ctx, lines, a.lookAlone, nil, made)
		if err != nil || n == 0 {
			return err
		}
	}
}

// lookAlone surveys a site without keeping its log for others, unless it is kept already: a
// walk over all sites is not to drive out those that people look at.
func (a *App) lookAlone(ctx context.Context, line store.SiteLine) (*Survey, error) {
	alone := *a
	if !a.Logs.keeps(line.ID) {
		alone.Logs = nil
	}
	return alone.Survey(ctx, line.ID, a.Now())
}

// makeHeads claims heads, makes them one after the other and writes them together; it gives
// how many it made. Where go on is not nil it is asked before each but the first.
func (a *App) makeHeads(ctx context.Context, lines []store.SiteLine, look Look, goOn func() bool, made func(store.SiteLine, error)) (n int, err error) {
	byID := map[sootline.ID]store.SiteLine{}
	var sites []sootline.ID
	for _, line := range lines {
		byID[line.ID] = line
		sites = append(sites, line.ID)
	}
	now := a.Now()
	mine, err := a.Book.ClaimSiteHeads(ctx, sites, now, now.Add(store.MostClaim))
	if err != nil {
		return 0, err
	}
	heads := map[sootline.ID]store.SiteHead{}
	for _, site := range mine {
		if len(heads) > 0 && goOn != nil && !goOn() {
			break
		}
		head, trouble, err := a.makeHead(ctx, byID[site], look)
		if err != nil {
			return 0, errors.Join(err, a.Book.FreeSiteHeads(context.WithoutCancel(ctx), mine))
		}
		heads[site] = head
		made(byID[site], trouble)
	}
	if err := a.Book.PutSiteHeads(ctx, heads); err != nil {
		return 0, err
	}
	if len(heads) < len(mine) {
		err = a.Book.FreeSiteHeads(ctx, mine)
	}
	return len(heads), err
}

// CatchUp makes anew, while somebody waits, the heads among some lines that are behind: the
// first of them, and more as long as it may go on. Large logs are left to whoever works
// beside. It tells how many it made.
func (a *App) CatchUp(ctx context.Context, lines []store.HeadLine, look Look, goOn func() bool, made func(store.SiteLine, error)) (n int, err error) {
	var behind []store.SiteLine
	for i := range lines {
		if l := &lines[i]; !l.Current(a.Now()) && l.Entries <= mostLookedAt && !l.ID.Zero() {
			behind = append(behind, l.SiteLine)
		}
	}
	if len(behind) == 0 {
		return 0, nil
	}
	return a.makeHeads(ctx, behind, look, goOn, made)
}

// RemakeHeads makes all heads anew from the logs, and tells how many sites there are.
func (a *App) RemakeHeads(ctx context.Context, troubled func(error)) (sites int, err error) {
	if err := a.Book.AgeSiteHeads(ctx); err != nil {
		return 0, err
	}
	all, err := a.Book.CountSiteHeads(ctx, store.HeadList{}, a.Now())
	if err != nil {
		return 0, err
	}
	done := 0
	err = a.workOff(ctx, func(_ store.SiteLine, trouble error) {
		done++
		a.progress("lists of sites", done, all.All)
		if trouble != nil {
			troubled(trouble)
		}
	})
	return all.All, err
}

// listed narrows a list to what whoever acts may see.
func (a *App) listed(q store.HeadList) store.HeadList {
	if a.Who.Role == sootline.Stranger {
		q.Bound, q.Sites = true, nil
	} else if a.Who.Scope.Bound() {
		q.Bound, q.Sites = true, a.Who.Scope.Sites()
	}
	return q
}

// SiteHeads gives a part of a list of the sites that whoever acts has to do with.
func (a *App) SiteHeads(ctx context.Context, q store.HeadList) ([]store.HeadLine, error) {
	return a.Book.SiteHeads(ctx, a.listed(q))
}

// CountSites counts the sites of a list.
func (a *App) CountSites(ctx context.Context, q store.HeadList) (int, error) {
	return a.Book.CountSites(ctx, a.listed(q))
}

// CountSiteHeads counts the sites of a list by how they stand.
func (a *App) CountSiteHeads(ctx context.Context, q store.HeadList) (store.HeadCounts, error) {
	return a.Book.CountSiteHeads(ctx, a.listed(q), a.Now())
}

// NotedSince reports whether something was written down after an instant at any site of
// those that whoever acts has to do with.
func (a *App) NotedSince(ctx context.Context, since time.Time) (bool, error) {
	return a.Book.NotedSince(ctx, a.listed(store.HeadList{}), since)
}

// SiteHeadsCalendar writes what is due on each of the sites, as their heads say it, as an
// iCalendar feed. How many sites are left out stands in it as an event of its own.
func (a *App) SiteHeadsCalendar(ctx context.Context, w io.Writer, lines []store.HeadLine, left int) error {
	feeds, err := a.dueFeeds(ctx, lines)
	if err != nil {
		return err
	}
	if left > 0 {
		feeds = append(feeds, visit.Feed{Name: fmt.Sprintf("%d more sites", left), Trouble: fmt.Sprintf("this calendar tells of the %d sites where something is due first; each site has one of its own", len(lines))})
	}
	return visit.Calendar(w, a.Now(), feeds)
}

func (a *App) dueFeeds(ctx context.Context, lines []store.HeadLine) ([]visit.Feed, error) {
	var sites []sootline.ID
	for i := range lines {
		sites = append(sites, lines[i].ID)
	}
	days, err := a.Book.SiteDays(ctx, sites)
	if err != nil {
		return nil, err
	}
	var feeds []visit.Feed
	for i := range lines {
		feed, err := a.dueFeed(&lines[i], days[lines[i].ID])
		if err != nil {
			return nil, err
		}
		feeds = append(feeds, feed)
	}
	return feeds, nil
}

func (a *App) dueFeed(line *store.HeadLine, days []byte) (feed visit.Feed, err error) {
	feed = visit.Feed{Site: line.ID, Name: line.Name}
	says, err := Says(line)
	switch {
	case err != nil:
		return feed, err
	case says.Trouble != nil:
		feed.Trouble = says.Trouble.Message
	case line.Held < 0:
		feed.Trouble = "nobody looked at the site yet"
	default:
		feed.Caution = BehindWords(line, a.Now())
		err = json.Unmarshal(days, &feed.Days)
	}
	return feed, err
}
