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
	"sootline/internal/shape"
)

// batteryPage sizes the standby battery behind a load list.
type batteryPage struct {
	Frame
	Caution                          string
	Panels                           []string
	Panel, Loads                     string
	Coldest, Design, Ageing, Charger string
	Drains                           []drainLine
	Sizes                            []sizeLine
	Largest                          sizeLine // by the rule set that asks for most
	Lacks                            string
	Assumed                          []string
	Trouble                          string
	WayOut                           []wayLine
	Worn                             wornForm
	Kept                             keptList
}

// Sources explains how the clauses on the page are known.
func (p *batteryPage) Sources() string { return app.SourceWords }

type drainLine struct{ Name, Count, Rest, Alarm, AllRest, AllAlarm string }

type sizeLine struct {
	Name, Clause, Needed, Chosen, Left string
	Steps                              []string
}

// wornForm is a discharge test as it was typed, and what it says.
type wornForm struct{ Rated, Amps, Hours, K, Years, Sentence, Trouble string }

func (s *Server) showBattery(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	page := &batteryPage{
		Frame: Frame{Title: "Battery of " + survey.Register.Site.Name, Survey: survey}, Caution: app.CircuitCaution,
		Panel: q.Get("panel"), Loads: q.Get("loads"), Coldest: q.Get("coldest"), Design: q.Get("design"), Ageing: q.Get("ageing"), Charger: q.Get("charger"),
		Worn: wornForm{Rated: q.Get("rated"), Amps: q.Get("amps"), Hours: q.Get("hours"), K: q.Get("k"), Years: q.Get("years")},
	}
	page.Panels = survey.Register.PanelsLoaded()
	if page.Panel == "" && len(page.Panels) > 0 {
		page.Panel = page.Panels[0]
	}
	code := http.StatusOK
	if err := page.size(survey, visitorOf(r).Role); err != nil {
		if code = status(err); code >= http.StatusInternalServerError {
			return err
		}
		page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	}
	if err := page.Worn.tell(); err != nil {
		code, page.Worn.Trouble = status(err), sentence(err)
	}
	return s.show(w, r, code, "battery.html", page)
}

func (p *batteryPage) size(survey *app.Survey, role sootline.Role) error {
	var battery app.Battery
	var err error
	if battery.Under, err = p.conditions(); err != nil {
		return err
	}
	drains, err := typedLoads(p.Loads)
	if err != nil {
		return err
	}
	battery.Drains = drains
	onPanel := func(point *sootline.Point) bool { return point.Panel == p.Panel }
	if survey.Register.Loads(p.Panel) != nil || slices.ContainsFunc(survey.Register.Points(), onPanel) {
		if battery, p.Assumed, err = app.PanelBattery(survey.Register, p.Panel, battery); err != nil {
			return err
		}
	}
	if err := p.keep(survey, &battery, role); err != nil {
		return err
	}
	p.Lacks = battery.Lacks()
	if len(battery.Drains) == 0 {
		return nil
	}
	var most app.AmpHours
	for i, rule := range app.StandbyRules() {
		size, err := battery.Size(i + 1)
		if err != nil {
			return err
		}
		line := sizeLine{Name: rule.Name, Clause: rule.Clause, Needed: size.Required.String(), Chosen: "none is large enough", Steps: size.Steps}
		if size.Chosen > 0 {
			line.Chosen, line.Left = size.Chosen.String(), fmt.Sprintf("%v, %v more at rest", size.Spare, size.Longer)
		}
		p.Sizes = append(p.Sizes, line)
		if i == 0 || size.Required > most {
			most, p.Largest = size.Required, line
		}
	}
	p.list(battery.Drains)
	return nil
}

// list writes the load list, with its sums.
func (p *batteryPage) list(drains []app.Drain) {
	var rest, alarm app.Amps
	for _, d := range drains {
		n := app.Amps(d.Count)
		rest, alarm = rest+n*d.Rest, alarm+n*d.Alarm
		p.Drains = append(p.Drains, drainLine{d.Name, strconv.Itoa(d.Count), milliamps(d.Rest), milliamps(d.Alarm), milliamps(n * d.Rest), milliamps(n * d.Alarm)})
	}
	p.Drains = append(p.Drains, drainLine{Name: "all together", AllRest: milliamps(rest), AllAlarm: milliamps(alarm)})
}

// milliamps writes a current to a thousandth of a milliampere, as far as there is
// one.
func milliamps(a app.Amps) string {
	return withUnit(strconv.FormatFloat(shape.Milli(float64(a)), 'f', -1, 64), "mA")
}

func (p *batteryPage) conditions() (app.Conditions, error) {
	var under app.Conditions
	design, err1 := typedFigure("the factor for later load", p.Design, 1, 10)
	ageing, err2 := typedFigure("the ageing factor", p.Ageing, 1, 10)
	charger, err3 := typedFigure("the charger", p.Charger, 0, 1e6)
	coldest, err4 := typedFigure("the lowest temperature", p.Coldest, -60, 60)
	if err := cmp.Or(err1, err2, err3, err4); err != nil {
		return under, err
	}
	under.Design, under.Ageing, under.Charger = design, ageing, app.Amps(charger/1000)
	if strings.TrimSpace(p.Coldest) != "" {
		celsius := app.Celsius(coldest)
		under.Coldest = &celsius
	}
	return under, nil
}

// typedLoads reads the lines of a load list that were written by hand.
func typedLoads(text string) ([]app.Drain, error) {
	var drains []app.Drain
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		name, rest, _ := strings.Cut(line, "=")
		number, currents, _ := strings.Cut(rest, "x")
		quiet, alarm, ok := strings.Cut(currents, "/")
		n, err := strconv.Atoi(strings.TrimSpace(number))
		restMA, err1 := typedFigure("mA at rest", quiet, 0, 1e6)
		alarmMA, err2 := typedFigure("mA in alarm", alarm, 0, 1e6)
		if !ok || cmp.Or(err, err1, err2) != nil || n < 0 || n > 1e6 {
			return nil, sootline.Errorf(sootline.Invalid, "for example sounders = 8 x 0 / 16: eight, each 0 mA at rest and 16 mA in alarm", "%q is not a line of a load list", line)
		}
		drains = append(drains, app.Drain{Name: strings.TrimSpace(name), Count: n, Rest: app.Amps(restMA / 1000), Alarm: app.Amps(alarmMA / 1000)})
	}
	return drains, nil
}

// tell says what the discharge test says; nothing typed says nothing.
func (f *wornForm) tell() error {
	if cmp.Or(f.Rated, f.Amps, f.Hours) == "" {
		return nil
	}
	values := url.Values{"the rated capacity": {f.Rated}, "the current": {f.Amps}, "the hours": {f.Hours}, "the exponent": {cmp.Or(f.K, "1.2")}, "the age": {f.Years}}
	x := map[string]float64{}
	for what := range values {
		figure, err := typedFigure(what, values.Get(what), 0, 1e5)
		if err != nil {
			return err
		}
		x[what] = figure
	}
	test := app.Discharge{
		Rated: app.AmpHours(x["the rated capacity"]), Current: app.Amps(x["the current"]), Lasted: app.Hours(x["the hours"]), K: x["the exponent"], Years: x["the age"],
	}
	wear, err := test.Wear()
	f.Sentence = wear.Reason
	return err
}

// concludes says which battery is needed: by the rule set that the panel's list names, else by the one that asks for most.
func (p *batteryPage) concludes() conclusion {
	c := conclusion{Live: true, Why: p.Lacks}
	if p.Kept.May && p.Kept.Address != "" {
		c.Next = &nextStep{"Write the load list down", p.Kept.Address, sootline.Manager}
		if p.Kept.Says != "" {
			c.Next.Says = "Change the load list"
		}
	}
	least := ""
	if p.Lacks != "" {
		least = "at least "
	}
	switch {
	case p.Trouble != "":
		c.Says = "It cannot be worked out as it was typed."
	case p.Kept.Verdict != "":
		c.Says = sootline.AsSentence(p.Kept.Verdict + ", by rule set " + p.Kept.Rule)
	case len(p.Drains) == 0:
		c.Says = "There is no load yet: choose a panel whose loops hold points, or write a line."
	default:
		c.Says = fmt.Sprintf("The rule set that asks for most, %s, asks for %s%s; the next usual size is %s%s.", p.Largest.Name, least, p.Largest.Needed, least, p.Largest.Chosen)
	}
	return c
}
