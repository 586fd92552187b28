package web

import (
	"net/http"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// wantedPage lists the settings that are wanted on a site, and those that are not so.
type wantedPage struct {
	Frame
	Back, Address      string
	ID, Shown          string
	Trouble, Noted     string
	WayOut             []wayLine
	Wishes             []wishRow
	Types, Zones, Rest []string // names to choose from; Rest: areas
	Form               wishForm
	Differences        []differenceRow
}

type wishRow struct{ Of, Setting, Reason, By, Entry, ID string } // ID: of the entry that takes it back

// wishForm is what was typed.
type wishForm struct {
	Type, Zone, Area, Settings, Reason string
	Ask                                bool // it may be a slip: whoever is certain ticks so
}

type differenceRow struct {
	Value                   string // which it is, for a tick
	Device                  deviceLink
	Setting, Because, Found string
}

func (s *Server) showWanted(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.wantedPage(survey)
	if err != nil {
		return err
	}
	page.Noted = s.saidBefore(r)
	return s.show(w, r, http.StatusOK, "wanted.html", page)
}

func (s *Server) wantedPage(survey *app.Survey) (*wantedPage, error) {
	base := siteAddress(survey) + "/settings"
	page := &wantedPage{Frame: Frame{Title: "Settings wanted, " + survey.Register.Site.Name, Survey: survey}, Back: base, Address: base + "/wanted", ID: s.newID()}
	for _, wish := range app.WishesOf(survey.Register) {
		page.Wishes = append(page.Wishes, wishRow{wish.Of, wish.Name + "=" + wish.Choice, wish.Reason, wish.Entry.By, wish.Entry.ID.String(), s.newID()})
	}
	for _, p := range survey.Register.Points() {
		page.Types, page.Zones, page.Rest = append(page.Types, p.Type), append(page.Zones, p.Zone), append(page.Rest, p.Area)
	}
	for _, names := range []*[]string{&page.Types, &page.Zones, &page.Rest} {
		slices.Sort(*names)
		*names = slices.DeleteFunc(slices.Compact(*names), func(name string) bool { return name == "" })
	}
	differences, err := survey.SettingDifferences()
	if err != nil {
		return nil, err
	}
	for _, d := range differences {
		page.Differences = append(page.Differences, differenceRow{
			d.Point.String() + " " + d.Wish.Name, deviceOf(survey, d.Point), d.Wish.Name + "=" + d.Wish.Choice, sootline.Joined("of its "+d.Wish.Whose(), d.Wish.Reason), d.Found,
		})
	}
	page.Shown = digest(page.Differences)
	return page, nil
}

// writeWanted writes a wish down, takes one back, or notes what was found as wanted.
func (s *Server) writeWanted(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.wantedPage(survey)
	if err != nil {
		return err
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	noted, err := s.doWanted(r, a, survey, page)
	if err == nil {
		s.goSaying(w, r, page.Address, noted)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	f := r.PostForm
	page.Form = wishForm{f.Get("type"), f.Get("zone"), f.Get("area"), f.Get("settings"), f.Get("reason"), sootline.ErrorCode(err) == sootline.Doubtful}
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "wanted.html", page)
}

func (s *Server) doWanted(r *http.Request, a *app.App, survey *app.Survey, page *wantedPage) (noted string, err error) {
	site, f := survey.Register.Site.ID, r.PostForm
	switch {
	case f.Get("back") != "":
		entry, err := sootline.ParseID(f.Get("back"))
		if err != nil {
			return "", sootline.Errorf(sootline.Invalid, "open the page again", "there is no such wish: %w", err)
		}
		id := a.Form
		_, err = a.Withdraw(r.Context(), site, app.Amendment{ID: id, Entry: entry, Why: "wanted no longer"})
		return "wanted no longer", err
	case f.Get("found") != "":
		if page.Shown != f.Get("shown") {
			return "", sootline.Errorf(sootline.Conflict, "tick what was found so in the list as it is now", "the list has changed since it was shown; nothing was written down")
		}
		n, err := a.NoteAsWanted(r.Context(), site, ticked(f["done"]))
		return count(n, "setting", "settings") + " found as wanted", err
	}
	body, err := sootline.BodyOf(sootline.WishKind, sootline.Form{
		"type": f.Get("type"), "zone": f.Get("zone"), "area": f.Get("area"), "settings": strings.TrimSpace(f.Get("settings")), "reason": f.Get("reason"),
	})
	if err != nil {
		return "", err
	}
	wish, _ := body.(sootline.Wish)
	e, err := a.Want(r.Context(), site, app.WishFor{ID: a.Form, Wish: wish, Sure: f.Get("sure") != ""})
	if err != nil {
		return "", err
	}
	return sootline.Say(e.Body), nil
}

// ticked reads which differences were ticked as found as wanted.
func ticked(values []string) []app.AsWanted {
	var all []app.AsWanted
	for _, value := range values {
		point, name, _ := strings.Cut(value, " ")
		all = append(all, app.AsWanted{Point: point, Setting: name})
	}
	return all
}

// wishesAt lists what is wanted of a point, with whose wish it is and why.
func wishesAt(survey *app.Survey, p *sootline.Point) []wishRow {
	var rows []wishRow
	for _, w := range survey.Register.WishesOf(p) {
		rows = append(rows, wishRow{Of: w.Whose(), Setting: w.Name + "=" + w.Choice, Reason: w.Reason, By: w.Entry.By, Entry: w.Entry.ID.String()})
	}
	return rows
}

// unlike lists the settings of a point that are not as wanted.
func unlike(survey *app.Survey, p *sootline.Point) []string {
	var settings []string
	for _, w := range survey.Register.WishesOf(p) {
		if !app.FoundSo(p, w) {
			settings = append(settings, w.Name+"="+w.Choice)
		}
	}
	return settings
}
