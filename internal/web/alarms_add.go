package web

import (
	"net/http"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// alarmForm is the form by which an alarm is written down, with what was typed.
type alarmForm struct {
	ID, Point, At, Category, Cause, Text string
	Attended                             bool
	Trouble                              string
	WayOut                               []wayLine
}

type categoryChoice struct {
	Name, Says string
	Current    bool
}

// Choices lists the categories; nobody has to know one.
func (f alarmForm) Choices() []categoryChoice {
	says := map[sootline.AlarmCategory]string{
		sootline.Unwanted:   "unwanted: cooking, steam, dust, insects",
		sootline.Equipment:  "equipment: a fault of the system",
		sootline.Malicious:  "malicious: somebody who knew better",
		sootline.GoodIntent: "good intent: somebody believed there was a fire",
		sootline.RealFire:   "a real fire",
		sootline.TestAlarm:  "a test",
	}
	choices := []categoryChoice{{"", "not known yet", f.Category == ""}}
	for _, c := range sootline.AlarmCategories() {
		choices = append(choices, categoryChoice{string(c), says[c], f.Category == string(c)})
	}
	return choices
}

// shortName gives the number of a point that an address names by its id, where the
// number names no other.
func shortName(survey *app.Survey, name string) string {
	point, err := app.PointNamed(survey.Register, name)
	if err != nil {
		return name
	}
	if again, err := app.PointNamed(survey.Register, point.Ref().String()); err == nil && again == point {
		return point.Ref().String()
	}
	return name
}

// addAlarm writes an alarm down. A form with a mistake comes back with what was
// typed and one sentence.
func (s *Server) addAlarm(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	f := r.PostForm
	form := alarmForm{
		ID: f.Get("id"), Point: strings.TrimSpace(f.Get("point")), At: f.Get("at"), Category: f.Get("category"),
		Cause: f.Get("cause"), Text: f.Get("text"), Attended: f.Get("attended") != "",
	}
	note, err := form.note(survey)
	if err == nil {
		_, err = s.as(r).AddEntry(r.Context(), survey.Register.Site.ID, note)
	}
	if err == nil {
		http.Redirect(w, r, siteAddress(survey)+"/alarms?added=1#add", http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page, _, failed := s.alarmsPage(r, survey)
	if failed != nil {
		return failed
	}
	form.Trouble, form.WayOut = sentence(err), wayOut(r, err)
	page.Form = form
	return s.show(w, r, status(err), "alarms.html", page)
}

// note makes the entry that the form asks for.
func (f alarmForm) note(survey *app.Survey) (app.Note, error) {
	id, err := sootline.ParseID(f.ID)
	if err != nil {
		return app.Note{}, sootline.Errorf(sootline.Invalid, "open the page again", "the form lost its number on the way: %w", err)
	}
	at, err := typedMoment(f.At, survey.Zone)
	if err != nil {
		return app.Note{}, err
	}
	alarm := sootline.Alarm{Category: sootline.AlarmCategory(f.Category), Cause: f.Cause, Text: f.Text, Attended: f.Attended}
	return app.Note{ID: id, At: at.At, Day: at.Day, Point: f.Point, Body: alarm}, nil
}
