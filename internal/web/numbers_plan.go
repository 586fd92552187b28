package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// planPage shows a plan of a loop's numbers beside today's.
type planPage struct {
	Frame
	loopPart
	ID, Shown       string // of the entry, and of the plan, that accepting it writes
	Style           planStyle
	Trouble         string
	WayOut          []wayLine
	Fits            []string
	Notes, Problems []string
	Changes, All    int
	Rows            []planRow
	Accepted        *acceptedLine // the plan that can be taken back, or nil
	Undo            string        // of the entry with which taking it back begins
}

// acceptedLine is the plan that was accepted last.
type acceptedLine struct {
	When, By, Shown string
	Numbers         int
}

// planStyle is the form of a plan, as typed.
type planStyle struct {
	By, Spares, Percent        string
	Pin                        string // references of devices that must keep their number
	Spread, Each, Afresh, Even bool   // Even: also those that stay as they are
	Ways                       []choiceLine
}

type planRow struct {
	From, To, Why string
	Changed       bool
	Device        deviceLink
}

func styleOf(q url.Values) planStyle {
	p := planStyle{
		By: q.Get("by"), Spares: q.Get("spares"), Percent: q.Get("percent"),
		Pin: q.Get("pin"), Spread: q.Get("spread") != "", Each: q.Get("each") != "", Afresh: q.Get("afresh") != "", Even: q.Get("even") != "",
	}
	if p.By == "" {
		p.By = "cable"
	}
	for _, way := range []choiceLine{{Value: "cable", Says: "along the cable"}, {Value: "zone", Says: "in blocks by zone"}, {Value: "area", Says: "in blocks by area"}} {
		way.Chosen = way.Value == p.By
		p.Ways = append(p.Ways, way)
	}
	return p
}

func (p planStyle) numberStyle() (app.NumberStyle, error) {
	style := app.NumberStyle{By: p.By, Spread: p.Spread, Each: p.Each, Afresh: p.Afresh, Pinned: app.RefsIn(p.Pin)}
	var err error
	if style.Spares, err = typedWhole(p.Spares, "numbers to leave free"); err != nil {
		return style, err
	}
	style.Percent, err = typedWhole(p.Percent, "share to leave free")
	return style, err
}

// typedWhole reads a whole number from 0; nothing is 0.
func typedWhole(text, what string) (int, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > 9999 {
		return 0, sootline.Errorf(sootline.Invalid, "write digits only, for example 10", "%s: %q is not a whole number from 0 to 9999", what, text)
	}
	return n, nil
}

func (s *Server) showPlan(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, _, err := s.planPage(r, survey, r.URL.Query())
	if err != nil {
		return err
	}
	code := http.StatusOK
	if page.Trouble != "" {
		code = http.StatusUnprocessableEntity
	}
	return s.show(w, r, code, "plan.html", page)
}

// planPage makes the plan that the form asks for. What cannot be planned is told
// on the page, with the form as it was typed.
func (s *Server) planPage(r *http.Request, survey *app.Survey, form url.Values) (*planPage, []app.NumberPlan, error) {
	page := &planPage{Frame: Frame{Title: "Plan of numbers for " + survey.Register.Site.Name, Survey: survey}, ID: s.newID(), Style: styleOf(form)}
	var err error
	if page.loopPart, err = loopIn(r, survey); err != nil || page.Loop == "" {
		return page, nil, err
	}
	if last := survey.LastPlan(); last != nil {
		page.Undo = s.newID()
		page.Accepted = &acceptedLine{local(last.Noted, survey.Zone), last.By, last.Entries[0].ID.String(), len(last.Entries)}
	}
	style, err := page.Style.numberStyle()
	var plans []app.NumberPlan
	if err == nil {
		plans, err = s.as(r).PlanNumbers(r.Context(), survey.Register.Site.ID, page.Loop, style)
	}
	if err != nil {
		page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
		if status(err) < http.StatusInternalServerError {
			err = nil
		}
		return page, nil, err
	}
	page.tell(survey, plans[0])
	return page, plans, nil
}

func (p *planPage) tell(survey *app.Survey, plan app.NumberPlan) {
	for _, fit := range plan.Fits {
		p.Fits = append(p.Fits, fmt.Sprintf("%s take %d of %d numbers, spares included", count(fit.Devices, "device", "devices"), fit.Needed, fit.Numbers))
	}
	for _, problem := range plan.Loop.Problems() {
		p.Problems = append(p.Problems, problem.Error())
	}
	p.Notes, p.Changes, p.All, p.Shown = plan.Notes, len(plan.Changes), len(plan.Numbers), digest(plan.Changes)
	whys := map[int]string{}
	for _, c := range plan.Changes {
		whys[c.Device] = c.Why
	}
	for _, i := range plan.Loop.Walk() {
		d := plan.Loop.Devices[i]
		why, changed := whys[i]
		if changed || p.Style.Even {
			p.Rows = append(p.Rows, planRow{dash(cmp.Or(d.Found, d.Wanted)), dash(plan.Numbers[i]), why, changed, deviceOf(survey, d.ID)})
		}
	}
}

// dash writes a number, or a dash where there is none.
func dash(n int) string {
	if n == 0 {
		return "–"
	}
	return strconv.Itoa(n)
}

// digest tells what was shown from what is there now.
func digest(what any) string {
	sum := sha256.Sum256(fmt.Append(nil, what))
	return hex.EncodeToString(sum[:8])
}

// acceptPlan writes the plan down that was shown. Where the loop has changed
// since, the plan is shown anew; handed in again, there is nothing left to change.
func (s *Server) acceptPlan(w http.ResponseWriter, r *http.Request) error {
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
	page, plans, err := s.planPage(r, survey, r.PostForm)
	if err != nil {
		return err
	}
	done := page.Base + "?loop=" + queryWord(page.Loop)
	if known, err := a.Noted(r.Context(), survey.Register.Site.ID); err != nil {
		return err
	} else if known {
		http.Redirect(w, r, done, http.StatusSeeOther)
		return nil
	}
	if page.Trouble == "" && page.Shown != r.PostForm.Get("shown") {
		page.Trouble, page.WayOut = "The loop has changed since the plan was shown; nothing was written down.", waysOf("", sootline.Out("look at the plan as it is now"))
	}
	if page.Trouble != "" || page.Loop == "" {
		return s.show(w, r, http.StatusConflict, "plan.html", page)
	}
	n, err := a.AcceptNumbers(r.Context(), survey.Register.Site.ID, plans)
	if err != nil {
		return err
	}
	s.goSaying(w, r, done, count(n, "number", "numbers")+" wanted")
	return nil
}

// undoPlan takes the plan back that the page showed as accepted last.
func (s *Server) undoPlan(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	part, err := loopIn(r, survey)
	if err != nil {
		return err
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	done := part.Base + "/plan?loop=" + queryWord(part.Loop)
	if known, err := a.Noted(r.Context(), survey.Register.Site.ID); err != nil || known {
		if known {
			http.Redirect(w, r, done, http.StatusSeeOther)
		}
		return err
	}
	if last := survey.LastPlan(); last == nil || last.Entries[0].ID.String() != r.PostForm.Get("shown") {
		return sootline.Errorf(sootline.Conflict, "open the plan of numbers again", "another plan was accepted or taken back meanwhile; nothing was written down")
	}
	if _, err := a.UndoPlan(r.Context(), survey.Register.Site.ID); err != nil {
		return err
	}
	http.Redirect(w, r, done, http.StatusSeeOther)
	return nil
}

// asForm gives the use cases at work for whoever asks, for a form that carries
// the id of the first entry it writes.
func (s *Server) asForm(r *http.Request) (*app.App, error) {
	id, err := sootline.ParseID(r.PostForm.Get("id"))
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "open the page again", "the form lost its number on the way: %w", err)
	}
	a := s.as(r)
	a.Form = id
	return a, nil
}

// concludes says how many numbers the plan changes.
func (p *planPage) concludes() conclusion {
	var fits string
	for _, says := range p.Fits {
		fits = joinedSentences(fits, sootline.AsSentence(says))
	}
	switch {
	case p.Loop == "":
		return noLoop(siteAddress(p.Survey))
	case p.Trouble != "":
		return conclusion{}
	case p.Changes == 0:
		return conclusion{Says: "All stays as it is: no number would change.", Why: fits}
	}
	return conclusion{
		Says: grouped(p.Changes) + " of " + count(p.All, "number", "numbers") + " would change.", Why: fits,
		Next: &nextStep{"To accepting it", "#accept", sootline.Technician},
	}
}
