package web

import (
	"net/http"
	"net/url"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// leadPage finds a fault step by step. All that was told stands in its address, so that it can be gone back from, and gone
// on with elsewhere.
type leadPage struct {
	Frame
	circuitTabs
	Panel      string // what the panel said, as it is spelled
	Told       []string
	NoMeter    bool
	Begun      bool
	Conclusion string
	Writable   bool
	Against    bool
	Other      string
	Restore    []string
	Warned     []string
	Doubt      string
	Likely     []app.LeadVerdict
	Next       *app.LeadStep
	Picture    *leadDrawing
	Messages   []app.LeadChoice
	Sights     []app.LeadChoice
	Spurs      int
	Assumed    []string
	Grades     []app.LeadChoice
	ID         string
	Trouble    string
	WayOut     []wayLine
}

func (s *Server) showLead(w http.ResponseWriter, r *http.Request) error {
	page, id, err := s.newLeadPage(r)
	if err != nil {
		return err
	}
	if page.Loop == "" {
		return s.show(w, r, http.StatusOK, "lead.html", page)
	}
	q := r.URL.Query()
	told := toldIn(q)
	page.Panel, page.Told, page.NoMeter, page.Begun = told.Panel, told.Told, told.NoMeter, q.Has("says") || q.Has("panel")
	if !page.Begun {
		return s.show(w, r, http.StatusOK, "lead.html", page)
	}
	lead, err := s.as(r).LeadFault(r.Context(), page.Survey.Register.Site.ID, id, told)
	if err != nil {
		if status(err) >= http.StatusInternalServerError {
			return err
		}
		page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
		return s.show(w, r, status(err), "lead.html", page)
	}
	page.tell(lead)
	return s.show(w, r, http.StatusOK, "lead.html", page)
}

func (s *Server) newLeadPage(r *http.Request) (*leadPage, sootline.LoopID, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, sootline.LoopID{}, err
	}
	page := &leadPage{
		Frame: Frame{Title: "Find a fault step by step on a loop of " + survey.Register.Site.Name, Survey: survey},
		ID:    s.newID(), Messages: app.LeadMessages(), Sights: app.LeadSights(),
	}
	for _, c := range sootline.FieldsOf(sootline.DefectKind) {
		if c.Key == "grade" {
			for _, choice := range c.Choices {
				page.Grades = append(page.Grades, app.LeadChoice{Word: choice.Value, Says: choice.Says})
			}
		}
	}
	id, err := page.choose(survey, r, "power/lead")
	return page, id, err
}

func (p *leadPage) tell(lead *app.Lead) {
	p.Conclusion, p.Doubt, p.Likely, p.Next, p.Warned = lead.Conclusion(), lead.Doubt(), lead.Likely[1:], lead.Next, lead.Warned
	p.Spurs, p.Assumed, p.Against = lead.Spurs, lead.Assumed, lead.Against
	p.Writable, p.Other, p.Restore = lead.Writable(), lead.Other(), lead.Restore
	if lead.Next != nil {
		p.Picture = leadDrawingOf(&lead.Next.Picture)
	}
}

// toldIn reads what was told: what an address or a form holds of before, and the answer just given.
func toldIn(q url.Values) app.FaultTold {
	told := app.FaultTold{Panel: q.Get("panel"), NoMeter: q.Get("meter") == "none"}
	if told.Panel == "" {
		told.Panel = listIn(q)
	}
	for _, text := range q["told"] {
		if text != "" {
			told.Told = append(told.Told, text)
		}
	}
	if step := q.Get("step"); step != "" {
		if answer := answerIn(q); answer != "" {
			told.Told = append(told.Told, step+": "+answer)
		}
	}
	return told
}

func answerIn(q url.Values) string {
	switch {
	case q.Get("over") != "":
		return "over"
	case q.Has("reading"):
		return strings.ReplaceAll(strings.TrimSpace(q.Get("reading")), ",", ".")
	case q.Has("seen"):
		return q.Get("seen")
	}
	return listIn(q)
}

// listIn puts the fields about the panel into one line.
func listIn(q url.Values) string {
	var pieces []string
	add := func(word, value string) {
		if value = strings.TrimSpace(value); value != "" {
			pieces = append(pieces, word+" "+value)
		}
	}
	add("says", q.Get("says"))
	switch who := q.Get("who"); who {
	case "all", "none":
		pieces = append(pieces, who)
	case "silent", "answers":
		add(who, q.Get("list"))
	}
	add("twice", q.Get("twice"))
	for _, end := range []string{"out", "in"} {
		add(end, strings.ReplaceAll(q.Get(end), ",", "."))
	}
	return strings.Join(pieces, "; ")
}

// noteLead writes the end of a search down as a defect.
func (s *Server) noteLead(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	page, id, err := s.newLeadPage(r)
	if err != nil {
		return err
	}
	told := toldIn(r.PostForm)
	var note app.Note
	if note.ID, err = sootline.ParseID(r.PostForm.Get("id")); err != nil {
		return lostNumber(err)
	}
	e, err := s.as(r).NoteFault(r.Context(), page.Survey.Register.Site.ID, id, told, sootline.DefectGrade(r.PostForm.Get("grade")), note)
	if err == nil {
		http.Redirect(w, r, defectsAddress(page.Survey)+"?added="+e.ID.String(), http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page.Panel, page.Told, page.NoMeter = told.Panel, told.Told, told.NoMeter
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, status(err), "lead.html", page)
}
