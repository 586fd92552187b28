package web

import (
	"net/http"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// newSitePage lets a site be added to the book.
type newSitePage struct {
	Frame
	ID                      string
	Name, Zone, Loops, Firm string
	Zones                   []string
	Rules                   []choiceLine
	Trouble                 string
	WayOut                  []wayLine
}

// commonZones are offered beside that of the server; any other may be typed.
func commonZones() []string {
	return []string{"UTC", "Europe/London", "Europe/Dublin", "Europe/Paris", "Europe/Berlin", "Europe/Madrid", "Europe/Rome", "Europe/Athens", "Europe/Helsinki", "America/New_York", "America/Chicago", "America/Denver", "America/Los_Angeles", "Asia/Dubai", "Asia/Singapore", "Australia/Sydney"}
}

func (s *Server) newSitePage() *newSitePage {
	page := &newSitePage{Frame: Frame{Title: "Add a site"}, ID: s.newID(), Zones: commonZones(), Rules: ruleChoices(""), Loops: "1.1"}
	if s.Zone != nil && s.Zone.String() != "Local" {
		page.Zone = s.Zone.String()
	}
	return page
}

func (s *Server) showAddSite(w http.ResponseWriter, r *http.Request) error {
	return s.show(w, r, http.StatusOK, "site_add.html", s.newSitePage())
}

// addSite adds a site, and leads to it. A form with a mistake comes back as it was typed.
func (s *Server) addSite(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	f := &typedForm{values: r.PostForm}
	in := app.NewSite{Name: f.text("name"), Zone: f.text("zone"), Rules: f.text("rules"), Firm: f.text("firm")}
	var err error
	if in.ID, err = sootline.ParseID(f.text("id")); err != nil {
		return lostNumber(err)
	}
	if in.Loops, err = loopsTyped(f.text("loops")); err == nil {
		_, err = s.as(r).AddSite(r.Context(), in)
	}
	switch {
	case err == nil:
		http.Redirect(w, r, "/site/"+in.ID.String()+"?new=1", http.StatusSeeOther)
		return nil
	case status(err) >= http.StatusInternalServerError:
		return err
	}
	page := s.newSitePage()
	page.Name, page.Zone, page.Loops, page.Firm = in.Name, in.Zone, f.text("loops"), in.Firm
	page.Rules = ruleChoices(in.Rules)
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "site_add.html", page)
}

// loopsTyped reads loops as panel.loop, with spaces between them, each with the usual
// numbers.
func loopsTyped(text string) ([]sootline.LoopFacts, error) {
	var loops []sootline.LoopFacts
	for _, name := range strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == ',' || c == ';' }) {
		panel, loop, both := strings.Cut(name, ".")
		if !both {
			panel, loop = "1", name
		}
		if panel == "" || loop == "" || strings.ContainsAny(loop, "./") {
			return nil, sootline.Errorf(sootline.Invalid, "write panel and loop with a point between them, as in 1.1 1.2", "%q is not a loop", name)
		}
		loops = append(loops, sootline.LoopFacts{Panel: panel, Loop: loop, First: sootline.DefaultFirst, Last: sootline.DefaultLast, Unset: sootline.DefaultUnset})
	}
	return loops, nil
}
