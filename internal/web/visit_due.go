package web

import (
	"bytes"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// duePage lists what the rules ask for on one site.
type duePage struct {
	Frame
	dueSite
	dueFeed
	Home takeHome
}

// dueFeed is what a page says of calendars.
type dueFeed struct {
	Calendar string // the address of the feed, for whoever is signed in
	Subject  string // the site whose feed it is; empty: all
	Feed     string // the address for a calendar program, just made
}

type dueSite struct {
	Trouble             *siteTrouble // not nil: it cannot be shown, and nothing below is known
	Name, Address, Plan string
	Known               bool
	Behind              string // how far this is behind; empty: it is not
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

type dueLine struct{ What, Where, Address, Why, Since, Until string }

// mostDue is how many lines of a rule a page lists.
const mostDue = 200

// showDue lists what the rules ask for on one site.
func (s *Server) showDue(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	line, err := s.line(r)
	if err != nil {
		return err
	}
	list, err := s.as(r).Due(r.Context(), line, s.App.Now())
	if err != nil {
		return err
	}
	if given, err := s.givesTable(w, r, survey, func() homeTable { return dueTable(&list) }); given {
		return err
	}
	page := &duePage{Frame: Frame{Title: "Due at " + survey.Register.Site.Name, Survey: survey}, dueSite: dueOf(&list), Home: takeHomeOf(r.URL.Query())}
	page.dueFeed = dueFeed{siteAddress(survey) + "/due.ics", survey.Register.Site.ID.String(), s.feedAddress(r)}
	return s.show(w, r, http.StatusOK, "visit_due.html", page)
}

// dueTable is all that the rules ask for and is not met, the page's longer groups whole.
func dueTable(list *app.DueList) homeTable {
	t := homeTable{name: string(app.DueNow), title: "Due", columns: columnsOf("state", "by", "work", "of", "points", "where", "#still to see", "since", "why", "rule", "source")}
	for i := range list.Obligations {
		o := &list.Obligations[i]
		if o.State == app.Met {
			continue
		}
		var points []string
		for _, p := range o.Points {
			points = append(points, p.Ref().String())
		}
		where, need := "", ""
		if len(o.Points) == 1 {
			where = o.Points[0].Location
		}
		if o.Need > 0 {
			need = strconv.Itoa(o.Need)
		}
		t.rows = append(t.rows, textCells(string(o.State), o.Until.String(), o.Work, o.Of, strings.Join(points, " "), where, need, o.Since.String(), o.Why, o.Rule.Name, app.RuleSource(&o.Rule)))
	}
	return t
}

// line gives the site that the address names as the book lists it.
func (s *Server) line(r *http.Request) (store.SiteLine, error) { return lineFor(r, s.as(r)) }

func lineFor(r *http.Request, a *app.App) (store.SiteLine, error) {
	id, err := sootline.ParseID(r.PathValue("site"))
	if err == nil {
		line, err := a.SiteOf(r.Context(), id)
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
		Known: true, Overdue: list.Count(app.Overdue), Due: list.Count(app.DueNow), Met: list.Count(app.Met),
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
		point := o.Points[0]
		line.What, line.Where, line.Address = sootline.Joined(point.Ref().String(), o.Of), point.Location, address+"/point/"+point.ID.String()
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
	a := s.as(r)
	if !a.Who.Role.May(sootline.Reader) {
		var site sootline.ID // of all, where the address names none
		if text := r.PathValue("site"); text != "" {
			var err error
			if site, err = sootline.ParseID(text); err != nil {
				return sootline.NoSite()
			}
		}
		var err error
		if a, err = s.App.Calendar(r.Context(), r.URL.Query().Get("key"), site); err != nil {
			return err
		}
		if a == nil {
			return sootline.Errorf(unknownPerson, "make a new address on the page Due", "this address opens no calendar")
		}
	}
	var feed bytes.Buffer
	if err := s.writeCalendar(r, a, &feed); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	w.Header().Set("Content-Disposition", `inline; filename="due.ics"`)
	_, err := w.Write(feed.Bytes())
	return s.wentAway(r, err)
}

// writeCalendar writes the last days of the site that the address names, or of all, as
// their heads say them.
func (s *Server) writeCalendar(r *http.Request, a *app.App, w io.Writer) error {
	if r.PathValue("site") == "" {
		lines, err := s.caughtUp(r, func() ([]store.HeadLine, error) {
			return a.SiteHeads(r.Context(), store.HeadList{ByTurn: true, Most: mostInFeed})
		})
		if err != nil {
			return err
		}
		all, err := a.CountSites(r.Context(), store.HeadList{})
		if err != nil {
			return err
		}
		return a.SiteHeadsCalendar(r.Context(), w, lines, max(0, all-len(lines)))
	}
	line, err := lineFor(r, a)
	if err != nil {
		return err
	}
	list, err := a.Due(r.Context(), line, a.Now())
	if err != nil {
		return err
	}
	return a.DueCalendar(w, []app.DueList{list})
}

// makeCalendar makes an address that a calendar program can read without anybody
// signing in. It is shown once.
func (s *Server) makeCalendar(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	var site sootline.ID
	path := "/due"
	if text := r.PostForm.Get("site"); text != "" {
		var err error
		if site, err = sootline.ParseID(text); err != nil {
			return sootline.NoSite()
		}
		path = "/site/" + site.String() + "/due"
	}
	key, err := s.as(r).AddCalendar(r.Context(), site)
	if err != nil {
		return err
	}
	http.SetCookie(w, &http.Cookie{Name: s.cookieName(feedCookie), Value: path + "|" + key, Path: "/", MaxAge: 60, HttpOnly: true, Secure: s.TLS, SameSite: http.SameSiteStrictMode})
	http.Redirect(w, r, path, http.StatusSeeOther)
	return nil
}

// feedCookie carries a fresh key to the page that it was made on, and no further.
const feedCookie = "feed"

// feedAddress is the address for a calendar program right after it was made.
func (s *Server) feedAddress(r *http.Request) string {
	c, err := r.Cookie(s.cookieName(feedCookie))
	if err != nil {
		return ""
	}
	path, key, _ := strings.Cut(c.Value, "|")
	if path != strings.TrimSuffix(r.URL.Path, "/") {
		return ""
	}
	return s.origin(r) + path + ".ics?key=" + url.QueryEscape(key)
}

// origin is the address of this server as the browser knows it.
func (s *Server) origin(r *http.Request) string {
	if s.TLS {
		return "https://" + r.Host
	}
	return "http://" + r.Host
}
