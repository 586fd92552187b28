package web

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"net/url"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// siteFilter narrows a list of sites, as its address says.
type siteFilter struct {
	Search   string // words of names
	Customer string
	Needs    bool // only where something needs somebody now
}

func filterOf(q url.Values) siteFilter {
	return siteFilter{strings.TrimSpace(q.Get("q")), strings.TrimSpace(q.Get("customer")), q.Get("needs") != ""}
}

func (f siteFilter) list() store.HeadList {
	return store.HeadList{Words: strings.Fields(f.Search), Customer: f.Customer, Needs: f.Needs}
}

// mostAwaited is how long a list of sites waits for heads that are behind: it makes at
// least one anew, and begins none after that.
const mostAwaited = 50 * time.Millisecond

// siteList gives the page of a list that the address asks for. What is behind on it is
// made anew, as far as that takes no time; of the rest the heads say how far they are behind.
func (s *Server) siteList(r *http.Request, q store.HeadList, p *paging) ([]store.HeadLine, error) {
	a := s.as(r)
	all, err := a.CountSites(r.Context(), q)
	if err != nil {
		return nil, err
	}
	var last int
	*p, q.Skip, last = cut(all, r.URL.Query())
	q.Most = last - q.Skip
	return s.caughtUp(r, func() ([]store.HeadLine, error) { return a.SiteHeads(r.Context(), q) })
}

// caughtUp gives lines after heads among them that were behind are made anew.
func (s *Server) caughtUp(r *http.Request, lines func() ([]store.HeadLine, error)) ([]store.HeadLine, error) {
	until := time.Now().Add(mostAwaited)
	goOn := func() bool { return time.Now().Before(until) }
	for {
		found, err := lines()
		if err != nil {
			return nil, err
		}
		n, err := s.App.CatchUp(r.Context(), found, s.look, goOn, func(_ store.SiteLine, trouble error) {
			if trouble != nil {
				s.noteTrouble(r, trouble)
			}
		})
		switch {
		case r.Context().Err() != nil:
			return nil, r.Context().Err()
		case err != nil: // as of a full disk: the list says how far it is behind
			s.noteTrouble(r, err)
			return found, nil
		case n == 0:
			return found, nil
		case !goOn():
			return lines()
		}
	}
}

// look gives the survey of a site as it stands now: the one that people look at, where that
// is not of a day that is over.
func (s *Server) look(ctx context.Context, line store.SiteLine) (*app.Survey, error) {
	survey, _, err := s.surveys.of(ctx, line)
	if err == nil && !s.App.Now().Before(survey.Holds()) {
		return s.App.Survey(ctx, line.ID, s.App.Now())
	}
	return survey, err
}

// shown puts to a list of sites why one cannot be shown, as Today does: of a site that
// nobody looked at yet, nothing is known.
func (s *Server) shown(r *http.Request, lines []store.SiteLine) error {
	heads := func(q store.HeadList) func() ([]store.HeadLine, error) {
		return func() ([]store.HeadLine, error) { return s.as(r).SiteHeads(r.Context(), q) }
	}
	if _, err := s.caughtUp(r, heads(store.HeadList{Most: rowsOnPage})); err != nil {
		return err
	}
	troubled, err := heads(store.HeadList{Troubled: true, Most: len(lines)})()
	if err != nil {
		return err
	}
	troubles := map[sootline.ID]error{}
	for i := range troubled {
		says, err := app.Says(&troubled[i])
		if err == nil {
			err = says.Trouble.Err()
		}
		troubles[troubled[i].ID] = err
	}
	for i := range lines {
		if trouble := cmp.Or(troubles[lines[i].ID], lines[i].Trouble); trouble != nil {
			lines[i].Trouble = errors.New(s.told(visitorOf(r), trouble))
		}
	}
	return nil
}
