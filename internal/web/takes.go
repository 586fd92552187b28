package web

import (
	"cmp"
	"net/http"
	"slices"

	"sootline"
	"sootline/internal/app"
)

// actLine is a take, or the taking back of one, as the page of intakes lists it.
type actLine struct {
	ID, Address, Name, When, By, What, Wrote string
	UndoneBy                                 string
	Asked                                    bool // whoever takes it back was told what rests on it
}

// mostActs is how many of the last takes the page lists.
const mostActs = 30

func (p *intakesPage) addActs(survey *app.Survey) {
	acts := survey.Acts()
	for i := range acts[:min(mostActs, len(acts))] {
		p.Acts = append(p.Acts, actLineOf(survey, &acts[i]))
	}
	p.MoreActs = len(acts) - len(p.Acts)
}

func actLineOf(survey *app.Survey, act *app.Act) actLine {
	line := actLine{
		ID: act.Entry.ID.String(), Address: entryAddress(survey, act.Entry.ID), Name: act.Taken.Name, When: local(act.Entry.Noted, survey.Zone),
		By: cmp.Or(act.Entry.By, "nobody named"), What: act.What(), Wrote: act.Taken.AddedSaid(),
	}
	if act.UndoneBy != nil {
		line.UndoneBy = act.UndoneBy.Taken.Name
	}
	return line
}

// addAct names the take of an intake that is in; one that wrote nothing has none.
func (p *intakePage) addAct(survey *app.Survey, out *app.Outcome) {
	if out.Act == nil {
		return
	}
	for _, act := range survey.Acts() {
		if act.Entry.ID == out.Act.ID {
			line := actLineOf(survey, &act)
			p.Act = &line
		}
	}
}

// undoTake takes a take back whole. Where something rests on it, the page says what, and
// asks.
func (s *Server) undoTake(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	take := r.PostForm.Get("take")
	_, err = s.as(r).UndoTake(r.Context(), survey.Register.Site.ID, app.UndoWish{Act: take, Sure: r.PostForm.Get("sure") != ""})
	if err == nil {
		http.Redirect(w, r, siteAddress(survey)+"/intake#acts", http.StatusSeeOther)
		return nil
	}
	if sootline.ErrorCode(err) != sootline.Doubtful {
		return err
	}
	page := s.intakesPage(survey)
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	for i := range page.Acts {
		page.Acts[i].Asked = page.Acts[i].ID == take
	}
	return s.show(w, r, status(err), "intakes.html", page)
}

// learnedPart is what was answered of a listing of the same shape.
type learnedPart struct {
	Day, By, Answers, Why string
	Used                  bool
}

// spellingPart asks what a spelling means.
type spellingPart struct {
	Text, Of, Said string
	Likely         []string
}

// addAsked puts on the page what was learned of a table's shape, and what its spellings
// leave open.
func (part *tablePart) addAsked(out *app.Outcome, t *app.IntakeTable) {
	if l := t.Learned; l != nil {
		part.Learned = &learnedPart{l.Day, cmp.Or(l.By, "nobody named"), l.Answers, l.Why, l.Used}
	}
	for _, o := range out.Tables {
		if o.Table != t {
			continue
		}
		for _, s := range o.Spellings {
			part.Spellings = append(part.Spellings, spellingPart{s.Question(), string(s.Of), s.Said, s.Likely})
		}
	}
}

// learned understands a table as the listing of its shape was.
func learned(place string) func(*app.Intake) error {
	return func(in *app.Intake) error {
		table, err := tableOf(in, place)
		if err != nil {
			return err
		}
		return table.UseLearned()
	}
}

// spelled keeps what a spelling means, until the intake is taken in.
func (in *intake) spelled(form map[string][]string) func(*app.Intake) error {
	first := func(name string) string {
		if values := form[name]; len(values) > 0 {
			return values[0]
		}
		return ""
	}
	return func(*app.Intake) error {
		if !slices.Contains(sootline.AliasesOf(), sootline.AliasOf(first("of"))) || first("said") == "" || first("means") == "" {
			return sootline.Errorf(sootline.Invalid, "choose one of the answers", "that does not say what a spelling means")
		}
		in.aliases = append(in.aliases, sootline.Alias{Of: sootline.AliasOf(first("of")), Said: first("said"), Means: first("means")})
		return nil
	}
}

// aliasLine is what a spelling means, with the entry at which that is taken back.
type aliasLine struct{ Said, Means, Of, By, Address string }

func (p *settingsPage) addAliases(survey *app.Survey, role sootline.Role) {
	p.AliasesOf, p.MaySpell = sootline.AliasesOf(), role.May(sootline.Technician)
	for _, known := range survey.Register.Aliases() {
		p.Aliases = append(p.Aliases, aliasLine{known.Said, known.Means, string(known.Of), cmp.Or(known.Entry.By, "nobody named"), entryAddress(survey, known.Entry.ID)})
	}
}

// sayAlias keeps what a spelling means.
func (s *Server) sayAlias(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	f := r.PostForm
	body := sootline.Alias{Of: sootline.AliasOf(f.Get("of")), Said: f.Get("said"), Means: f.Get("means")}
	if _, err := s.as(r).SayAlias(r.Context(), survey.Register.Site.ID, body, f.Get("sure") != ""); err != nil {
		return err
	}
	http.Redirect(w, r, siteAddress(survey)+"/settings#aliases", http.StatusSeeOther)
	return nil
}
