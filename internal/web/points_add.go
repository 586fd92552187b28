package web

import (
	"net/http"
	"net/url"

	"sootline"
	"sootline/internal/app"
)

// addPage lets a device be added where none was.
type addPage struct {
	Frame
	Address, ID                                       string
	Loop, Number, Type, Location, Area, Zone, At, Ser string
	Loops, Areas, Types, Zones                        []string
	Trouble                                           string
	WayOut                                            []wayLine
	Ask                                               bool
}

func (s *Server) addPage(survey *app.Survey, typed url.Values) *addPage {
	f := &typedForm{values: typed}
	page := &addPage{
		Frame: Frame{Title: "Add a device to " + survey.Register.Site.Name, Survey: survey}, Address: siteAddress(survey) + "/points/add", ID: s.newID(),
		Loop: f.text("loop"), Number: f.text("number"), Type: f.text("type"), Location: f.text("location"), Area: f.text("area"), Zone: f.text("zone"), At: f.text("at"), Ser: f.text("serial"),
		Loops: loopNames(survey), Areas: areaNames(survey), Zones: namesOf(survey, func(p *sootline.Point) string { return p.Zone }),
	}
	if len(page.Loops) == 1 {
		page.Loop = page.Loops[0]
	}
	for _, sheet := range survey.Register.Sheets() {
		page.Types = append(page.Types, sheet.Name)
	}
	return page
}

func (s *Server) showAddPoint(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "points_add.html", s.addPage(survey, r.URL.Query()))
}

// addPoint adds a device. A form with a mistake comes back with what was typed.
func (s *Server) addPoint(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	a, err := s.asForm(r)
	var added []sootline.Entry
	if err == nil {
		var in app.NewPoint
		if in, err = newPoint(survey, &typedForm{values: r.PostForm}); err == nil {
			added, err = a.AddPoint(r.Context(), survey.Register.Site.ID, in)
		}
	}
	switch {
	case err == nil:
		http.Redirect(w, r, withDone(siteAddress(survey)+"/point/"+added[0].Point.String(), a.Form), http.StatusSeeOther)
		return nil
	case status(err) >= http.StatusInternalServerError:
		return err
	}
	page := s.addPage(survey, r.PostForm)
	page.Trouble, page.WayOut, page.Ask = sentence(err), wayOut(r, err), sootline.ErrorCode(err) == sootline.Doubtful
	return s.show(w, r, status(err), "points_add.html", page)
}

// newPoint reads the form.
func newPoint(survey *app.Survey, f *typedForm) (app.NewPoint, error) {
	loop, number, err := numberTyped(survey, f)
	if err != nil {
		return app.NewPoint{}, err
	}
	at, err := typedMoment(f.text("at"), survey.Zone)
	if err != nil {
		return app.NewPoint{}, err
	}
	in := app.NewPoint{
		Place:  sootline.Place{Panel: loop.Panel, Loop: loop.Name, Location: f.text("location"), Area: f.text("area"), Zone: f.text("zone")},
		Number: number, Type: f.text("type"), Serial: f.text("serial"), At: at.At, Day: at.Day, Sure: f.tick("sure"),
	}
	return in, f.err
}
