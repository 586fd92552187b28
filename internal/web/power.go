package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// powerPage is one loop as the circuit that it is.
type powerPage struct {
	Frame
	circuitTabs
	Form    whatForm
	Told    *powerLines // nil: it could not be solved; the form says why
	Compare []compareRow
	Profile *drawing
	Faults  faultTable
	Meters  *app.LoopMeasured // nil: nothing was measured
	Entries []string          // addresses of what was measured
	Measure *entryForm        // nil: whoever looks may not write it
	Radials []radialLines     // of all panels
	State   string            // the address at which a radial circuit is stated; empty: whoever looks may not
}

// Sources explains how the clauses on the page are known.
func (p *powerPage) Sources() string { return app.SourceWords }

// circuitTabs leads between the loops, and between the pages of one.
type circuitTabs struct {
	Loops   []loopChoice
	Loop    string
	Pages   []loopChoice
	Caution string
	Design  string // the address of the page that designs loops
}

// whatForm is what-if as it was typed.
type whatForm struct {
	Add, Type, MM2, Volts, Isolator, Alarms string
	Fault                                   []string
	Faults                                  string // those of the address, which the form hands on
	Broken                                  []choiceLine
	At                                      string // on the cable that leads to which point
	Types                                   []string
	Points                                  []string
	Asked                                   bool
	Keep                                    []labelled // what other forms of the page hand on
	Trouble                                 string
	WayOut                                  []wayLine
}

// powerLines is what a loop comes to, in words.
type powerLines struct {
	Verdict       string
	Shown, Fails  bool
	Untold, Turns []string
	States        []labelled
	Broken, Kept  []string
	Cable         []string
	Assumed       []string
	Given         string
	Settles       string // which facts would settle it; empty: nothing is open
}

type labelled struct{ Label, Text string }

// compareRow holds one figure as it is and as it would be.
type compareRow struct{ What, Is, Would string }

func (s *Server) showPower(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page := &powerPage{Frame: Frame{Title: "Loop power of " + survey.Register.Site.Name, Survey: survey}}
	id, err := page.choose(survey, r, "power")
	if err != nil {
		return err
	}
	if err := page.radials(survey, visitorOf(r).Role); err != nil {
		return err
	}
	if page.Loop == "" {
		return s.show(w, r, http.StatusOK, "power.html", page)
	}
	q := r.URL.Query()
	page.Form = whatFormOf(survey, id, q)
	if visitorOf(r).Role.May(sootline.Technician) {
		if page.Measure, err = s.measureForm(survey, id); err != nil {
			return err
		}
	}
	code := http.StatusOK
	if err := page.solve(survey, id, q); err != nil {
		if code = status(err); code >= http.StatusInternalServerError {
			return err
		}
		page.Form.Trouble, page.Form.WayOut = sentence(err), wayOut(r, err)
	}
	if code == http.StatusOK {
		if given, err := s.givesTable(w, r, survey, func() homeTable { return faultsHome(page.Loop, page.Faults.found) }); given {
			return err
		}
	}
	return s.show(w, r, code, "power.html", page)
}

// choose finds the loop that the address names, of those that hold points, or the
// first one.
func (t *circuitTabs) choose(survey *app.Survey, r *http.Request, here string) (sootline.LoopID, error) {
	t.Caution, t.Design = app.CircuitCaution, siteAddress(survey)+"/power/design"
	var loops []sootline.LoopID
	for _, loop := range survey.Register.Loops() {
		if slices.ContainsFunc(survey.Register.Points(), func(p *sootline.Point) bool { return p.LoopID() == loop.LoopID }) {
			loops = append(loops, loop.LoopID)
		}
	}
	if len(loops) == 0 {
		return sootline.LoopID{}, nil
	}
	id := loops[0]
	if name := r.FormValue("of"); name != "" {
		var err error
		if id, err = survey.LoopNamed(name); err != nil {
			return id, err
		}
	}
	t.Loop = id.String()
	for _, loop := range loops {
		t.Loops = append(t.Loops, loopChoice{loop.String(), "?of=" + queryWord(loop.String()), loop == id})
	}
	of := "?of=" + queryWord(t.Loop)
	for _, page := range [...]struct{ name, path string }{{"Volts and faults", "power"}, {"Advice", "power/advice"}, {"Find a fault step by step", "power/lead"}, {"Find a fault by a meter", "power/find"}, {"Design", "power/design"}} {
		t.Pages = append(t.Pages, loopChoice{page.name, siteAddress(survey) + "/" + page.path + of, page.path == here})
	}
	return id, nil
}

func whatFormOf(survey *app.Survey, id sootline.LoopID, q url.Values) whatForm {
	form := whatForm{
		Add: q.Get("add"), Type: q.Get("type"), MM2: q.Get("mm2"), Volts: q.Get("volts"), Isolator: q.Get("isolator"), Alarms: q.Get("alarms"),
		At: q.Get("at"), Fault: strings.FieldsFunc(q.Get("fault"), func(r rune) bool { return r == ' ' || r == ',' }), Faults: q.Get("fault"), Types: typeNames(survey),
	}
	for _, p := range survey.Register.Points() {
		if p.LoopID() == id {
			form.Points = append(form.Points, p.Ref().String())
		}
	}
	form.besides(q.Get("broken"))
	for _, name := range [...]string{"add", "type", "mm2", "volts", "isolator", "alarms", "fault", "broken", "at"} {
		if value := q.Get(name); value != "" {
			form.Keep = append(form.Keep, labelled{name, value})
		}
	}
	form.Asked = cmp.Or(form.Add, form.MM2, form.Volts, form.Isolator, form.Alarms) != ""
	return form
}

// besides adds the fault that was chosen to those that the address names.
func (f *whatForm) besides(kind string) {
	for _, one := range [...][2]string{{"break", "cable broken"}, {"short", "cable shorted"}, {"plus", "plus core broken"}, {"minus", "minus core broken"}} {
		f.Broken = append(f.Broken, choiceLine{one[0], one[1], one[0] == kind})
	}
	if kind != "" && f.At != "" {
		f.Fault = append(f.Fault, kind+"@"+f.At)
	}
}

func typeNames(survey *app.Survey) []string {
	var names []string
	for _, sheet := range survey.Register.Sheets() {
		names = append(names, sheet.Name)
	}
	return names
}

// what reads the form.
func (f *whatForm) what() (app.WhatIf, error) {
	what := app.WhatIf{Type: f.Type, Base: strings.TrimSpace(f.Isolator)}
	var err error
	if what.Volts, err = typedFigure("the volts", f.Volts, 0.1, 1000); err != nil {
		return what, err
	}
	if what.MM2, err = typedFigure("the cross-section", f.MM2, 0.05, 100); err != nil {
		return what, err
	}
	if f.At == "" && slices.ContainsFunc(f.Broken, func(one choiceLine) bool { return one.Chosen }) {
		return what, sootline.Errorf(sootline.Invalid, "choose the point to which that cable leads, or IN", "a fault is somewhere on the loop")
	}
	add, err := typedFigure("the number of devices", f.Add, 0, 250)
	if err != nil {
		return what, err
	}
	what.Add = int(add)
	if what.Add > 0 && what.Type == "" {
		return what, sootline.Errorf(sootline.Invalid, "choose their type", "devices are added of a type")
	}
	if strings.TrimSpace(f.Alarms) != "" {
		alarms, err := typedFigure("the number of devices in alarm", f.Alarms, 0, 1000)
		if err != nil {
			return what, err
		}
		at := int(alarms)
		what.AtOnce = &at
	}
	return what, nil
}

// typedFigure reads a figure as people type it; nothing is 0.
func typedFigure(what, text string, least, most float64) (float64, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, nil
	}
	x, err := app.TypedNumber(text)
	if err != nil {
		return 0, sootline.Errorf(sootline.Invalid, fmt.Sprintf("%s; a number from %g to %g", sootline.ErrorHint(err), least, most), "%s: %w", what, err)
	}
	if x < least || x > most {
		return 0, sootline.Errorf(sootline.Invalid, "", "%s: %s is not between %g and %g", what, text, least, most)
	}
	return x, nil
}

// solve solves the loop as it would be, and as it is to compare.
func (p *powerPage) solve(survey *app.Survey, id sootline.LoopID, q url.Values) error {
	what, err := p.Form.what()
	if err != nil {
		return err
	}
	power, err := app.LoopPower(survey.Register, id, what, app.Ask{Faults: p.Form.Fault, Turns: true})
	if err != nil {
		return err
	}
	if p.Form.Asked {
		is, err := app.LoopPower(survey.Register, id, app.WhatIf{}, app.Ask{})
		if err != nil {
			return err
		}
		p.Compare = compared(is, power)
	}
	p.Told = powerLinesOf(power)
	p.Profile = drawingOf(power.Picture(), "profile")
	p.Faults.fill(power, q)
	p.Meters = power.Meters
	if p.Meters != nil {
		for i := range p.Meters.All {
			p.Entries = append(p.Entries, entryAddress(survey, p.Meters.All[i].Entry))
		}
	}
	return nil
}

func powerLinesOf(p *app.Power) *powerLines {
	c := p.Circuit
	lines := &powerLines{Verdict: p.Verdict(), Shown: p.Shown(), Fails: p.Fails(), Kept: p.Kept, Untold: p.Untold, Cable: p.Cable, Assumed: p.Assumed, Turns: p.Turns}
	say := func(label, text string) {
		if text != "" {
			lines.States = append(lines.States, labelled{label, text})
		}
	}
	lines.Settles = p.Settles()
	say("As taken", p.AsTaken())
	say("Least left", p.Least())
	say("Not written down", p.Guessed())
	say("Healthy", c.Sentence(&p.Survey.Healthy))
	say("Worst single fault", c.Sentence(&p.Survey.Worst))
	say("Current", p.Currents())
	say("Limit", p.LimitSentence())
	say("In any order", p.Restart.Reason)
	say("Takes most", "with "+c.Describe(p.Most.Faults)+", "+p.Most.Loss.Sentence())
	if p.Given != nil {
		lines.Given = c.Sentence(&p.Given.Outcome) + "; " + p.Given.Loss.Sentence()
	}
	for i := range p.Broken {
		lines.Broken = append(lines.Broken, p.Broken[i].Sentence(c))
	}
	return lines
}

// compared holds the figures that a what-if changes side by side.
func compared(is, would *app.Power) []compareRow {
	rows := []compareRow{{"Verdict", is.Verdict(), would.Verdict()}}
	both := func(what string, of func(*app.Power) string) {
		rows = append(rows, compareRow{what, of(is), of(would)})
	}
	both("Least volts, healthy", func(p *app.Power) string { return leastVolts(p, &p.Survey.Healthy) })
	both("Least volts, worst fault", func(p *app.Power) string { return leastVolts(p, &p.Survey.Worst) })
	both("Margin there", func(p *app.Power) string { return marginText(p, &p.Survey.Worst) })
	both("All loads may grow", func(p *app.Power) string {
		if !p.Limit.Bounded {
			return "without limit"
		}
		return fmt.Sprintf("to %s times", sootline.Significant(p.Limit.Factor, 3))
	})
	both("From OUT, healthy", func(p *app.Power) string { return p.Survey.Healthy.Out.String() })
	both("From IN, healthy", func(p *app.Power) string { return p.Survey.Healthy.In.String() })
	both("One short takes at most", func(p *app.Power) string { return count(len(p.Most.Loss.Points), "device", "devices") })
	both("Rules broken", func(p *app.Power) string { return strconv.Itoa(len(p.Broken)) })
	return rows
}

func leastVolts(p *app.Power, o *app.LoopOutcome) string {
	if !o.Exists || o.Point < 0 {
		return "none"
	}
	return fmt.Sprintf("%s at %s", o.Volts, p.Circuit.Loop().Points[o.Point].Name)
}

func marginText(p *app.Power, o *app.LoopOutcome) string {
	if !o.Exists || o.Point < 0 || p.Circuit.Loop().Points[o.Point].Least == 0 {
		return "not known"
	}
	return strings.Replace(o.Margin.String(), "-", "−", 1)
}

// concludes says whether the loop works, and what would settle it where nobody can tell.
func (p *powerPage) concludes() conclusion {
	base := siteAddress(p.Survey)
	switch {
	case p.Loop == "":
		return conclusion{Says: "No loop holds a point yet.", Next: &nextStep{"Design loops", p.Design, ""}}
	case p.Told == nil:
		return conclusion{Says: "It cannot be worked out as it was typed."}
	}
	c := conclusion{Live: true, Mark: "·", Says: sootline.AsSentence(p.Told.Verdict), Next: &nextStep{"What would help", base + "/power/advice?of=" + queryWord(p.Loop), ""}}
	if p.Form.Asked {
		c.Says = "As it would be: " + p.Told.Verdict + "."
	}
	switch {
	case p.Told.Fails:
		c.Mark = "▲"
	case p.Told.Shown:
		c.Mark = "○"
	case p.Told.Settles != "":
		c.Why = "It is settled by this: " + p.Told.Settles + "."
		c.Next = &nextStep{"Write the first of it down", base + "/settings/loop?of=" + queryWord(p.Loop), sootline.Manager}
	}
	return c
}
