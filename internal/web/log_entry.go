package web

import (
	"net/http"

	"sootline"
	"sootline/internal/app"
)

// entryPage is one entry of the log book, with the forms that amend it.
type entryPage struct {
	Frame
	Log, Address string
	Line         logLine
	ID           string
	Station      string
	Said         []labelled
	MayCorrect   bool
	MayWithdraw  bool
	MayNot       string // why it is not withdrawn, or not amended at all
	Form         entryForm
	WithdrawID   string
	WithdrawWhy  string
	Trouble      string
	WayOut       []wayLine
}

func (s *Server) showEntry(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.entryPage(r, survey)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "log_entry.html", page)
}

func (s *Server) entryPage(r *http.Request, survey *app.Survey) (*entryPage, error) {
	id, err := sootline.ParseID(r.PathValue("entry"))
	if err != nil {
		return nil, sootline.Errorf(sootline.NotFound, "look for it in the log book", "there is no such entry in this site's log")
	}
	line, err := survey.LogEntry(id)
	if err != nil {
		return nil, err
	}
	e := &line.Entry
	page := &entryPage{
		Frame: Frame{Title: "An entry of the log book", Survey: survey}, Log: siteAddress(survey) + "/log", Address: entryAddress(survey, id),
		Line: logLineOf(survey, line), ID: id.String(), Station: e.Station, WithdrawID: s.newID(),
	}
	correct, withdraw := s.as(r).MayAmend(r.Context(), survey.Register.Site.ID, e.ID)
	page.MayCorrect, page.MayWithdraw = correct == nil, withdraw == nil
	if withdraw != nil {
		page.MayNot = sentence(withdraw)
	}
	if page.Form, err = s.correctionForm(survey, line); err != nil {
		return nil, err
	}
	page.Form = page.Form.drawn(page.Address, nil)
	page.Said, err = saidInFull(e.Body)
	return page, err
}

// amendEntry corrects an entry, or takes it back.
func (s *Server) amendEntry(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.entryPage(r, survey)
	if err != nil {
		return err
	}
	form := entryFormOf(r.PostForm)
	form.Kind, form.AsksPoint, form.Corrects = page.Form.Kind, true, true
	if err = s.amend(r, survey, page, form); err == nil {
		http.Redirect(w, r, page.Address, http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	switch {
	case r.PostForm.Get("do") == "withdraw":
		page.WithdrawID, page.WithdrawWhy = form.ID, form.Why
	case form.Seen == nil || *form.Seen == *page.Form.Seen: // else what holds now is shown anew
		page.Form = form.mistaken(r, err).drawn(page.Address, nil)
		page.Form.Trouble = "" // it stands above both forms
	}
	return s.show(w, r, status(err), "log_entry.html", page)
}

func (s *Server) amend(r *http.Request, survey *app.Survey, page *entryPage, form entryForm) error {
	m, err := form.amendment(page.ID)
	if err != nil {
		return err
	}
	site := survey.Register.Site.ID
	if r.PostForm.Get("do") == "withdraw" {
		_, err = s.as(r).Withdraw(r.Context(), site, m)
		return err
	}
	_, err = s.as(r).Correct(r.Context(), site, m, func(holds sootline.Entry) (sootline.Corrected, error) {
		return form.correction(survey, holds)
	})
	return err
}
