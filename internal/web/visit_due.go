package web

import (
	"bytes"
	"net/http"
	"net/url"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// duePage lists what the rules ask for, on one site or on all.
type duePage struct {
	Frame
	Sites    []dueSite
	Calendar string // the address of the feed, for whoever is signed in
	Subject  string // the site whose feed it is; empty: all
	Feed     string // the address for a calendar program, just made
}

type dueSite struct {
	Trouble             *siteTrouble // not nil: it cannot be shown, and nothing below is known
	Name, Address, Plan string
	Overdue, Due, Met   int
	Next, Forgotten     string
	ZoneDoubt           string // its days are read in UTC, and why; empty: its zone is known
	Groups              []dueGroup
}

// dueGroup is what one rule asks for in one state.
type dueGroup struct {
	State, Rule, Text, Source, Until string
	Count, More                      int
	Lines                            []dueLine
}

type dueLine struct{ What, Address, Why, Since, Until string }

// mostDue is how many lines of a rule a page lists.
const mostDue = 200

func (s *Server) showDue(w http.ResponseWriter, r *http.Request) error {
	page := &duePage{Frame: Frame{Title: "Due"}, Calendar: "/due.ics", Feed: s.feedAddress(r)}
	lists, err := s.dueLists(r)
	if err != nil {
		return err
	}
	if r.PathValue("site") != "" {
		survey, _, err := s.survey(r)
		if err != nil {
			return err
		}
		page.Survey, page.Subject = survey, survey.Register.Site.ID.String()
		page.Title, page.Calendar = "Due at "+survey.Register.Site.Name, siteAddress(survey)+"/due.ics"
	}
	for i := range lists {
		if err := lists[i].Trouble; err != nil {
			s.noteTrouble(r, err)
			address := "/site/" + lists[i].Site.ID.String()
			page.Sites = append(page.Sites, dueSite{Name: lists[i].Site.Name, Address: address, Trouble: s.troubleAt(r, lists[i].Site, err)})
			continue
		}
		page.Sites = append(page.Sites, dueOf(&lists[i]))
	}
	return s.show(w, r, http.StatusOK, "visit_due.html", page)
}

// dueLists gives what is due on the site that the address names, or on all.
func (s *Server) dueLists(r *http.Request) ([]app.DueList, error) {
	if r.PathValue("site") == "" {
		return s.App.DueEverywhere(r.Context(), 0)
	}
	line, err := s.line(r)
	if err != nil {
		return nil, err
	}
	list, err := s.App.Due(r.Context(), line, s.App.Now())
	return []app.DueList{list}, err
}

// line gives the site that the address names as the book lists it.
func (s *Server) line(r *http.Request) (store.SiteLine, error) {
	id, err := sootline.ParseID(r.PathValue("site"))
	if err == nil {
		line, err := s.App.SiteOf(r.Context(), id)
		if err != nil {
			return store.SiteLine{}, err
		}
		if line != nil {
			return *line, nil
		}
	}
	return store.SiteLine{}, sootline.Errorf(sootline.NotFound, "choose one under Today", "there is no such site")
}

func dueOf(list *app.DueList) dueSite {
	address := "/site/" + list.Site.ID.String()
	site := dueSite{
		Name: list.Site.Name, Address: address, Plan: address + "/visit",
		Overdue: list.Count(app.Overdue), Due: list.Count(app.DueNow), Met: list.Count(app.Met),
		ZoneDoubt: list.Register.Site.ZoneDoubt(),
	}
	site.Next = list.Next().String()
	if day := list.Forgotten(); day.Known() {
		site.Forgotten = day.String()
	}
	byRule := map[string]int{} // where in the groups
	for i := range list.Obligations {
		o := &list.Obligations[i]
		if o.State == app.Met {
			continue
		}
		key := string(o.State) + "\n" + o.Rule.Name
		at, known := byRule[key]
		if !known {
			at, byRule[key] = len(site.Groups), len(site.Groups)
			site.Groups = append(site.Groups, dueGroup{State: string(o.State), Rule: o.Rule.Name, Text: o.Rule.Text, Source: app.RuleSource(&o.Rule), Until: untilOf(o.Until)})
		}
		site.Groups[at].add(o, address)
	}
	return site
}

func (g *dueGroup) add(o *app.Obligation, address string) {
	g.Count++
	if g.Count > mostDue {
		g.More++
		return
	}
	line := dueLine{What: o.Of, Why: o.Why, Until: untilOf(o.Until)}
	if len(o.Points) == 1 {
		line.What, line.Address = sootline.Joined(o.Points[0].Ref().String(), o.Of), address+"/point/"+o.Points[0].ID.String()
	}
	if line.What == "" {
		line.What = o.Work
	}
	if o.Since.Known() {
		line.Since = o.Since.String()
	}
	g.Lines = append(g.Lines, line)
}

func untilOf(d app.Day) string {
	if !d.Known() {
		return "at this visit"
	}
	return "by " + d.String()
}

// giveCalendar gives the last days as an iCalendar feed: to whoever is signed in,
// and to a calendar program by the key in its address.
func (s *Server) giveCalendar(w http.ResponseWriter, r *http.Request) error {
	if !visitorOf(r).Role.May(sootline.Reader) {
		key, err := s.App.PhoneOf(r.Context(), r.URL.Query().Get("key"), app.ForCalendar)
		if err != nil {
			return err
		}
		if key == nil {
			return sootline.Errorf(unknownPerson, "make a new address on the page Due", "this address opens no calendar")
		}
	}
	lists, err := s.dueLists(r)
	if err != nil {
		return err
	}
	var feed bytes.Buffer
	if err := s.App.DueCalendar(&feed, lists); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	w.Header().Set("Content-Disposition", `inline; filename="due.ics"`)
	_, err = w.Write(feed.Bytes())
	return s.wentAway(r, err)
}

// makeCalendar makes an address that a calendar program can read without anybody
// signing in. It is shown once.
func (s *Server) makeCalendar(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	key, _, err := s.as(r).AddPhone(r.Context(), "calendar", app.ForCalendar)
	if err != nil {
		return err
	}
	path := "/due"
	if id, err := sootline.ParseID(r.PostForm.Get("site")); err == nil {
		path = "/site/" + id.String() + "/due"
	}
	s.remembered(w, feedCookie, key)
	http.Redirect(w, r, path, http.StatusSeeOther)
	return nil
}

// feedCookie carries a fresh key to the next page, and no further.
const feedCookie = "feed"

func (s *Server) remembered(w http.ResponseWriter, name, value string) {
	http.SetCookie(w, &http.Cookie{Name: s.cookieName(name), Value: value, Path: "/", MaxAge: 60, HttpOnly: true, Secure: s.TLS, SameSite: http.SameSiteStrictMode})
}

// feedAddress is the address for a calendar program right after it was made.
func (s *Server) feedAddress(r *http.Request) string {
	c, err := r.Cookie(s.cookieName(feedCookie))
	if err != nil {
		return ""
	}
	return s.origin(r) + strings.TrimSuffix(r.URL.Path, "/") + ".ics?key=" + url.QueryEscape(c.Value)
}

// origin is the address of this server as the browser knows it.
func (s *Server) origin(r *http.Request) string {
	if s.TLS {
		return "https://" + r.Host
	}
	return "http://" + r.Host
}
