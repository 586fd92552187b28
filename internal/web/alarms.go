package web

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/papers"
)

// alarmsPage is what the false alarms of a site come to.
type alarmsPage struct {
	Frame
	Codes              []codeChoice
	Code, On           string // the code's key, and the day as typed
	PaperOn, PaperOf   string // the day of the paper, empty for now; and its code, where that is another than the page's
	Areas              []string
	Area, Since        string // of the question whether something helped, as typed
	Trouble            string
	WayOut             []wayLine
	Until              string
	Alarms, Incidents  string
	Any                bool
	Fires, Attended    string
	Rate               *rateLines // nil: no detectors, or no record
	Before             string
	Notes              []string
	Categories         []categoryLine
	Limits             string // the code and edition
	Answers            []answerLine
	Repeats            []repeatTable
	Drift              string
	Drifted            []driftedLine
	Helped             *effectLines // what was asked
	Effects, Undecided []effectLines
	Months, Rates      *drawing
	Each               []alarmLine
	Advice             []adviceLine
	Caution            string
	Added              string
	Form               entryForm
}

// rateLines is a rate with its exact interval.
type rateLines struct{ Per100, Low, High, Detectors, Years string }

type categoryLine struct {
	Name              string
	Alarms, Incidents int
}

type answerLine struct {
	State, Level, Limit, Reason, Chance, Known string
	Points                                     []pointLink
}

type repeatTable struct {
	Name string
	Rows []repeatLine
}

type repeatLine struct {
	Name, Address     string
	Alarms, Incidents int
	Expected, Chance  string
}

type driftedLine struct{ Day, Ref, Address, Verdict, Words string }

type effectLines struct{ Day, What, Address, State, Reason, Before, After, Ratio string }

type alarmLine struct {
	Day, Clock, Ref, Address, Category, Cause string
	Attended, Again                           bool
}

type adviceLine struct {
	Because string
	Ways    []wayLine
}

func (s *Server) showAlarms(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, code, err := s.alarmsPage(r, survey)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	page.Added = saysAdded(survey, q)
	page.Form = s.newEntryForm(string(sootline.AlarmKind))
	page.Form.AsksPoint, page.Form.Point = true, shortName(survey, q.Get("point"))
	page.Form = page.Form.drawn(siteAddress(survey)+"/alarms#add", onlyAlarms())
	return s.show(w, r, code, "alarms.html", page)
}

// alarmsPage makes the page that the address asks for. What is mistaken in it is
// told on the page, which then shows what it shows without.
func (s *Server) alarmsPage(r *http.Request, survey *app.Survey) (*alarmsPage, int, error) {
	q := r.URL.Query()
	page := &alarmsPage{
		Frame: Frame{Title: "False alarms of " + survey.Register.Site.Name, Survey: survey},
		Code:  q.Get("code"), On: strings.TrimSpace(q.Get("on")), Area: q.Get("area"), Since: strings.TrimSpace(q.Get("since")),
		Areas: areasOf(survey), Caution: app.AlarmCaution,
	}
	code := http.StatusOK
	mistake := func(err error) { code, page.Trouble, page.WayOut = status(err), sentence(err), wayOut(r, err) }
	on, err := endOf(page.On, survey.Zone)
	if err != nil {
		mistake(err)
	}
	if on.IsZero() {
		on = s.App.Now()
	} else {
		page.PaperOn = page.On
	}
	site := survey.Register.Site.ID
	report, err := s.as(r).Alarms(r.Context(), site, on, page.Code)
	if err != nil && status(err) == http.StatusUnprocessableEntity {
		mistake(err)
		report, err = s.as(r).Alarms(r.Context(), site, on, "")
	}
	if err != nil {
		return nil, 0, err
	}
	page.tell(report, siteAddress(survey))
	if err := page.ask(report); err != nil {
		mistake(err)
	}
	return page, code, nil
}

func areasOf(survey *app.Survey) []string {
	var areas []string
	for _, p := range survey.Register.Points() {
		if p.Area != "" && !slices.Contains(areas, p.Area) {
			areas = append(areas, p.Area)
		}
	}
	slices.Sort(areas)
	return areas
}

func (p *alarmsPage) tell(r *app.AlarmReport, base string) {
	p.Codes = codeChoices(r.Code.Key)
	p.Limits = r.Code.Name + ", " + r.Code.Edition
	if own := papers.LimitsOf(p.Survey.Register); own.Key != r.Code.Key {
		p.PaperOf = own.Name + ", " + own.Edition
	}
	p.Until = r.Local(r.On)
	p.Any = r.Year.Alarms > 0 || r.YearBefore.Alarms > 0
	p.Alarms, p.Incidents = count(r.Year.Alarms, "false alarm", "false alarms"), count(r.Year.Incidents, "incident", "incidents")
	if r.Fires > 0 {
		p.Fires = count(r.Fires, "real fire", "real fires")
	}
	if r.Attended > 0 {
		p.Attended = "The fire service came " + count(r.Attended, "time", "times") + "."
	}
	p.Notes = r.Notes
	p.tellRate(r)
	for _, c := range r.ByCategory {
		if c.Alarms > 0 {
			p.Categories = append(p.Categories, categoryLine{string(c.Category), c.Alarms, c.Incidents})
		}
	}
	p.tellAnswers(r)
	p.tellRepeats(r)
	p.tellDrift(r)
	p.tellEffects(r)
	p.tellEach(r)
	for _, a := range r.Advice {
		p.Advice = append(p.Advice, adviceLine{a.Because, waysOf(base, sootline.Ways{a.Way})})
	}
}

func (p *alarmsPage) tellRate(r *app.AlarmReport) {
	if r.Year.Known() {
		p.Rate = &rateLines{app.FigureOfRate(r.Year.Per100), app.FigureOfRate(r.Year.Low), app.FigureOfRate(r.Year.High), app.FigureOfRate(r.Year.Detectors), app.FigureOfRate(r.Year.DetectorYears)}
	}
	if r.YearBefore.Known() {
		p.Before = fmt.Sprintf("The twelve months before: %s, rate %s.", count(r.YearBefore.Incidents, "incident", "incidents"), app.FigureOfRate(r.YearBefore.Per100))
	}
	if p.Any {
		p.Months = drawingOf(app.AlarmPicture(r), "months")
	}
	if picture := app.RatePicture(r); len(picture.Table.Rows) > 0 {
		p.Rates = drawingOf(picture, "rates")
	}
}

func (p *alarmsPage) tellAnswers(r *app.AlarmReport) {
	for i := range r.Answers {
		a := &r.Answers[i]
		line := answerLine{State: string(a.State), Level: a.Level, Limit: a.Limit(), Reason: a.Reason, Known: a.Known()}
		if a.Chance != "" {
			line.Chance = sootline.Joined(string(a.Chance), a.Why)
		}
		for _, point := range a.Points {
			line.Points = append(line.Points, pointLink{point.Ref().String(), pointAddress(p.Survey, point)})
		}
		p.Answers = append(p.Answers, line)
	}
}

// tellRepeats lists what incidents come from twice or more.
func (p *alarmsPage) tellRepeats(r *app.AlarmReport) {
	const most = 8
	for _, list := range []struct {
		name    string
		repeats []app.AlarmRepeat
	}{{"Points", r.Points}, {"Areas", r.Areas}, {"Causes", r.Causes}, {"Hours", r.Hours}, {"Days of the week", r.Weekdays}} {
		table := repeatTable{Name: list.name}
		for i := range list.repeats {
			x := &list.repeats[i]
			if x.Incidents < 2 || len(table.Rows) == most {
				break // they come in order of incidents
			}
			table.Rows = append(table.Rows, p.repeat(x))
		}
		if len(table.Rows) > 0 {
			p.Repeats = append(p.Repeats, table)
		}
	}
}

func (p *alarmsPage) repeat(x *app.AlarmRepeat) repeatLine {
	line := repeatLine{Name: x.Name, Alarms: x.Alarms, Incidents: x.Incidents}
	if x.Point != nil {
		line.Address = pointAddress(p.Survey, x.Point)
	}
	if x.Expected == 0 {
		return line
	}
	line.Expected, line.Chance = strconv.FormatFloat(x.Expected, 'g', 2, 64), "may be chance"
	if x.More() {
		line.Chance = fmt.Sprintf("more than chance (p = %.2g, all looked at counted in)", x.P)
	}
	return line
}

func (p *alarmsPage) tellDrift(r *app.AlarmReport) {
	if r.Drift.Alarms == 0 {
		return
	}
	p.Drift = r.Drift.Reason
	for _, d := range r.Drift.List {
		p.Drifted = append(p.Drifted, driftedLine{r.Local(d.At), d.Point.Ref().String(), pointAddress(p.Survey, d.Point), d.Verdict, d.Words})
	}
}

// tellEffects lists what was done at points that had alarmed, what nobody can
// tell yet apart from the rest.
func (p *alarmsPage) tellEffects(r *app.AlarmReport) {
	for i := range r.Effects {
		lines := p.effect(&r.Effects[i], r.Zone)
		if r.Effects[i].State == app.TooFewToTell {
			p.Undecided = append(p.Undecided, lines)
		} else {
			p.Effects = append(p.Effects, lines)
		}
	}
}

func (p *alarmsPage) effect(e *app.AlarmEffect, zone *time.Location) effectLines {
	lines := effectLines{Day: day(e.On, zone), What: e.What, State: string(e.State), Reason: e.Reason}
	if e.Point != nil {
		lines.Address = pointAddress(p.Survey, e.Point)
	}
	if e.Known() && e.Before.Incidents+e.After.Incidents > 0 {
		lines.Before, lines.After = tallyWords(&e.Before, zone), tallyWords(&e.After, zone)
		lines.Ratio = ratioWords(e.Ratio.Value) + " (" + ratioWords(e.Ratio.Low) + " to " + ratioWords(e.Ratio.High) + " at 95\u202f%)"
	}
	return lines
}

func tallyWords(t *app.AlarmTally, zone *time.Location) string {
	return fmt.Sprintf("%s in %s detector-years, from %s to %s", count(t.Incidents, "incident", "incidents"), app.FigureOfRate(t.Exposure), day(t.From, zone), day(t.To, zone))
}

// ratioWords writes a ratio of rates; without an event on one side it has no end.
func ratioWords(x float64) string {
	if x > 1e6 {
		return "no end"
	}
	return app.FigureOfRate(x)
}

// ask answers whether something that was done on a day helped.
func (p *alarmsPage) ask(r *app.AlarmReport) error {
	at, err := typedDay(p.Since, r.Zone)
	if err != nil || at.IsZero() {
		return err
	}
	e, err := app.AlarmsSince(r, p.Area, at)
	if err != nil {
		return err
	}
	lines := p.effect(&e, r.Zone)
	lines.What = cmp.Or(p.Area, "the site")
	p.Helped = &lines
	return nil
}

// tellEach lists every false alarm of the twelve months, the latest first.
func (p *alarmsPage) tellEach(r *app.AlarmReport) {
	for _, in := range r.Incidents {
		for i := range in.Alarms {
			a := &in.Alarms[i]
			line := alarmLine{Day: day(a.At, r.Zone), Category: string(a.Category), Cause: sootline.Joined(a.Cause, a.Text), Attended: a.Attended, Again: i > 0}
			if !a.Entry.Day {
				line.Clock = a.At.In(r.Zone).Format("15:04 MST")
			}
			if a.Point != nil {
				line.Ref, line.Address = a.Point.Ref().String(), pointAddress(p.Survey, a.Point)
			}
			p.Each = append(p.Each, line)
		}
	}
	slices.Reverse(p.Each)
}

// concludes says how many there were, and whether that is above a limit.
func (p *alarmsPage) concludes() conclusion {
	c := conclusion{Next: &nextStep{"Write an alarm down", siteAddress(p.Survey) + "/alarms#add", sootline.Technician}}
	above, untold := 0, 0
	for _, a := range p.Answers {
		switch a.State {
		case string(app.AlarmsAbove):
			above++
		case string(app.AlarmsUntold):
			untold++
		}
	}
	c.Says = p.Alarms + " in twelve months"
	switch {
	case above > 0:
		c.Mark, c.Says = "▲", c.Says+": above "+count(above, "limit", "limits")+" of "+p.Limits
	case untold > 0:
		c.Says += ": above no limit of " + p.Limits + ", and too few to tell for " + grouped(untold)
	case len(p.Answers) > 0:
		c.Says += ": above no limit of " + p.Limits
	}
	c.Says += "."
	return c
}
