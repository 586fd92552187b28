package web

import (
	"net/http"

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
	code := status(err)
	switch {
	case code >= http.StatusInternalServerError:
		return err
	case asksForWords(r):
		code = http.StatusOK
	}
	page := s.pointsPage(survey, rows(), backQuery(r))
	page.Writes = true
	page.typed(r, err)
	return s.show(w, r, code, "points.html", page)
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
		_, err := a.DescribePoints(r.Context(), site, points, changeTyped(f))
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

// asksForWords reports whether points were chosen and nothing was typed yet: what is to be
// said of them is asked, and no mistake.
func asksForWords(r *http.Request) bool {
	change := changeTyped(&typedForm{values: r.PostForm})
	return r.PostForm.Get("do") == actDescribe && len(r.PostForm["point"]) > 0 && change == (app.PlaceChange{})
}
