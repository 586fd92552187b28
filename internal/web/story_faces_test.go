package web

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/worlds"
)

// figures are what a face shows of a site, by the names of docs/methods/counting.md.
type figures map[string]string

func (f figures) set(name string, n int) { f[name] = strconv.Itoa(n) }

// day sets a day; none is none.
func (f figures) day(name string, day *string) {
	f[name] = ""
	if day != nil {
		f[name] = *day
	}
}

// What is due is told of a day, and so at its end; the other figures are of now.
const (
	dueOfDay      = "next due at the end of the day"
	earliestOfDay = "earliest last day at the end of the day"
)

// face is something that shows figures of a site as of now.
type face struct {
	name string
	show func(*played) (figures, error)
}

// faces are all that show a figure. Another face is one line here.
func faces() []face {
	return []face{
		{"page of the site", pageOfSite},
		{"page of defects", pageOfDefects},
		{"page of alarms", pageOfAlarms},
		{"API", figuresOfAPI},
		{"figures of the site in the API", figuresOfSite},
		{"JSON of a command", figuresOfCommands},
		{"CSV of the visit report", figuresOfReport},
	}
}

// recounted are the same figures as the recount of the export gives them.
func recounted(log []byte, p *played) (figures, error) {
	lines, err := worlds.ReadLog(bytes.NewReader(log))
	if err != nil {
		return nil, err
	}
	fig, err := worlds.Recount(lines, p.now, 12)
	if err != nil {
		return nil, err
	}
	day, err := worlds.RecountDay(lines, p.now, 12)
	if err != nil {
		return nil, err
	}
	f := figures{}
	f.set("points", fig.Points)
	f.set("not closed", fig.Open+fig.Mended)
	f.set("open defects", fig.Open)
	f.set("mended defects", fig.Mended)
	f.set("closed defects", fig.Closed)
	f.set("false alarms", fig.FalseAlarms)
	f.set("incidents", fig.Incidents)
	f.set("real fires", fig.Fires)
	f.set("attended", fig.Attended)
	f.set("tested within the term", fig.Tested)
	f.set("points under test", fig.UnderTest)
	f.set("detectors", fig.Detectors)
	f.set("kind not known", fig.NotDescribed)
	f.set("failed", fig.Failed)
	f.set("points read", fig.PointsRead)
	f.set("fire signals", fig.Signals)
	f.set("test signals", fig.TestSignals)
	f.set("to be asked", fig.Asked)
	f.set("visits", len(fig.Visits))
	f.set("ends alone", fig.EndsAlone)
	for name, c := range fig.Categories {
		f.set("of them "+name, c.Alarms)
	}
	if len(fig.Left) == 0 {
		f["next due"] = fig.NextDue
	}
	if len(day.Left) == 0 {
		f[dueOfDay], f[earliestOfDay] = day.NextDue, day.NextDue
	}
	f["user's next test"] = fig.UserNext
	return f, nil
}

// found reads a number off a page, by an expression with one group; no match is
// the number none.
func found(page, expression string, none int) int {
	m := regexp.MustCompile(expression).FindStringSubmatch(page)
	if m == nil {
		return none
	}
	n, err := strconv.Atoi(m[1])
	if err != nil {
		return none
	}
	return n
}

// shown gives a page of the site as a manager sees it.
func (p *played) shown(address string) (string, error) {
	res := p.byName["M. Lead"].do(http.MethodGet, address, "", nil)
	text := read(p.t, res)
	if res.StatusCode != http.StatusOK {
		return "", fmt.Errorf("GET %s gives %d: %.300s", address, res.StatusCode, text)
	}
	return text, nil
}

func pageOfSite(p *played) (figures, error) {
	page, err := p.shown("/site/" + p.id.String())
	f := figures{}
	f.set("points", found(page, `class="facts">(\d+) points?`, -1))
	return f, err
}

func pageOfDefects(p *played) (figures, error) {
	page, err := p.shown("/site/" + p.id.String() + "/defects")
	f := figures{}
	f.set("open defects", found(page, `Open \((\d+)\)`, 0))
	f.set("mended defects", found(page, `Mended, not tried again yet \((\d+)\)`, 0))
	f.set("closed defects", found(page, `Closed \((\d+)\)`, 0))
	return f, err
}

func pageOfAlarms(p *played) (figures, error) {
	page, err := p.shown("/site/" + p.id.String() + "/alarms")
	f := figures{}
	f.set("false alarms", found(page, `class="figure">(\d+) false alarms?`, -1))
	f.set("incidents", found(page, `in (\d+) incidents?`, -1))
	f.set("real fires", found(page, `; (\d+) real fires?`, 0))
	f.set("attended", found(page, `The fire service came (\d+) times?`, 0))
	return f, err
}

// asOf is what shapes give, of the API and of the commands.
type asOf struct {
	site    shape.Site
	defects shape.Defects
	alarms  shape.Alarms
	due     shape.Due
	visits  struct {
		Visits []shape.Visit `json:"visits"`
	}
}

func (a *asOf) figures() figures {
	f := figures{}
	f.set("points", a.site.Points)
	f.set("open defects", a.defects.Open)
	f.set("mended defects", a.defects.Mended)
	f.set("closed defects", len(a.defects.Defects)-a.defects.Open-a.defects.Mended)
	f.set("false alarms", a.alarms.Year.Alarms)
	f.set("incidents", a.alarms.Year.Incidents)
	f.set("real fires", a.alarms.Fires)
	f.set("attended", a.alarms.Attended)
	for _, c := range a.alarms.Categories {
		f.set("of them "+c.Category, c.Alarms)
	}
	alone := 0
	for _, v := range a.visits.Visits {
		if v.Opened == nil {
			alone++
		}
	}
	f.set("visits", len(a.visits.Visits)-alone)
	f.set("ends alone", alone)
	f[earliestOfDay] = ""
	for _, site := range a.due.Sites {
		f.day(dueOfDay, site.NextDue)
		for _, o := range site.Due {
			if o.Until != nil && (f[earliestOfDay] == "" || *o.Until < f[earliestOfDay]) {
				f[earliestOfDay] = *o.Until
			}
		}
	}
	return f
}

func figuresOfAPI(p *played) (figures, error) {
	var a asOf
	for address, into := range map[string]any{"": &a.site, "/defects?all=true": &a.defects, "/alarms": &a.alarms, "/due": &a.due, "/visits": &a.visits} {
		text, err := p.shown(api.Root + "/sites/" + p.id.String() + address)
		if err == nil {
			err = json.Unmarshal([]byte(text), into)
		}
		if err != nil {
			return nil, err
		}
	}
	return a.figures(), nil
}

func figuresOfSite(p *played) (figures, error) {
	text, err := p.shown(api.Root + "/sites/" + p.id.String())
	if err != nil {
		return nil, err
	}
	var site shape.Site
	if err := json.Unmarshal([]byte(text), &site); err != nil {
		return nil, err
	}
	f, of := figures{}, site.Figures
	f.set("points", of.Points)
	f.set("detectors", of.Detectors)
	f.set("kind not known", of.KindNotKnown)
	f.set("points under test", of.UnderTest)
	f.set("tested within the term", of.Tested)
	f.set("failed", of.Failed)
	f.set("points read", of.PointsRead)
	f.set("fire signals", of.FireSignals)
	f.set("false alarms", of.FalseAlarms)
	f.set("incidents", of.Incidents)
	f.set("attended", of.Attended)
	f.set("real fires", of.RealFires)
	f.set("test signals", of.TestSignals)
	f.set("to be asked", of.ToBeAsked)
	f.set("open defects", of.DefectsOpen)
	f.set("mended defects", of.Mended)
	f.day("next due", of.NextDue)
	f.day("user's next test", of.UserNext)
	return f, nil
}

// figuresOfCommands are what `--json` writes: the shapes of the use cases, as each
// command asks for them.
func figuresOfCommands(p *played) (figures, error) {
	ctx, at := p.t.Context(), p.s.App
	line, err := at.SiteOf(ctx, p.id)
	if err != nil {
		return nil, err
	}
	survey, err := at.Survey(ctx, p.id, p.now)
	if err != nil {
		return nil, err
	}
	a := asOf{site: shape.OfSite(survey)}
	list, err := survey.Defects(app.DefectFilter{All: true})
	if err != nil {
		return nil, err
	}
	if a.defects, err = shape.OfDefects(survey.Register, p.now, list); err != nil {
		return nil, err
	}
	alarms, err := at.Alarms(ctx, p.id, p.now, "")
	if err != nil {
		return nil, err
	}
	a.alarms = shape.OfAlarms(alarms)
	due, err := at.Due(ctx, *line, p.now)
	if err != nil {
		return nil, err
	}
	a.due = shape.OfDue([]app.DueList{due})
	_, visits, err := at.Visits(ctx, *line)
	a.visits.Visits = shape.OfVisits(visits)
	return a.figures(), err
}

func figuresOfReport(p *played) (figures, error) {
	text, err := p.shown("/site/" + p.id.String() + "/paper/visit.csv?from=" + p.now.In(p.zone).Format("2006-01-02"))
	if err != nil {
		return nil, err
	}
	rows := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
	rows.FieldsPerRecord = -1
	all, err := rows.ReadAll()
	if err != nil {
		return nil, err
	}
	f, lines, unrecorded := figures{}, map[string]bool{}, false
	for _, row := range all {
		if len(row) == 2 || len(row) == 3 { // a figure, and how it is known
			f.line(row[0], row[1])
			lines[row[0]] = true
			unrecorded = unrecorded || row[0] == "false alarms in twelve months" && strings.HasPrefix(row[1], "not recorded")
		}
	}
	// Where no alarm is recorded the report says so once, and has no figures of alarms: they are to be 0.
	if unrecorded {
		for name, of := range ofReport {
			for _, figure := range of {
				if !lines[name] {
					f[figure] = "0"
				}
			}
		}
		return f, nil
	}
	for name := range ofReport {
		if !lines[name] {
			return nil, fmt.Errorf("the report has no line %q", name)
		}
	}
	return f, nil
}

// ofReport are the lines of the report that give figures, in the order of their numbers.
var ofReport = map[string][]string{
	"points":                                              {"points"},
	"automatic detectors":                                 {"detectors"},
	"points under test":                                   {"points under test"},
	"tested in twelve months":                             {"tested within the term", "points under test"},
	"points whose last test was not passed":               {"failed"},
	"defects not closed":                                  {"not closed", "open defects", "mended defects"},
	"false alarms in twelve months":                       {"false alarms", "incidents"},
	"of these attended by the fire service":               {"attended"},
	"real fires in twelve months":                         {"real fires"},
	"test signals in twelve months":                       {"test signals"},
	"alarms of which nobody said whether they were tests": {"to be asked"},
	"fire signals in twelve months":                       {"fire signals"},
}

// line reads a line of the report.
func (f figures) line(name, says string) {
	switch {
	case name == "next due", name == "user's next test":
		f[name] = paperDay(says)
	case strings.HasPrefix(name, "of them "):
		f[name] = says
	}
	numbers := regexp.MustCompile(`\d+`).FindAllString(says, -1)
	for i, figure := range ofReport[name] {
		switch {
		case len(numbers) == 0: // "none", "no points"
			f[figure] = "0"
		case i < len(numbers):
			f[figure] = numbers[i]
		}
	}
}

// paperDay is the day that a line of a paper begins with; what says that there is none is none.
func paperDay(text string) string {
	if text == "no day is known" || text == "nothing is due" {
		return ""
	}
	day, _, _ := strings.Cut(text, " ")
	return strings.TrimRight(day, ":,")
}

// compare holds what faces show against the recount, and gives what differs, by
// face and figure.
func (p *played) compare(log []byte) (map[string]string, error) {
	want, err := recounted(log, p)
	if err != nil {
		return nil, fmt.Errorf("recount: %w", err)
	}
	differs := map[string]string{}
	for _, face := range faces() {
		got, err := face.show(p)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", face.name, err)
		}
		for _, name := range slices.Sorted(maps.Keys(got)) {
			should, known := want[name]
			if !known && strings.HasPrefix(name, "of them ") {
				should, known = "0", true
			}
			if known && got[name] != should {
				differs[face.name+": "+name] = fmt.Sprintf("%q, and %q by the recount", got[name], should)
			}
		}
	}
	return differs, nil
}
