package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// designPage makes loops of what areas want, before there is a register.
type designPage struct {
	Frame
	Base    string
	Form    designForm
	Types   []string
	Told    *designLines
	Beside  []app.Beside
	Chart   *drawing
	Caution string
	MayKeep bool
	ID      string
	Trouble string
	Doubted bool // it is asked whether it is so
	WayOut  []wayLine
}

// designForm is a design as it was typed.
type designForm struct{ Table, At, Risers, Storey, Slack, Spare, Most, Loops, MM2, Isolators, Beside, Chart string }

// designFields are the names of the form's fields, in the order of designForm.
func (f *designForm) fields() map[string]*string {
	return map[string]*string{
		"table": &f.Table, "at": &f.At, "risers": &f.Risers, "storey": &f.Storey, "slack": &f.Slack, "spare": &f.Spare, "most": &f.Most,
		"loops": &f.Loops, "mm2": &f.MM2, "isolators": &f.Isolators, "beside": &f.Beside, "chart": &f.Chart,
	}
}

// designLines is what a design comes to, in words.
type designLines struct {
	Headline     string
	Shown, Fails bool
	Heads        []string
	Rows         [][]string
	Key          string
	Loops        []designedLoop
	Assumed      []string
	Battery      string
}

type designedLoop struct {
	Name   string
	Lines  []labelled
	Heads  []string
	Points [][]string
}

func (s *Server) showDesign(w http.ResponseWriter, r *http.Request) error {
	page, survey, err := s.designPage(r, r.URL.Query())
	if err != nil {
		return err
	}
	if page.Form.Table == "" {
		return s.show(w, r, http.StatusOK, "design.html", page)
	}
	code := http.StatusOK
	if err := page.design(survey); err != nil {
		if code = status(err); code >= http.StatusInternalServerError {
			return err
		}
		page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	}
	return s.show(w, r, code, "design.html", page)
}

// designPage is the page with what was typed.
func (s *Server) designPage(r *http.Request, q url.Values) (*designPage, *app.Survey, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, nil, err
	}
	page := &designPage{
		Frame: Frame{Title: "Design of loops of " + survey.Register.Site.Name, Survey: survey}, Base: siteAddress(survey), Types: typeNames(survey),
		Caution: app.CircuitCaution, MayKeep: s.as(r).Who.Role.May(sootline.Manager), ID: s.newID(),
	}
	for name, field := range page.Form.fields() {
		*field = strings.TrimSpace(q.Get(name))
	}
	return page, survey, nil
}

// choice reads the form.
func (f *designForm) choice() (app.DesignChoice, error) {
	c := app.DesignChoice{Spare: -1, Slack: -1, Every: f.Isolators == "every"}
	for _, part := range []struct{ name, value string }{{"spare", f.Spare}, {"most", f.Most}, {"loops", f.Loops}, {"mm2", f.MM2}} {
		if part.value == "" {
			continue
		}
		if err := c.Change(part.name + "=" + part.value); err != nil {
			return c, err
		}
	}
	var err1, err2, err3 error
	c.Storey, err1 = typedFigure("metres from floor to floor", f.Storey, 0.1, 100)
	if f.Slack != "" {
		c.Slack, err2 = typedFigure("metres a device besides", f.Slack, 0, 100)
	}
	err3 = c.Place(f.At, f.Risers)
	return c, cmp.Or(err1, err2, err3)
}

// design makes the design, and the one beside it.
func (p *designPage) design(survey *app.Survey) error {
	d, brief, err := p.made(survey)
	if err != nil {
		return err
	}
	if p.Told, err = designLinesOf(d); err != nil {
		return err
	}
	if p.Form.Chart != "" {
		chart, err := app.LongestCables(survey.Register, d)
		if err != nil {
			return err
		}
		p.Chart = drawingOf(chart.Picture(), "longest")
	}
	if p.Form.Beside == "" {
		return nil
	}
	choice, err := p.Form.choice()
	if err != nil {
		return err
	}
	for part := range strings.FieldsSeq(p.Form.Beside) {
		if err := choice.Change(part); err != nil {
			return err
		}
	}
	other, err := app.DesignLoops(survey.Register, brief, choice)
	if err != nil {
		return err
	}
	p.Beside = app.BesideOf(d, other)
	return nil
}

// made makes the design that the form asks for.
func (p *designPage) made(survey *app.Survey) (*app.Design, *app.DesignBrief, error) {
	choice, err := p.Form.choice()
	if err != nil {
		return nil, nil, err
	}
	brief, err := app.ReadDesignBrief(strings.NewReader(p.Form.Table), survey.Register)
	if err != nil {
		return nil, nil, err
	}
	d, err := app.DesignLoops(survey.Register, brief, choice)
	return d, brief, err
}

func designLinesOf(d *app.Design) (*designLines, error) {
	lines := &designLines{Headline: d.Headline(), Shown: d.Shown(), Fails: d.Fails(), Heads: app.DesignHeads, Key: app.DesignKey}
	for _, l := range d.Loops {
		lines.Rows = append(lines.Rows, l.Cells())
		one := designedLoop{Name: l.String(), Heads: app.PointHeads, Points: l.Listed()}
		broken := make([]labelled, 0, len(l.Power.Broken))
		for i := range l.Power.Broken {
			broken = append(broken, labelled{"Rule broken", l.Power.Broken[i].Sentence(l.Power.Circuit)})
		}
		for _, line := range slices.Concat([]labelled{
			{"Verdict", l.Power.Verdict()},
			{"Would settle it", l.Power.Settles()},
			{"Least left", l.Power.Least()},
		}, broken, []labelled{
			{"Isolators", l.Isolators.Reason},
			{"In bases of", l.IsolatorNumbers()},
		}) {
			if line.Text != "" {
				one.Lines = append(one.Lines, line)
			}
		}
		lines.Loops = append(lines.Loops, one)
	}
	for _, a := range d.Assumed {
		lines.Assumed = append(lines.Assumed, a.String())
	}
	var err error
	lines.Battery, err = d.BatterySentence(nil, 1)
	return lines, err
}

// keepDesign writes the design into the register, and leads to the bench.
func (s *Server) keepDesign(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	page, survey, err := s.designPage(r, r.PostForm)
	if err != nil {
		return err
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	done := page.Base + "/bench"
	if known, err := a.Noted(r.Context(), survey.Register.Site.ID); err != nil {
		return err
	} else if known {
		http.Redirect(w, r, done, http.StatusSeeOther)
		return nil
	}
	d, _, err := page.made(survey)
	if err == nil {
		d.Sure = r.PostForm.Get("sure") != ""
		_, err = a.WriteDesign(r.Context(), survey.Register.Site.ID, d, "the page")
	}
	if err == nil {
		http.Redirect(w, r, done, http.StatusSeeOther)
		return nil
	}
	code := status(err)
	if code >= http.StatusInternalServerError {
		return err
	}
	page.Trouble, page.WayOut, page.Doubted = sentence(err), wayOut(r, err), sootline.ErrorCode(err) == sootline.Doubtful
	return s.show(w, r, code, "design.html", page)
}
