package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// Frame is what is around every page. A page gives its title, and the survey of
// the site it is about; the rest is filled in from the request.
type Frame struct {
	Title  string
	Survey *app.Survey // nil outside a site
	AsOf   string      // filled in where empty

	Who      string
	SignedIn bool
	Manager  bool
	Look     string     // dark, light or empty
	Here     string     // the address, to come back to
	Menu     []menuItem // of the whole book
	SiteMenu []menuItem // of the site that the page is about
	Off      *offNotice
	Done     *doneNotice // what was just written, where the address names it
	Site     string      // its name, and its page
	SitePage string
	Find     string     // what is looked for
	AtHand   []menuItem // the work that is nearest, for a bar within reach of the thumb

	Conclusion conclusion
}

func (f *Frame) frame() *Frame { return f }

// menuItem is a line of the menu.
type menuItem struct {
	Name, Address string
	Current       string // "page": it is this one, "true": this one belongs to it (WAI-ARIA, aria-current); empty: neither
}

// offNotice tells of points that are still out of use.
type offNotice struct {
	Count  int
	Parts  []offPoint // of the site, taken out of use as a whole
	Points []offPoint // the first few, the longest out of use first
	More   int
	All    string // the address of all of them
}

type offPoint struct{ Ref, Address, Since string }

func (s *Server) fill(f *Frame, r *http.Request) {
	v := visitorOf(r)
	f.Who, f.SignedIn, f.Manager = v.Name, v.signedIn, s.as(r).Who.MayKeepBook() == nil
	f.Look = s.lookOf(r)
	f.Here = r.URL.RequestURI()
	if r.Method != http.MethodGet {
		f.Here = r.URL.Path
	}
	if f.Survey != nil {
		f.AsOf = local(f.Survey.On, f.Survey.Zone)
		f.Off = stillOff(f.Survey)
		f.Done = s.done(f.Survey, r)
		f.Site, f.SitePage = f.Survey.Register.Site.Name, siteAddress(f.Survey)
	}
	if f.AsOf == "" {
		f.AsOf = local(s.App.Now(), s.Zone)
	}
	f.Menu, f.SiteMenu = s.menu(f.Survey, r.Pattern, v.Role)
	f.AtHand = atHand(f.Menu, f.SiteMenu)
}

// menu lists the pages that have a name and that the role may see: those of the book,
// and those of the site where there is one.
func (s *Server) menu(survey *app.Survey, pattern string, role sootline.Role) (book, site []menuItem) {
	for _, route := range s.routes() {
		if route.menu == "" || !role.May(route.needs) {
			continue
		}
		_, address, _ := strings.Cut(route.pattern, " ")
		address = strings.TrimSuffix(address, "{$}")
		item := menuItem{route.menu, address, currency(address, pattern)}
		rest, ofSite := strings.CutPrefix(address, "/site/{site}")
		switch {
		case !ofSite:
			book = append(book, item)
		case survey != nil:
			item.Address = siteAddress(survey) + rest
			site = append(site, item)
		}
	}
	return book, site
}

// currency says what a page of the menu is to the one that is shown, by the pattern of its route.
func currency(address, pattern string) string {
	_, shown, _ := strings.Cut(pattern, " ")
	switch shown = strings.TrimSuffix(shown, "{$}"); {
	case shown == address:
		return "page"
	case address != "/" && address != "/site/{site}" && strings.HasPrefix(shown, address+"/"):
		return "true"
	}
	return ""
}

// atHand picks what is nearest to whoever stands at a device: of a site its visit, its
// points and its findings, of the book the first pages.
func atHand(book, site []menuItem) []menuItem {
	nearest := map[string]bool{"Visit": true, "Points": true, "Site": true, "Today": len(site) > 0}
	from := append(slices.Clone(site), book...)
	if len(site) == 0 {
		return book[:min(3, len(book))]
	}
	return slices.DeleteFunc(from, func(item menuItem) bool { return !nearest[item.Name] })
}

// stillOff lists what is out of use, the longest first; nil when nothing is.
func stillOff(survey *app.Survey) *offNotice {
	const most = 4
	var points []*sootline.Point
	for _, p := range survey.Register.Points() {
		if p.Disabled != nil {
			points = append(points, p)
		}
	}
	parts := partsOff(survey)
	if len(points)+len(parts) == 0 {
		return nil
	}
	slices.SortStableFunc(points, func(a, b *sootline.Point) int { return a.Disabled.At.Compare(b.Disabled.At) })
	n := &offNotice{Count: len(points), Parts: parts, More: max(0, len(points)-most), All: siteAddress(survey) + "/points?state=disabled"}
	for _, p := range points[:min(most, len(points))] {
		n.Points = append(n.Points, offPoint{p.Ref().String(), pointAddress(survey, p), day(p.Disabled.At, survey.Zone)})
	}
	return n
}

// partsOff lists the parts of a site that are out of use.
func partsOff(survey *app.Survey) []offPoint {
	var parts []offPoint
	for _, o := range (&app.DueList{Register: survey.Register, Zone: survey.Zone}).Standing() {
		if o.Point == nil {
			parts = append(parts, offPoint{o.What, siteAddress(survey) + "/visit", o.Since.String()})
		}
	}
	return parts
}

func siteAddress(survey *app.Survey) string { return "/site/" + survey.Register.Site.ID.String() }

func pointAddress(survey *app.Survey, p *sootline.Point) string {
	return siteAddress(survey) + "/point/" + p.ID.String()
}

// lookCookie keeps the choice between dark and light in the browser.
const lookCookie = "look"

func (s *Server) lookOf(r *http.Request) string {
	if c, err := r.Cookie(s.cookieName(lookCookie)); err == nil && (c.Value == "dark" || c.Value == "light") {
		return c.Value
	}
	return ""
}

// cookieName is a cookie's name as this server gives it: by https with the prefix that
// keeps other hosts from setting one of that name (RFC 6265bis, 4.1.3.2, from memory).
func (s *Server) cookieName(name string) string {
	if s.TLS {
		return "__Host-" + name
	}
	return name
}

// chooseLook keeps the choice, and goes back to where it was made.
func (s *Server) chooseLook(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	s.remember(w, lookCookie, r.PostForm.Get("look"))
	http.Redirect(w, r, localPath(r.PostForm.Get("back")), http.StatusSeeOther)
	return nil
}

func (s *Server) remember(w http.ResponseWriter, name, value string) {
	http.SetCookie(w, &http.Cookie{
		Name: s.cookieName(name), Value: value, Path: "/", MaxAge: int((365 * 24 * time.Hour).Seconds()),
		HttpOnly: true, Secure: s.TLS, SameSite: http.SameSiteLaxMode,
	})
}

// localPath keeps a way back on this server.
func localPath(path string) string {
	if !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "//") || strings.ContainsAny(path, "\\\r\n\t") {
		return "/"
	}
	return path
}

// unreadable tells of a form that could not be read.
func unreadable(err error) error {
	if status(err) == http.StatusRequestEntityTooLarge || sootline.ErrorCode(err) != "" {
		return err
	}
	return sootline.Errorf(sootline.Invalid, "go back and do it again", "the form could not be read: %w", fmt.Errorf("form: %w", err))
}

// lostNumber tells of a form whose entry has no id.
func lostNumber(err error) error {
	return sootline.Errorf(sootline.Invalid, "open the page again", "the form lost its number on the way: %w", err)
}
