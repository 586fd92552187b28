package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// sitePage is what is known of a site as a whole.
type sitePage struct {
	Frame
	Name, Zone, Remark         string
	Points, Types, Readings    string
	Entries, Last, VisitMonths string
	Inside                     string
	Figures                    []app.Figure
	Work                       []workGroup
	Leave                      int
	Loops                      []loopLine
	Areas                      []areaLine
	Ageing                     []string
	Years                      *drawing // nil: nothing was read yet
	Course                     string
	Findings                   []findingLine
	Questions                  int
	Defects                    []defectLine // the first few that are not closed
	MoreDefects                int
	Begin                      bool // there is no point yet
	Serious                    int  // findings of the register that need somebody now
	State                      string
}

// workGroup is the points to which one thing is to be done.
type workGroup struct {
	Action, Address string
	Count, More     int
	Points          []workLine
}

type workLine struct{ Ref, Address, Reads, Place, Why string }

type loopLine struct {
	Name, Numbers, Address string
	Points, Off, Act       int
	Assumed                bool
}

type areaLine struct {
	Name, Address            string
	Points, Outside, Leaving int
}

type findingLine struct {
	Weight, Reason string
	WayOut         []wayLine
	Points         []pointLink
	More           int
}

type pointLink struct{ Ref, Address string }

func (s *Server) showSite(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.judged(r)
	if err != nil {
		return err
	}
	reg := survey.Register
	page := &sitePage{
		Frame: Frame{Title: reg.Site.Name, Survey: survey},
		Name:  reg.Site.Name, Zone: survey.Zone.String(), Remark: reg.Site.Remark,
		Points: count(len(reg.Points()), "point", "points"), Types: count(len(reg.Sheets()), "type", "types"),
		Readings: count(reg.Readings, "reading", "readings"), Entries: count(reg.Entries, "entry", "entries"),
		Last: day(reg.Last, survey.Zone), VisitMonths: count(reg.Site.Rules.VisitMonths, "month", "months"),
		Inside: insideNow(survey), Course: survey.Judged().Overview.Reason, Questions: len(survey.Asked()),
	}
	figures := survey.Figures()
	page.Figures = figures.List()
	page.addWork(survey)
	page.addDefects(survey)
	page.addLoops(survey)
	page.addOverview(survey)
	page.addFindings(survey)
	if err := page.addState(survey); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "site.html", page)
}

// addWork lists what is to be done, the most pressing first.
func (p *sitePage) addWork(survey *app.Survey) {
	const most = 5
	for _, g := range app.ByAction(survey.Judged().Judgements) {
		if g.Action == app.Leave {
			p.Leave = len(g.Judgements)
			continue
		}
		group := workGroup{
			Action: string(g.Action), Count: len(g.Judgements), More: max(0, len(g.Judgements)-most),
			Address: siteAddress(survey) + "/points?state=" + queryWord(string(g.Action)),
		}
		for _, j := range g.Judgements[:min(most, len(g.Judgements))] {
			group.Points = append(group.Points, workLine{
				Ref: j.Point.Ref().String(), Address: pointAddress(survey, j.Point), Reads: reads(&j), Place: place(j.Point), Why: first(j.Sentences()),
			})
		}
		p.Work = append(p.Work, group)
	}
}

// addState says in one sentence how the site stands.
func (p *sitePage) addState(survey *app.Survey) error {
	p.Begin = len(survey.Register.Points()) == 0
	for i := range survey.Findings() {
		if f := &survey.Findings()[i]; f.Weight == sootline.Serious && !app.TellsDefect(f) {
			p.Serious++
		}
	}
	now := 0
	for _, g := range p.Work {
		if g.Action == string(app.CleanNow) || g.Action == string(app.Replace) {
			now += g.Count
		}
	}
	due, err := survey.DueList(store.SiteLine{})
	if err != nil {
		return err
	}
	var says []string
	if now > 0 {
		says = append(says, count(now, "point needs", "points need")+" somebody now")
	}
	if overdue := due.Count(app.Overdue); overdue > 0 {
		says = append(says, count(overdue, "thing is", "things are")+" overdue")
	}
	if p.Serious > 0 {
		says = append(says, count(p.Serious, "serious finding", "serious findings")+" on the register")
	}
	switch {
	case len(says) > 0:
		p.State = sootline.AsSentence(strings.Join(says, "; "))
	case p.Leave == 0 && len(p.Work) == 0:
		p.State = "Nothing was read yet, so nothing is judged."
	default:
		p.State = "Nothing needs anybody now."
	}
	return nil
}

// addDefects lists the first defects that are not closed.
func (p *sitePage) addDefects(survey *app.Survey) {
	const most = 6
	lines := waitingDefects(survey, survey.Register.Defects())
	p.Defects, p.MoreDefects = lines[:min(most, len(lines))], max(0, len(lines)-most)
}

// reads tells a value with its unit, beside its band.
func reads(j *app.Judgement) string {
	if j == nil || j.ReadAt.IsZero() {
		return "not read"
	}
	value := withUnit(number(&j.Value), unitOf(j))
	if band := bandOf(j); band != "" {
		return value + " in " + band
	}
	return value
}

func place(p *sootline.Point) string { return sootline.Joined(p.Location, p.Area) }

func first(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return list[0]
}

func (p *sitePage) addLoops(survey *app.Survey) {
	at := map[sootline.LoopID]int{}
	for i, loop := range survey.Register.Loops() {
		at[loop.LoopID] = i
		p.Loops = append(p.Loops, loopLine{
			Name: loop.String(), Numbers: numbersOf(loop), Assumed: !survey.Register.Described(loop.LoopID),
			Address: siteAddress(survey) + "/loop?of=" + queryWord(loop.String()),
		})
	}
	for _, point := range survey.Register.Points() {
		line := &p.Loops[at[point.LoopID()]]
		line.Points++
		if point.Disabled != nil {
			line.Off++
		}
		if j := survey.Judgement(point); j != nil && j.Action != app.Leave {
			line.Act++
		}
	}
}

// numbersOf tells the numbers that a loop allows.
func numbersOf(loop sootline.Loop) string { return fmt.Sprintf("%d to %d", loop.First, loop.Last) }

// addOverview tells of areas, of types that age, and of the years.
func (p *sitePage) addOverview(survey *app.Survey) {
	const most = 8
	o := survey.Judged().Overview
	for _, area := range o.Areas[:min(most, len(o.Areas))] {
		line := areaLine{Name: area.Area, Points: area.Points, Outside: area.Outside, Leaving: area.Leaving}
		if line.Name == "" {
			line.Name = "no area named"
		} else {
			line.Address = siteAddress(survey) + "/points?q=" + queryWord(area.Area)
		}
		p.Areas = append(p.Areas, line)
	}
	for _, typ := range o.Ageing[:min(most, len(o.Ageing))] {
		p.Ageing = append(p.Ageing, fmt.Sprintf("%s: %d of %d fall, by %s%s a year in the middle", typ.Type, typ.Falling, typ.Points, sootline.Significant(-typ.Drift, 3), space(typ.Unit)))
	}
	if len(o.Halves) > 0 {
		p.Years = drawingOf(survey.Inside(), "years")
	}
}

func space(unit string) string {
	if unit == "" {
		return ""
	}
	return " " + unit
}

// addFindings lists what is wrong on the register, the heaviest first.
func (p *sitePage) addFindings(survey *app.Survey) {
	const mostFindings, mostPoints = 12, 6
	for _, f := range app.FindingLines(survey.Findings()) {
		if app.TellsDefect(&f.Alike[0]) || len(p.Findings) == mostFindings {
			continue
		}
		line := findingLine{Weight: f.Weight.String(), Reason: f.Reason, WayOut: waysOf(siteAddress(survey), f.WayOut), More: max(0, len(f.Points)-mostPoints)}
		for _, point := range f.Points[:min(mostPoints, len(f.Points))] {
			line.Points = append(line.Points, pointLink{point.Ref().String(), pointAddress(survey, point)})
		}
		p.Findings = append(p.Findings, line)
	}
}

// findingsOf lists what is wrong on the register about one point.
func findingsOf(survey *app.Survey, point *sootline.Point) []findingLine {
	var lines []findingLine
	for i := range survey.Findings() {
		f := &survey.Findings()[i]
		if !app.TellsDefect(f) && slices.Contains(f.Points, point) {
			lines = append(lines, findingLine{Weight: f.Weight.String(), Reason: f.Reason, WayOut: waysOf(siteAddress(survey), f.WayOut)})
		}
	}
	return lines
}

func queryWord(word string) string { return url.QueryEscape(word) }

// pathWord writes a name as a part of an address.
func pathWord(word string) string { return url.PathEscape(word) }
