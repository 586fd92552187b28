package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// pointRow is a point as the table shows it, made once with the survey.
type pointRow struct {
	Ref, Address, Type, Place, Zone, Loop string
	Value, Band, Verdict, Action, Drift   string
	Leaves, ReadAt                        string
	Off, Chosen                           bool
	ID, Serial                            string
	Location, Area, Kind                  string

	search string // what a search looks in
	value  *float64
	margin *float64
	drift  *float64
	leaves *float64 // seconds since 1970
	turn   int      // in the order of the register
}

func pointRows(survey *app.Survey) []*pointRow {
	points := survey.Register.Points()
	rows := make([]*pointRow, len(points))
	for i, p := range points {
		rows[i] = rowOf(survey, p)
		rows[i].turn = i
	}
	return rows
}

func rowOf(survey *app.Survey, p *sootline.Point) *pointRow {
	row := &pointRow{
		Location: p.Location, Area: p.Area,
		Ref: p.Ref().String(), Address: pointAddress(survey, p), Type: p.Type, Place: place(p), Zone: p.Zone, Loop: p.LoopID().String(), ID: p.ID.String(), Serial: p.Unit.Serial,
		Off: p.Disabled != nil, search: strings.ToLower(sootline.Joined(p.Ref().String(), p.Type, p.Location, p.Area, p.Zone, p.Unit.Serial)),
	}
	if sheet := survey.Register.Sheet(p.Type); sheet != nil {
		row.Kind = string(sheet.Kind)
	}
	j := survey.Judgement(p)
	if j == nil {
		return row
	}
	row.Verdict, row.Action, row.Band = string(j.Verdict), string(j.Action), bandOf(j)
	if !j.ReadAt.IsZero() {
		row.Value, row.value, row.ReadAt = withUnit(number(&j.Value), unitOf(j)), &j.Value, day(j.ReadAt, survey.Zone)
	}
	row.margin, row.drift = j.Margin, j.DriftPerYear
	row.Drift = signed(j.DriftPerYear)
	row.Leaves = aheadOf(survey, j.LeavesEarliest)
	if j.LeavesEarliest != nil {
		row.leaves = new(float64(j.LeavesEarliest.Unix()))
	}
	return row
}

// pointsPage is the table of a site's points.
type pointsPage struct {
	Frame
	Search, Loop, State string
	Area, Type, Kind    string
	Loops               []string
	States              []string
	Areas, Types, Kinds []string // that some point has
	Rows                []*pointRow
	Found, All          int
	Heads               []sortHead
	paging
	Home  takeHome
	found []*pointRow // on all pages

	Writes  bool   // whoever looks may change points
	Address string // of the page, and of the form that acts on what is chosen
	ID      string
	Back    string // with what the table is narrowed to
	Chosen  chosenForm
}

// chosenForm is what was typed to be done to the points that are chosen.
type chosenForm struct {
	Location, Area, Zone, Why string
	Trouble                   string
	WayOut                    []wayLine
	Ask                       bool
}

func (s *Server) showPoints(w http.ResponseWriter, r *http.Request) error {
	survey, rows, err := s.judged(r)
	if err != nil {
		return err
	}
	page := s.pointsPage(survey, rows(), r.URL.Query())
	if given, err := s.givesTable(w, r, survey, func() homeTable { return pointsHome(page.found) }); given {
		return err
	}
	page.Writes = visitorOf(r).Role.May(sootline.Technician)
	return s.show(w, r, http.StatusOK, "points.html", page)
}

func (s *Server) pointsPage(survey *app.Survey, rows []*pointRow, q url.Values) *pointsPage {
	page := &pointsPage{
		ID: s.newID(), Address: siteAddress(survey) + "/points",
		Frame:  Frame{Title: "Points of " + survey.Register.Site.Name, Survey: survey},
		Search: strings.TrimSpace(q.Get("q")), Loop: q.Get("loop"), State: q.Get("state"), Area: q.Get("area"), Type: q.Get("type"), Kind: q.Get("kind"), All: len(survey.Register.Points()), States: pointStates(),
	}
	for _, loop := range survey.Register.Loops() {
		page.Loops = append(page.Loops, loop.String())
	}
	page.Areas = distinct(rows, func(r *pointRow) string { return r.Area })
	page.Types = distinct(rows, func(r *pointRow) string { return r.Type })
	page.Kinds = distinct(rows, func(r *pointRow) string { return r.Kind })
	page.found = page.filter(rows)
	sortRows(page.found, rowOrders(), q)
	page.turn(page.found, q)
	page.Home = takeHomeOf(q)
	page.Heads = sortHeads(q, pointHeads())
	q.Del(doneQuery)
	page.Back = page.Address + "?" + q.Encode()
	return page
}

// backQuery is the query of the page on which a form stood.
func backQuery(r *http.Request) url.Values {
	_, query, _ := strings.Cut(r.PostForm.Get("back"), "?")
	q, err := url.ParseQuery(query)
	if err != nil {
		return url.Values{}
	}
	return q
}

// typed puts back what was typed, with what was wrong with it.
func (p *pointsPage) typed(r *http.Request, err error) {
	f := &typedForm{values: r.PostForm}
	p.Chosen = chosenForm{
		Location: f.text("location"), Area: f.text("area"), Zone: f.text("zone"), Why: f.text("why"),
		Trouble: sentence(err), WayOut: wayOut(r, err), Ask: sootline.ErrorCode(err) == sootline.Doubtful,
	}
	for i, row := range p.Rows {
		if slices.Contains(r.PostForm["point"], row.ID) {
			chosen := *row
			chosen.Chosen = true
			p.Rows[i] = &chosen
		}
	}
}

// stateOff is the state of points that are out of use.
const stateOff = string(sootline.DisabledKind)

// pointStates are what the table can be narrowed to.
func pointStates() []string {
	return []string{
		string(app.CleanNow), string(app.Replace), string(app.CleanAtVisit), string(app.LookAgain), string(app.ReadFirst), string(app.Leave),
		string(app.Above), string(app.Below), string(app.NoBand), string(app.NoReading), stateOff,
	}
}

func (p *pointsPage) filter(rows []*pointRow) []*pointRow {
	found := make([]*pointRow, 0, len(rows))
	words := strings.Fields(strings.ToLower(p.Search))
	for _, row := range rows {
		if !p.wants(row) {
			continue
		}
		if !slices.ContainsFunc(words, func(word string) bool { return !strings.Contains(row.search, word) }) {
			found = append(found, row)
		}
	}
	return found
}

// wants reports whether a row is like what was chosen; what was not chosen leaves all.
func (p *pointsPage) wants(row *pointRow) bool {
	for _, chosen := range [...][2]string{{p.Loop, row.Loop}, {p.Area, row.Area}, {p.Type, row.Type}, {p.Kind, row.Kind}} {
		if chosen[0] != "" && chosen[0] != chosen[1] {
			return false
		}
	}
	return p.State == "" || row.is(p.State)
}

// Narrowed reports whether the table shows some points only.
func (p *pointsPage) Narrowed() bool {
	return p.Search+p.Loop+p.State+p.Area+p.Type+p.Kind != ""
}

func (row *pointRow) is(state string) bool {
	return state == stateOff && row.Off || state == row.Action || state == row.Verdict
}

// turn cuts out the page that was asked for.
func (p *pointsPage) turn(found []*pointRow, q url.Values) {
	var first, last int
	p.Found = len(found)
	p.paging, first, last = cut(len(found), q)
	p.Rows = found[first:last]
}

func rowOrders() map[string]rowOrder[*pointRow] {
	return map[string]rowOrder[*pointRow]{
		"point":   byTurn(func(r *pointRow) int { return r.turn }),
		"type":    byText(func(r *pointRow) string { return r.Type }),
		"place":   byText(func(r *pointRow) string { return r.Place }),
		"value":   byFigure(func(r *pointRow) *float64 { return r.value }),
		"verdict": byFigure(func(r *pointRow) *float64 { return r.margin }),
		"drift":   byFigure(func(r *pointRow) *float64 { return r.drift }),
		"leaves":  byFigure(func(r *pointRow) *float64 { return r.leaves }),
		"action":  byText(func(r *pointRow) string { return r.Action }),
	}
}

func pointHeads() []sortHead {
	return []sortHead{
		{Name: "Point", Key: "point"},
		{Name: "Place", Key: "place", Class: "more"},
		{Name: "Type", Key: "type", Class: "more"},
		{Name: "Value", Key: "value", Class: "figure"},
		{Name: "Verdict", Key: "verdict"},
		{Name: "Drift a year", Key: "drift", Class: "figure more"},
		{Name: "Leaves from", Key: "leaves", Class: "more"},
		{Name: "To do", Key: "action"},
	}
}
