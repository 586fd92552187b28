package web

import (
	"net/http"

	"sootline/internal/app"
	"sootline/internal/store"
)

// mostInFeed is of how many sites a calendar tells: whoever looks after more has a
// calendar for each, or the list.
const mostInFeed = 5000

// dueEverywherePage lists sites by when something is due there.
type dueEverywherePage struct {
	Frame
	Sites []dueSite
	siteFilter
	paging
	dueFeed
}

// showDueEverywhere lists the sites, the one where something is due first in front, as their
// heads say it; what it is stands on the page of each.
func (s *Server) showDueEverywhere(w http.ResponseWriter, r *http.Request) error {
	page := &dueEverywherePage{Frame: Frame{Title: "Due"}, siteFilter: filterOf(r.URL.Query()), dueFeed: dueFeed{Calendar: "/due.ics", Feed: s.feedAddress(r)}}
	list := page.list()
	list.ByTurn = true
	lines, err := s.siteList(r, list, &page.paging)
	if err != nil {
		return err
	}
	for i := range lines {
		page.Sites = append(page.Sites, s.dueLine(r, &lines[i]))
	}
	return s.show(w, r, http.StatusOK, "due.html", page)
}

// dueLine puts a head into a line of what is due.
func (s *Server) dueLine(r *http.Request, head *store.HeadLine) dueSite {
	line := dueSite{Name: head.Name, Address: "/site/" + head.ID.String()}
	says, err := app.Says(head)
	if err == nil {
		err = says.Trouble.Err()
	}
	if err != nil {
		line.Trouble = s.troubleAt(r, head.SiteLine, err)
		return line
	}
	line.Known = head.Held >= 0
	line.Plan, line.Behind = line.Address+"/visit", app.BehindWords(head, s.App.Now())
	line.Overdue, line.Due, line.Met = head.Overdue, head.SiteCounts.Due, head.Met
	line.Next, line.Forgotten, line.ZoneDoubt = says.Next, says.Forgotten.String(), says.ZoneDoubt
	return line
}
