package web

import (
	"cmp"
	"net/http"
	"slices"

	"sootline"
	"sootline/internal/app"
)

// defectsPage lists the defects of a site.
type defectsPage struct {
	Frame
	Open, Mended, Closed []defectLine
	Stray                []logLine
	Form                 stepForm
	Added                string
	Home                 takeHome
}

// defectLine is a defect in a list.
type defectLine struct {
	Name, Address, State, Grade, What string
	Where, PointAddress               string
	Since, Needs, ByDay, Photo        string
	Turned                            string // when it was mended, or closed
}

// defectPage is one defect with its story.
type defectPage struct {
	Frame
	defectLine
	Facts  []labelled
	Photos []photoShown
	Story  []storyLine
	Steps  []stepForm // the next one first
	Done   string     // what was just written down
}

func (s *Server) showDefects(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.defectsPage(survey)
	if err != nil {
		return err
	}
	if d := survey.Register.Defect(idOf(r.URL.Query().Get("added"))); d != nil {
		page.Added = d.What()
	}
	page.Home = takeHomeOf(r.URL.Query())
	if given, err := s.givesTable(w, r, survey, page.home); given {
		return err
	}
	page.Form.Point = shortName(survey, r.URL.Query().Get("point"))
	return s.show(w, r, http.StatusOK, "defects.html", page)
}

func (s *Server) defectsPage(survey *app.Survey) (*defectsPage, error) {
	list, err := survey.Defects(app.DefectFilter{All: true})
	if err != nil {
		return nil, err
	}
	page := &defectsPage{Frame: Frame{Title: "Defects of " + survey.Register.Site.Name, Survey: survey}}
	for _, d := range list {
		line := defectLineOf(survey, d)
		switch d.State {
		case sootline.DefectOpen:
			page.Open = append(page.Open, line)
		case sootline.DefectMended:
			page.Mended = append(page.Mended, line)
		default:
			page.Closed = append(page.Closed, line)
		}
	}
	for _, e := range survey.Register.StraySteps() {
		page.Stray = append(page.Stray, logLineOf(survey, survey.LogLine(e)))
	}
	page.Form = s.newStepForm(sootline.DefectKind, defectsAddress(survey))
	return page, nil
}

// home is the table of all defects to take home.
func (p *defectsPage) home() homeTable {
	t := homeTable{name: "defects", title: "Defects", columns: columnsOf("defect", "state", "grade", "where", "what", "since", "needs", "by", "mended or closed on")}
	for _, d := range slices.Concat(p.Open, p.Mended, p.Closed) {
		t.rows = append(t.rows, textCells(d.Name, d.State, d.Grade, d.Where, d.What, d.Since, d.Needs, d.ByDay, d.Turned))
	}
	return t
}

// waitingDefects lists what is not closed, at the point where one is given: the
// open ones first, the gravest of them first.
func waitingDefects(survey *app.Survey, of []*sootline.DefectFacts) []defectLine {
	var lines []defectLine
	for _, state := range []sootline.DefectState{sootline.DefectOpen, sootline.DefectMended} {
		for _, d := range survey.Register.OpenDefects() {
			if d.State == state && slices.Contains(of, d) {
				lines = append(lines, defectLineOf(survey, d))
			}
		}
	}
	return lines
}

func defectLineOf(survey *app.Survey, d *sootline.DefectFacts) defectLine {
	line := defectLine{
		Name: d.Name, Address: siteAddress(survey) + "/defect/" + d.ID.String(), State: string(d.State), Grade: string(d.Grade),
		What: sootline.Joined(string(d.Nature), d.Cause, d.Text), Where: cmp.Or(d.Where(), "the site"), Since: day(d.Since, survey.Zone), Needs: d.Needs, ByDay: d.ByDay,
	}
	if d.Point != nil {
		line.PointAddress = pointAddress(survey, d.Point)
	}
	if len(d.Photos) > 0 {
		line.Photo = "/photo/" + d.Photos[0]
	}
	switch {
	case d.ClosedBy != nil:
		line.Turned = day(d.ClosedBy.At, survey.Zone)
	case d.MendedBy != nil:
		line.Turned = day(d.MendedBy.At, survey.Zone)
	}
	return line
}

// defect gives the defect of an address, and the survey of its site.
func (s *Server) defect(r *http.Request) (*app.Survey, *sootline.DefectFacts, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, nil, err
	}
	d, err := survey.Register.DefectCalled(r.PathValue("defect"))
	return survey, d, err
}

func (s *Server) showDefect(w http.ResponseWriter, r *http.Request) error {
	survey, d, err := s.defect(r)
	if err != nil {
		return err
	}
	page := s.defectPage(r, survey, d)
	if e := d.InStory(idOf(r.URL.Query().Get("done"))); e != nil {
		page.Done = sootline.Say(e.Body)
	}
	return s.show(w, r, http.StatusOK, "defect.html", page)
}

// idOf reads an id; anything else is none.
func idOf(text string) sootline.ID {
	id, err := sootline.ParseID(text)
	if err != nil {
		return sootline.ID{}
	}
	return id
}

// photoShown is a picture on a page, or why it is none.
type photoShown struct{ Address, Trouble string }

// photoShownOf looks at a picture before a page shows it: one that is missing or spoiled is
// told of in words, and hides nothing else.
func (s *Server) photoShownOf(r *http.Request, hash string) photoShown {
	shown := photoShown{Address: "/photo/" + hash}
	if _, err := s.App.Photo(r.Context(), hash); err != nil {
		shown.Trouble = joinedSentences(s.told(visitorOf(r), err), sootline.AsSentence(sootline.ErrorHint(err)))
	}
	return shown
}

func (s *Server) defectPage(r *http.Request, survey *app.Survey, d *sootline.DefectFacts) *defectPage {
	line := defectLineOf(survey, d)
	page := &defectPage{Frame: Frame{Title: "Defect at " + line.Where, Survey: survey}, defectLine: line}
	for _, fact := range []labelled{
		{"Since", line.Since}, {"Needs", d.Needs}, {"Told", d.Told}, {"Agreed", d.Agreed}, {"To be mended by", d.ByDay}, {"Its id", d.ID.String()},
	} {
		if fact.Text != "" {
			page.Facts = append(page.Facts, fact)
		}
	}
	for _, photo := range d.Photos {
		page.Photos = append(page.Photos, s.photoShownOf(r, photo))
	}
	page.Story = storyLines(survey, d.Story)
	for _, kind := range nextSteps(d) {
		page.Steps = append(page.Steps, s.newStepForm(kind, line.Address))
	}
	return page
}

// nextSteps lists the steps that a defect can take, the next one first.
func nextSteps(d *sootline.DefectFacts) []sootline.Kind {
	switch d.State {
	case sootline.DefectOpen:
		return []sootline.Kind{sootline.MendedKind, sootline.FollowedKind, sootline.RetestedKind}
	case sootline.DefectMended:
		return []sootline.Kind{sootline.RetestedKind, sootline.FollowedKind}
	}
	return []sootline.Kind{sootline.RetestedKind, sootline.FollowedKind}
}
