package web

import (
	"net/http"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// The acts on points, as their buttons name them.
const actDescribe, actRemove = "describe", "remove"

// actOnPoints does one thing to all points that were chosen in the table.
func (s *Server) actOnPoints(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, rows, err := s.judged(r)
	if err != nil {
		return err
	}
	a, err := s.asForm(r)
	if err == nil {
		err = s.actOnChosen(r, a, survey)
	}
	if err == nil {
		http.Redirect(w, r, withDone(localPath(r.PostForm.Get("back")), a.Form), http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page := s.pointsPage(survey, rows(), backQuery(r))
	page.Writes = true
	page.typed(r, err)
	return s.show(w, r, status(err), "points.html", page)
}

// actOnChosen does what a form asks to the points that it names.
func (s *Server) actOnChosen(r *http.Request, a *app.App, survey *app.Survey) error {
	f := &typedForm{values: r.PostForm}
	var points []sootline.ID
	for _, text := range r.PostForm["point"] {
		id, err := sootline.ParseID(text)
		if err != nil {
			return sootline.Errorf(sootline.Invalid, "open the page again", "%q names no point", text)
		}
		points = append(points, id)
	}
	site := survey.Register.Site.ID
	switch do := f.text("do"); do {
	case actDescribe:
		_, err := a.DescribePoints(r.Context(), site, points, changeTyped(f), f.tick("sure"))
		return err
	case actRemove:
		_, err := a.RemovePoints(r.Context(), site, points, f.text("why"))
		return err
	default:
		return sootline.Errorf(sootline.Invalid, "open the page again", "%q is nothing that is done with points", do)
	}
}

// changeTyped is what was typed of a place; an empty field leaves it as it is.
func changeTyped(f *typedForm) app.PlaceChange {
	some := func(name string) *string {
		if text := f.text(name); text != "" {
			return &text
		}
		return nil
	}
	return app.PlaceChange{Location: some("location"), Area: some("area"), Zone: some("zone"), Floor: some("floor")}
}

// placeForm says where a point is, as it is known, to be put otherwise.
type placeForm struct {
	Address, ID                       string
	Loop, Location, Area, Zone, Floor string
	Loops, Areas                      []string
	Why                               string // of a removal
	Trouble                           string
	WayOut                            []wayLine
	Ask                               bool
}

func (s *Server) placeForm(survey *app.Survey, p *sootline.Point) *placeForm {
	return &placeForm{
		Address: pointAddress(survey, p) + "/place", ID: s.newID(), Loop: p.LoopID().String(),
		Location: p.Location, Area: p.Area, Zone: p.Zone, Floor: p.Floor, Loops: loopNames(survey), Areas: areaNames(survey),
	}
}

// mostOffered is how many names a field offers to choose from.
const mostOffered = 60

// areaNames lists the areas that points are in, in their order.
func areaNames(survey *app.Survey) []string {
	return namesOf(survey, func(p *sootline.Point) string { return p.Area })
}

func namesOf(survey *app.Survey, of func(*sootline.Point) string) []string {
	var names []string
	seen := map[string]bool{"": true}
	for _, p := range survey.Register.Points() {
		if name := of(p); !seen[name] && len(names) < mostOffered {
			seen[name] = true
			names = append(names, name)
		}
	}
	return names
}

// describePoint says anew where one point is, or that it is no more. Here an emptied
// field empties what was known: the form showed it.
func (s *Server) describePoint(w http.ResponseWriter, r *http.Request) error {
	survey, point, a, err := s.formAtPoint(r)
	if err != nil {
		return err
	}
	f := &typedForm{values: r.PostForm}
	site, chosen := survey.Register.Site.ID, []sootline.ID{point.ID}
	if f.text("do") == actRemove {
		_, err = a.RemovePoints(r.Context(), site, chosen, f.text("why"))
	} else {
		var change app.PlaceChange
		if change, err = wholeChange(survey, f); err == nil {
			_, err = a.DescribePoints(r.Context(), site, chosen, change, f.tick("sure"))
		}
	}
	if err == nil {
		http.Redirect(w, r, withDone(pointAddress(survey, point), a.Form), http.StatusSeeOther)
		return nil
	}
	return s.afterForm(w, r, survey, point, err, func(page *pointPage) {
		form := page.PlaceForm
		if form == nil {
			return
		}
		form.Loop, form.Location, form.Area, form.Zone, form.Floor = f.text("loop"), f.text("location"), f.text("area"), f.text("zone"), f.text("floor")
		form.Why, form.Trouble, form.WayOut, form.Ask = f.text("why"), sentence(err), wayOut(r, err), sootline.ErrorCode(err) == sootline.Doubtful
	})
}

// wholeChange is a place as a form has it, whole.
func wholeChange(survey *app.Survey, f *typedForm) (app.PlaceChange, error) {
	loop, err := loopTyped(survey, f.text("loop"))
	if err != nil {
		return app.PlaceChange{}, err
	}
	location, area, zone, floor := f.text("location"), f.text("area"), f.text("zone"), f.text("floor")
	return app.PlaceChange{Loop: loop, Location: &location, Area: &area, Zone: &zone, Floor: &floor}, nil
}

// loopTyped reads a loop as panel.loop: one of the site's, since a slip would make a new one.
func loopTyped(survey *app.Survey, text string) (*sootline.LoopID, error) {
	for _, loop := range survey.Register.Loops() {
		if strings.EqualFold(loop.String(), text) {
			id := loop.LoopID
			return &id, nil
		}
	}
	return nil, sootline.Errorf(sootline.NotFound, "choose one of the site, or describe it first", "the site has no loop %q", text).Do(sootline.StateLoop)
}
