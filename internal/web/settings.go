package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"sootline"
	"sootline/internal/app"
)

// setting is something of a site that can be set: its form as it stands, and how
// a form that was handed in is written down.
type setting struct {
	name  string // of its part of the address; empty: the site's own facts
	title string
	form  func(survey *app.Survey, of string) (*settingForm, error)
	write func(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error
}

// settingForm is the form of a setting.
type settingForm struct {
	Name, Title, Address string
	ID, Of               string
	Trouble              string
	WayOut               []wayLine
	Note                 string
	Groups               []fieldGroup
	Locked               bool // for whoever may only look
	First                bool // its title is that of the page
}

// fieldGroup is a part of a form.
type fieldGroup struct {
	Legend string
	Fields []formField
}

// formField is a field of a form with what it holds. A field with choices is a choice.
type formField struct {
	Name, Label, Value string
	Hint               string
	Choices            []choiceLine
	Tick, Ticked       bool
	Lines              int // of a text of several lines
	Fixed              bool
}

// settingPage shows the forms of one thing.
type settingPage struct {
	Frame
	Back  string
	Forms []*settingForm
}

// settingsPage shows all that is set of a site.
type settingsPage struct {
	Frame
	Base   string
	Facts  *settingForm
	Loops  []loopLine
	Areas  []areaFact
	Types  []typeLine
	Intake string
	Wrote  bool
	Rules  string // by which things fall due, in words

	Aliases   []aliasLine
	AliasesOf []sootline.AliasOf
	MaySpell  bool
}

type areaFact struct{ Name, Address, Floor, Size, Points string }

type typeLine struct {
	Name, Address, Kind, Band, Width string
	Points                           int
	Known                            bool
}

func (s *Server) showSettings(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	form, err := s.formOf(r, survey, factsSetting(), "")
	if err != nil {
		return err
	}
	return s.showAllSettings(w, r, http.StatusOK, survey, form)
}

func (s *Server) showAllSettings(w http.ResponseWriter, r *http.Request, code int, survey *app.Survey, facts *settingForm) error {
	base := siteAddress(survey) + "/settings"
	page := &settingsPage{
		Frame: Frame{Title: "Settings of " + survey.Register.Site.Name, Survey: survey}, Base: base, Facts: facts,
		Intake: siteAddress(survey) + "/intake", Wrote: s.saidBefore(r) != "",
	}
	page.Rules = saysRules(survey)
	page.addLoops(survey)
	page.addAreas(survey)
	page.addTypes(survey)
	page.addAliases(survey, visitorOf(r).Role)
	return s.show(w, r, code, "settings.html", page)
}

func (p *settingsPage) addLoops(survey *app.Survey) {
	points := map[sootline.LoopID]int{}
	for _, point := range survey.Register.Points() {
		points[point.LoopID()]++
	}
	for _, loop := range survey.Register.Loops() {
		numbers := numbersOf(loop)
		if loop.Unset != 0 {
			numbers += ", unset " + strconv.Itoa(loop.Unset)
		}
		p.Loops = append(p.Loops, loopLine{
			Name: loop.String(), Numbers: numbers, Address: p.Base + "/loop?of=" + queryWord(loop.String()),
			Points: points[loop.LoopID], Assumed: !survey.Register.Described(loop.LoopID),
		})
	}
}

func (p *settingsPage) addAreas(survey *app.Survey) {
	points := map[string]int{}
	var names []string
	for _, facts := range survey.Register.Areas() {
		names = append(names, facts.Area)
	}
	for _, point := range survey.Register.Points() {
		name := point.Area
		if facts := survey.Register.Area(name); facts != nil {
			name = facts.Area
		}
		if name != "" && points[name] == 0 && !slices.Contains(names, name) {
			names = append(names, name)
		}
		points[name]++
	}
	for _, name := range names {
		line := areaFact{Name: name, Address: p.Base + "/area?of=" + queryWord(name), Points: strconv.Itoa(points[name])}
		if facts := survey.Register.Area(name); facts != nil {
			line.Floor = facts.Floor
			if facts.M2 > 0 {
				line.Size = withUnit(number(&facts.M2), "m²")
			}
		}
		p.Areas = append(p.Areas, line)
	}
}

// addTypes lists the type sheets, then the types that have none.
func (p *settingsPage) addTypes(survey *app.Survey) {
	points := map[string]int{}
	for _, point := range survey.Register.Points() {
		points[sootline.TypeKey(point.Type)]++
	}
	add := func(name string, sheet *sootline.TypeSheet) {
		line := typeLine{Name: name, Address: p.Base + "/type?of=" + queryWord(name), Points: points[sootline.TypeKey(name)], Known: sheet != nil}
		if sheet != nil {
			line.Kind, line.Width = string(sheet.Kind), strconv.Itoa(sheet.Numbers())
			line.Band = withUnit(bandText(sheet.Band(nil)), sheet.Unit)
		}
		p.Types = append(p.Types, line)
		delete(points, sootline.TypeKey(name))
	}
	for _, sheet := range survey.Register.Sheets() {
		add(sheet.Name, sheet)
	}
	for _, point := range survey.Register.Points() {
		if key := sootline.TypeKey(point.Type); key != "" && points[key] > 0 {
			add(point.Type, nil)
		}
	}
}

// formOf makes the form of a setting, for whoever asks.
func (s *Server) formOf(r *http.Request, survey *app.Survey, set setting, of string) (*settingForm, error) {
	form, err := set.form(survey, of)
	if err != nil {
		return nil, err
	}
	form.Name, form.Of, form.ID = set.name, of, s.newID()
	if form.Title == "" {
		form.Title = set.title
	}
	form.Address = strings.TrimSuffix(siteAddress(survey)+"/settings/"+set.name, "/")
	form.Locked = !visitorOf(r).Role.May(sootline.Manager)
	return form, nil
}

// showSetting shows the forms of what the address names; without a name, that of
// something new.
func (s *Server) showSetting(sets ...setting) func(http.ResponseWriter, *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error {
		survey, _, err := s.survey(r)
		if err != nil {
			return err
		}
		var forms []*settingForm
		for _, set := range sets {
			form, err := s.formOf(r, survey, set, r.URL.Query().Get("of"))
			if err != nil {
				return err
			}
			forms = append(forms, form)
		}
		return s.showForms(w, r, http.StatusOK, survey, forms)
	}
}

func (s *Server) showForms(w http.ResponseWriter, r *http.Request, code int, survey *app.Survey, forms []*settingForm) error {
	forms = slices.DeleteFunc(forms, func(f *settingForm) bool { return len(f.Groups) == 0 })
	forms[0].First = true
	page := &settingPage{Frame: Frame{Title: forms[0].Title + ", " + survey.Register.Site.Name, Survey: survey}, Back: siteAddress(survey) + "/settings", Forms: forms}
	return s.show(w, r, code, "setting.html", page)
}

// writeSetting writes the first of the settings down. A form with a mistake comes
// back as it was typed, with the other forms of its page.
func (s *Server) writeSetting(set setting, others ...setting) func(http.ResponseWriter, *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error {
		if err := r.ParseForm(); err != nil {
			return unreadable(err)
		}
		survey, _, err := s.survey(r)
		if err != nil {
			return err
		}
		a, err := s.asForm(r)
		if err == nil {
			err = set.write(r.Context(), a, survey, &typedForm{values: r.PostForm})
		}
		if err == nil {
			s.goSaying(w, r, withDone(siteAddress(survey)+"/settings", a.Form), "it stands so")
			return nil
		}
		if status(err) >= http.StatusInternalServerError {
			return err
		}
		form, wrong := s.formOf(r, survey, set, r.PostForm.Get("of"))
		if wrong != nil {
			return wrong
		}
		form.Trouble, form.WayOut = sentence(err), wayOut(r, err)
		form.typed(r.PostForm)
		if set.name == "" {
			return s.showAllSettings(w, r, status(err), survey, form)
		}
		forms := []*settingForm{form}
		for _, other := range others {
			more, wrong := s.formOf(r, survey, other, r.PostForm.Get("of"))
			if wrong != nil {
				return wrong
			}
			forms = append(forms, more)
		}
		return s.showForms(w, r, status(err), survey, forms)
	}
}

// typed puts back what was typed.
func (f *settingForm) typed(values url.Values) {
	for g := range f.Groups {
		for i := range f.Groups[g].Fields {
			field := &f.Groups[g].Fields[i]
			field.Value, field.Ticked = values.Get(field.Name), values.Get(field.Name) != ""
			for c := range field.Choices {
				field.Choices[c].Chosen = field.Choices[c].Value == field.Value
			}
		}
	}
}

// typedForm reads what was typed; the first mistake stays.
type typedForm struct {
	values url.Values
	err    error
}

func (f *typedForm) text(name string) string {
	return strings.Join(strings.Fields(f.values.Get(name)), " ")
}
func (f *typedForm) tick(name string) bool { return f.values.Get(name) != "" }

// figure reads a number, with a point or a comma; nil where nothing was typed.
func (f *typedForm) figure(name, what string) *float64 {
	text := f.text(name)
	if text == "" {
		return nil
	}
	x, err := app.TypedNumber(text)
	if err != nil && f.err == nil {
		f.err = sootline.Errorf(sootline.Invalid, sootline.ErrorHint(err), "%s: %w", what, err)
	}
	return &x
}

// amount is a figure of which nothing typed means 0.
func (f *typedForm) amount(name, what string) float64 {
	if x := f.figure(name, what); x != nil {
		return *x
	}
	return 0
}

func (f *typedForm) whole(name, what string) int {
	n, err := typedWhole(f.values.Get(name), what)
	if err != nil && f.err == nil {
		f.err = err
	}
	return n
}
