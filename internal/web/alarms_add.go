package web

import (
	"net/http"

	"sootline"
	"sootline/internal/app"
)

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
	address := siteAddress(survey) + "/alarms"
	to, err := s.addEntry(r, survey, addsEntry{
		kinds: onlyAlarms(), action: address + "#add", added: address + "?added=",
		again: func(form entryForm, status int) error {
			page, _, err := s.alarmsPage(r, survey)
			if err != nil {
				return err
			}
			page.Form = form
			return s.show(w, r, status, "alarms.html", page)
		},
	})
	if to != "" {
		http.Redirect(w, r, to+"#add", http.StatusSeeOther)
	}
	return err
}

// onlyAlarms is the one kind that this page adds.
func onlyAlarms() []kindChoice {
	return []kindChoice{{Kind: string(sootline.AlarmKind), Says: saysKind(string(sootline.AlarmKind))}}
}
