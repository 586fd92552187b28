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

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/worlds"
)

// figures are what a face shows of a site, by the names of docs/methods/counting.md.
type figures map[string]string

func (f figures) set(name string, n int) { f[name] = strconv.Itoa(n) }

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
		{"JSON of a command", figuresOfCommands},
		{"CSV of the visit report", figuresOfReport},
	}
}

// redFigures are figures that are known to differ from the recount, and why.
var redFigures = []struct{ face, figure, why string }{
	{"API", "next due", endAlone},
	{"JSON of a command", "next due", endAlone},
	{"CSV of the visit report", "next due", endAlone},
}

const (
	endAlone = "an end of a visit without its beginning counts as a visit; the definition does not say whether it is one"
)

// redFigure finds why a figure of a face is known to differ; -1: it is not known.
func redFigure(what string) int {
	face, figure, _ := strings.Cut(what, ": ")
	for i, red := range redFigures {
		if (red.face == "" || red.face == face) && (red.figure == figure || strings.HasSuffix(red.figure, " ") && strings.HasPrefix(figure, red.figure)) {
			return i
		}
	}
	return -1
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
	f := figures{}
	f.set("points", fig.Points)
	f.set("open defects", fig.Open)
	f.set("mended defects", fig.Mended)
	f.set("closed defects", fig.Closed)
	f.set("false alarms", fig.FalseAlarms)
	f.set("incidents", fig.Incidents)
	f.set("real fires", fig.Fires)
	f.set("attended", fig.Attended)
	f.set("tested within the term", fig.Tested)
	f.set("points under test", fig.UnderTest)
	f.set("visits", len(fig.Visits))
	for name, c := range fig.Categories {
		f.set("of them "+name, c.Alarms)
	}
	if len(fig.Left) == 0 {
		f["next due"] = fig.NextDue
	}
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
	f.set("attended", found(page, `The fire service came to (\d+) of them`, 0))
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
	f.set("visits", len(slices.DeleteFunc(slices.Clone(a.visits.Visits), func(v shape.Visit) bool { return v.Opened == nil }))) // else only an end was written down
	f["next due"] = ""
	for _, site := range a.due.Sites {
		for _, o := range site.Due {
			if o.Until != nil && (f["next due"] == "" || *o.Until < f["next due"]) {
				f["next due"] = *o.Until
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
	f := figures{}
	for _, row := range all {
		if len(row) != 2 {
			continue
		}
		numbers := regexp.MustCompile(`\d+`).FindAllString(row[1], -1)
		switch name := row[0]; {
		case name == "tested in the twelve months to its end" && len(numbers) > 1:
			f["tested within the term"], f["points under test"] = numbers[0], numbers[1]
		case name == "false alarms in twelve months" && len(numbers) > 1:
			f["false alarms"], f["incidents"] = numbers[0], numbers[1]
		case strings.HasPrefix(name, "of them "):
			f[name] = row[1]
		case name == "next due":
			day, _, _ := strings.Cut(row[1], " ")
			f["next due"] = strings.TrimRight(day, ":,")
		}
	}
	return f, nil
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

// registerSays writes all that a register says, in one order.
func registerSays(r *sootline.Register) (string, error) {
	var b strings.Builder
	write := func(value any) error {
		raw, err := json.Marshal(value)
		b.Write(append(raw, '\n'))
		return err
	}
	events := func(list []sootline.Event) (ids []string) {
		for _, e := range list {
			ids = append(ids, fmt.Sprint(e.Entry.ID, e.Kind, e.At.UnixMilli(), e.Failed, e.Cause, e.Text))
		}
		return ids
	}
	if err := write([]any{r.Site, r.Entries, r.Readings, r.Last.UnixMilli(), events(r.Events), r.Loops(), r.Areas(), shape.OfTypes(r)}); err != nil {
		return "", err
	}
	points := slices.Concat(r.Points(), r.Former(), r.Strays())
	for _, p := range points {
		var reads []string
		for _, reading := range p.Readings {
			reads = append(reads, fmt.Sprint(reading.Entry.ID, reading.Samples))
		}
		for _, reset := range p.Resets {
			reads = append(reads, fmt.Sprint(reset.Entry.ID, reset.Why))
		}
		if err := write([]any{shape.OfRegistered(p), reads, events(p.Events)}); err != nil {
			return "", err
		}
	}
	for _, d := range r.Defects() {
		story, err := shape.OfDefectStory(d)
		if err == nil {
			err = write(story)
		}
		if err != nil {
			return "", err
		}
	}
	stray, err := shape.OfEntries(r.StraySteps())
	if err == nil {
		err = write(stray)
	}
	return b.String(), err
}
