package web

import (
	"net/http"
	"time"

	"sootline"
	"sootline/internal/app"
)

// apartPage shows what was changed in two places, with a button for each value.
type apartPage struct {
	Frame
	Address string
	Writes  bool // whoever looks may settle
	Trouble string
	WayOut  []wayLine
	Facts   []apartRow
}

type apartRow struct {
	What, Ref string
	Says      []apartSays
}

type apartSays struct {
	Entry, ID      string // ID: of the entry that lets this one hold
	Says, By, When string
	Holds          bool
}

func (s *Server) showApart(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page := s.apartPage(survey)
	page.Writes = visitorOf(r).Role.May(sootline.Technician)
	return s.show(w, r, http.StatusOK, "apart.html", page)
}

func (s *Server) apartPage(survey *app.Survey) *apartPage {
	page := &apartPage{Frame: Frame{Title: "Changed in two places, " + survey.Register.Site.Name, Survey: survey}, Address: siteAddress(survey) + "/apart"}
	for _, line := range app.ApartOf(survey.Register) {
		row := apartRow{What: line.What, Ref: line.Ref}
		for _, said := range line.Says {
			row.Says = append(row.Says, apartSays{
				said.Entry.ID.String(), s.newID(), said.Says, said.Entry.By, said.Entry.Noted.In(survey.Zone).Format(time.DateOnly + " 15:04"), said.Holds,
			})
		}
		page.Facts = append(page.Facts, row)
	}
	return page
}

// settleApart lets one of the values hold.
func (s *Server) settleApart(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	page := s.apartPage(survey)
	entry, err := sootline.ParseID(r.PostForm.Get("entry"))
	if err != nil {
		return sootline.Errorf(sootline.Invalid, "open the page again", "no entry is named: %w", err)
	}
	id := a.Form
	a.Form = sootline.ID{}
	page.Writes = true
	_, err = a.Settle(r.Context(), survey.Register.Site.ID, app.Settling{ID: id, Entry: entry})
	if err == nil {
		http.Redirect(w, r, withDone(page.Address, id), http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "apart.html", page)
}
