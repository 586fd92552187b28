package web

import (
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

// teachPage teaches how the lines of a source are read: by choosing lines, by saying what their parts are, and by looking at
// what comes of it before it is kept.
type teachPage struct {
	Frame
	Back, Address, ID, BackID string
	Name, Panel               string
	Taught                    bool
	Noted, Trouble            string
	WayOut                    []wayLine
	From                      int64 // where the lines that are shown begin in what was heard
	Lines                     []heardRow
	Marks                     []markForm
	Roles, Events             []string
	Words                     []wordRow
	Learned                   bool
	Read, Unread              string
	Shown                     []shownRow
	Again                     *shape.Again // what comes of reading again; nil: nobody asked
}

type heardRow struct {
	Number int
	Text   string
	Chosen bool
}

// markForm says what the parts of a line are.
type markForm struct {
	Number int
	Last   string // the number of its last line, where it has several
	Text   string
	Means  string
	Rows   []markRow
}

type markRow struct {
	Name               string // behind the names of its fields
	Role, Value, After string
}

// wordRow is a word that nobody explained, or what somebody said of it.
type wordRow struct {
	Name              string
	Word, Says, Means string
}

type shownRow struct {
	Text, Says string
	Read       bool
}

// A page shows so many lines, of which so many are marked, of which each has so many parts.
const (
	mostHeard  = 40
	mostMarked = 6
	mostParts  = 9
	mostWords  = 60
)

func (s *Server) showTeach(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.teachPage(r, survey, r.URL.Query())
	if err != nil {
		return err
	}
	page.Noted = s.saidBefore(r)
	return s.show(w, r, http.StatusOK, "listening_source.html", page)
}

// teachPage shows what was heard last, or again what was shown before, with the lines that are chosen in a form.
func (s *Server) teachPage(r *http.Request, survey *app.Survey, form url.Values) (*teachPage, error) {
	site, name := survey.Register.Site.ID, r.PathValue("source")
	page := &teachPage{
		Frame: Frame{Title: name + ", " + survey.Register.Site.Name, Survey: survey}, Back: siteAddress(survey) + "/listening", ID: s.newID(), BackID: s.newID(),
		Name: name, Panel: form.Get("panel"), Roles: app.RoleNames(), Events: app.EventNames(), Taught: survey.Register.Sources[name].Style != "",
	}
	page.Address = page.Back + "/" + pathWord(name)
	a := s.as(r)
	heard, err := a.LastHeard(r.Context(), site, name)
	if from, wrong := strconv.ParseInt(form.Get("from"), 10, 64); wrong == nil {
		heard, err = a.HeardFrom(r.Context(), site, name, from)
	}
	if err != nil {
		return nil, err
	}
	page.From = heard.From
	all := heard.LinesOf(1 << 20)
	if len(all) == 0 && survey.Register.Sources[name].Name == "" {
		return nil, sootline.Errorf(sootline.NotFound, "see which there are", "the site has no source of that name").Do(sootline.ListSources)
	}
	chosen := form["line"]
	for _, l := range all[max(0, len(all)-mostHeard):] {
		page.Lines = append(page.Lines, heardRow{l.Number, l.Text, slices.Contains(chosen, strconv.Itoa(l.Number))})
	}
	for _, text := range chosen[:min(len(chosen), mostMarked)] {
		if n, err := strconv.Atoi(text); err == nil && n > 0 && n <= len(all) {
			page.Marks = append(page.Marks, markOf(form, all[n-1]))
		}
	}
	return page, nil
}

// markOf gives the form of a line, with what was typed in it.
func markOf(form url.Values, line app.HeardLine) markForm {
	n := strconv.Itoa(line.Number)
	m := markForm{Number: line.Number, Text: line.Text, Last: form.Get("last-" + n), Means: form.Get("means-" + n)}
	usual := app.UsualParts()
	for i := range mostParts {
		row := markRow{Name: n + "-" + strconv.Itoa(i)}
		row.Role, row.Value, row.After = form.Get("role-"+row.Name), form.Get("value-"+row.Name), form.Get("after-"+row.Name)
		if !form.Has("role-"+row.Name) && i < len(usual) {
			row.Role = usual[i]
		}
		m.Rows = append(m.Rows, row)
	}
	return m
}

// lesson is what the form says of lines and words.
func (p *teachPage) lesson(form url.Values) app.TaughtBy {
	by := app.TaughtBy{Source: p.Name, Panel: strings.TrimSpace(p.Panel), From: p.From, Words: map[string]string{}}
	for _, m := range p.Marks {
		last, err := strconv.Atoi(m.Last)
		if err != nil {
			last = m.Number
		}
		marked := app.MarkedLine{First: m.Number, Last: last}
		for _, row := range m.Rows {
			if row.Role == "" || strings.TrimSpace(row.Value) == "" {
				continue
			}
			after, err := strconv.Atoi(row.After)
			if err != nil {
				after = 0 // nobody pointed at it
			}
			marked.Parts = append(marked.Parts, app.MarkedPart{Role: row.Role, Value: row.Value, Means: m.Means, After: after})
		}
		by.Marked = append(by.Marked, marked)
	}
	for i := range mostWords {
		n := strconv.Itoa(i)
		if word, means := form.Get("word-"+n), form.Get("says-"+n); word != "" && means != "" {
			by.Words[word] = means
		}
	}
	return by
}

// teach shows what comes of a lesson, keeps it, or takes back what was taught last.
func (s *Server) teach(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	a, err := s.asForm(r)
	if err != nil {
		return err
	}
	if r.PostForm.Get("do") == "back" {
		if err := a.TakeBackTaught(r.Context(), survey.Register.Site.ID, r.PathValue("source")); err != nil {
			return err
		}
		s.goSaying(w, r, siteAddress(survey)+"/listening", "what was taught last is taken back")
		return nil
	}
	page, err := s.teachPage(r, survey, r.PostForm)
	if err != nil {
		return err
	}
	if do := r.PostForm.Get("do"); do == "again" || do == "again-keep" {
		return s.readAgain(w, r, a, page, do == "again-keep")
	}
	by := page.lesson(r.PostForm)
	taught, err := a.TeachBy(r.Context(), lineOf(survey), by)
	if err == nil && r.PostForm.Get("do") == "keep" {
		if err = a.KeepTaught(r.Context(), lineOf(survey), taught); err == nil {
			s.goSaying(w, r, page.Back, "the lines of "+page.Name+" are read so from now on")
			return nil
		}
	}
	if status(err) >= http.StatusInternalServerError && err != nil {
		return err
	}
	page.tell(by, taught)
	code := http.StatusOK
	if err != nil {
		code, page.Trouble, page.WayOut = status(err), sentence(err), wayOut(r, err)
	}
	return s.show(w, r, code, "listening_source.html", page)
}

// readAgain reads again what was heard, and shows what is otherwise now, or writes it.
func (s *Server) readAgain(w http.ResponseWriter, r *http.Request, a *app.App, page *teachPage, keep bool) error {
	found, err := a.ReadAgain(r.Context(), lineOf(page.Survey), page.Name, keep)
	switch {
	case status(err) >= http.StatusInternalServerError && err != nil:
		return err
	case err != nil:
		page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
		return s.show(w, r, status(err), "listening_source.html", page)
	case keep:
		noted := fmt.Sprintf("%s was read again: %s, %s", page.Name, count(len(found.Corrected), "entry is corrected", "entries are corrected"), count(len(found.New), "is new", "are new"))
		s.goSaying(w, r, page.Back, noted)
		return nil
	}
	page.Again = new(shape.OfAgain(found, false))
	return s.show(w, r, http.StatusOK, "listening_source.html", page)
}

// tell shows what comes of a lesson; nil: it was refused.
func (p *teachPage) tell(by app.TaughtBy, t *app.Taught) {
	words := map[string]bool{}
	add := func(word, says, means string) {
		if !words[word] && len(p.Words) < mostWords {
			words[word] = true
			p.Words = append(p.Words, wordRow{strconv.Itoa(len(p.Words)), word, says, means})
		}
	}
	said := make([]string, 0, len(by.Words))
	for word := range by.Words {
		said = append(said, word)
	}
	slices.Sort(said)
	if t != nil {
		for _, q := range t.Asks {
			add(q.Word, "in "+count(q.Count, "line", "lines")+", one is: "+q.Line, "")
		}
	}
	for _, word := range said {
		add(word, "", by.Words[word])
	}
	if t == nil {
		return
	}
	read, unread := t.Counts()
	p.Learned, p.Read, p.Unread = true, count(read, "record is", "records are"), count(unread, "line is", "lines are")
	for i := range t.Lines {
		if l := &t.Lines[i]; l.Shown != "" {
			p.Shown = append(p.Shown, shownRow{l.Shown, app.ReadAs(l), l.Read != nil})
		}
	}
	p.Shown = p.Shown[max(0, len(p.Shown)-mostHeard):]
}
