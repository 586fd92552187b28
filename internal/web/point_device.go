package web

import (
	"net/http"
	"strconv"

	"sootline"
	"sootline/internal/app"
)

// deviceForm says what was set on a device, or read back from it.
type deviceForm struct {
	Address, ID   string
	To, SetID     string // the number to which it is to be set; empty: none
	Number, Other string
	Means         []choiceLine
	Unlike        []string // settings wanted that were not found so yet
	Trouble       string
	WayOut        []wayLine
	Ask           bool // it may be a slip: whoever is certain ticks so
}

// The acts of the form, as its buttons name them.
const actSet, actFound = "set", "found"

func (s *Server) deviceForm(survey *app.Survey, p *sootline.Point) *deviceForm {
	form := &deviceForm{Address: pointAddress(survey, p) + "/device", ID: s.newID(), Unlike: unlike(survey, p)}
	if p.Wanted != 0 && p.Wanted != p.Stands.Number {
		form.To, form.SetID = strconv.Itoa(p.Wanted), s.newID()
	}
	for _, field := range sootline.FieldsOf(sootline.AddressedKind) {
		for _, choice := range field.Choices {
			form.Means = append(form.Means, choiceLine{Value: choice.Value, Says: choice.Says})
		}
	}
	return form
}

// noteDevice writes down what was set on a device, or read back from it.
func (s *Server) noteDevice(w http.ResponseWriter, r *http.Request) error {
	survey, point, a, err := s.formAtPoint(r)
	if err != nil {
		return err
	}
	n, err := deviceNote(&typedForm{values: r.PostForm})
	if err == nil {
		n.ID, n.Point = a.Form, point.ID.String()
		_, err = a.NoteDevice(r.Context(), survey.Register.Site.ID, n)
	}
	if err == nil {
		http.Redirect(w, r, withDone(pointAddress(survey, point), a.Form), http.StatusSeeOther)
		return nil
	}
	return s.afterForm(w, r, survey, point, err, func(page *pointPage) {
		form := page.Device
		if form == nil {
			return
		}
		form.Number, form.Other = r.PostForm.Get("number"), r.PostForm.Get("other")
		form.Trouble, form.WayOut, form.Ask = sentence(err), wayOut(r, err), sootline.ErrorCode(err) == sootline.Doubtful
		for i := range form.Means {
			form.Means[i].Chosen = form.Means[i].Value == r.PostForm.Get("how")
		}
	})
}

// afterForm shows the facts of a point once a form about them is done; one that was refused is shown again, with what was
// typed, which refused fills in.
func (s *Server) afterForm(w http.ResponseWriter, r *http.Request, survey *app.Survey, point *sootline.Point, err error, refused func(*pointPage)) error {
	switch {
	case err == nil:
		http.Redirect(w, r, pointAddress(survey, point)+"#facts", http.StatusSeeOther)
		return nil
	case status(err) >= http.StatusInternalServerError:
		return err
	}
	page := s.pointPage(survey, point, false)
	page.Form = s.newEntryForm(string(sootline.ReadKind)).drawn(page.Address+"#add", kindsAt(r))
	refused(page)
	return s.show(w, r, status(err), "point.html", page)
}

// formAtPoint reads a form about a point: the site as it stands, the point, and the
// use cases in the name of the form.
func (s *Server) formAtPoint(r *http.Request) (*app.Survey, *sootline.Point, *app.App, error) {
	if err := r.ParseForm(); err != nil {
		return nil, nil, nil, unreadable(err)
	}
	survey, point, err := s.atPoint(r)
	if err != nil {
		return nil, nil, nil, err
	}
	a, err := s.asForm(r)
	return survey, point, a, err
}

// deviceNote reads the form.
func deviceNote(f *typedForm) (app.DeviceNote, error) {
	n := app.DeviceNote{How: sootline.Means(f.text("how")), Sure: f.tick("sure")}
	number := f.whole("number", "number")
	switch f.text("act") {
	case actSet:
		n.Set = number
	case actFound:
		n.Found = number
	default:
		return n, sootline.Errorf(sootline.Invalid, "open the page again", "the form does not say whether it was set or found")
	}
	settings := f.values["found"]
	if other := f.text("other"); other != "" {
		settings = append(settings, other)
	}
	var err error
	if n.Settings, err = app.ParseSettings(settings); err != nil {
		return n, err
	}
	return n, f.err
}
