package web

import (
	"net/http"
	"strconv"

	"sootline"
	"sootline/internal/app"
)

// actMove is the act on one point alone.
const actMove = "move"

// placePage lets one thing be done with the place of a point: it is moved, described anew
// or removed.
type placePage struct {
	Frame
	Address, ID, Point, Ref, Do string
	Loop, Number                string
	Location, Area, Zone, Floor string
	Loops, Areas                []string
	Why                         string // of a removal
	Trouble                     string
	WayOut                      []wayLine
	Ask                         bool
}

// placeTitles say what is done, by the act.
var placeTitles = map[string]string{actMove: "Move", actDescribe: "Change the place of", actRemove: "Remove"}

func (s *Server) placePage(survey *app.Survey, p *sootline.Point, do string) (*placePage, error) {
	title, known := placeTitles[do]
	if !known {
		return nil, sootline.Errorf(sootline.Invalid, "open the page again", "%q is nothing that is done with a place", do)
	}
	page := &placePage{
		Frame:   Frame{Title: title + " " + p.Ref().String(), Survey: survey},
		Address: pointAddress(survey, p) + "/place", ID: s.newID(), Point: pointAddress(survey, p), Ref: p.Ref().String(), Do: do,
		Loop: p.LoopID().String(), Location: p.Location, Area: p.Area, Zone: p.Zone, Floor: p.Floor,
		Loops: loopNames(survey), Areas: areaNames(survey),
	}
	if p.Stands.Number != 0 {
		page.Number = strconv.Itoa(p.Stands.Number)
	}
	return page, nil
}

func (s *Server) showPlace(w http.ResponseWriter, r *http.Request) error {
	survey, point, err := s.atPoint(r)
	if err != nil {
		return err
	}
	do := r.URL.Query().Get("do")
	if do == "" {
		do = actDescribe
	}
	page, err := s.placePage(survey, point, do)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "point_place.html", page)
}

// describePoint moves a point, says anew where it is, or that it is no more. A form with a
// mistake comes back with what was typed.
func (s *Server) describePoint(w http.ResponseWriter, r *http.Request) error {
	survey, point, a, err := s.formAtPoint(r)
	if err != nil {
		return err
	}
	f := &typedForm{values: r.PostForm}
	page, err := s.placePage(survey, point, f.text("do"))
	if err == nil {
		err = actOnPlace(r, a, survey, point, f)
	}
	switch {
	case err == nil:
		http.Redirect(w, r, withDone(pointAddress(survey, point), a.Form), http.StatusSeeOther)
		return nil
	case page == nil || status(err) >= http.StatusInternalServerError:
		return err
	}
	page.Loop, page.Number, page.Location, page.Area = f.text("loop"), f.text("number"), f.text("location"), f.text("area")
	page.Zone, page.Floor, page.Why = f.text("zone"), f.text("floor"), f.text("why")
	page.Trouble, page.WayOut, page.Ask = sentence(err), wayOut(r, err), sootline.ErrorCode(err) == sootline.Doubtful
	return s.show(w, r, status(err), "point_place.html", page)
}

// actOnPlace does what the form asks. An emptied field empties what was known: the form
// showed it.
func actOnPlace(r *http.Request, a *app.App, survey *app.Survey, point *sootline.Point, f *typedForm) (err error) {
	site := survey.Register.Site.ID
	switch f.text("do") {
	case actMove:
		var to sootline.LoopID
		var number int
		if to, number, err = numberTyped(survey, f); err == nil {
			_, err = a.MovePoint(r.Context(), site, app.PointMove{Point: point.ID, Loop: to, Number: number, Sure: f.tick("sure")})
		}
	case actRemove:
		_, err = a.RemovePoints(r.Context(), site, []sootline.ID{point.ID}, f.text("why"))
	default:
		location, area, zone, floor := f.text("location"), f.text("area"), f.text("zone"), f.text("floor")
		_, err = a.DescribePoints(r.Context(), site, []sootline.ID{point.ID}, app.PlaceChange{Location: &location, Area: &area, Zone: &zone, Floor: &floor})
	}
	return err
}

// numberTyped reads the number and the loop of a form.
func numberTyped(survey *app.Survey, f *typedForm) (sootline.LoopID, int, error) {
	return app.NumberTyped(survey.Register, f.text("number"), f.text("loop"), f.text("was"))
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
