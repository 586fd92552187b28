package web

import (
	"bytes"
	"cmp"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// logForm is a form of the log book: an entry about any point or about the site,
// of any kind that is made by hand.
type logForm struct {
	entryForm
	Point, Wanted, Found, Settings string
	Body                           string // of a kind without fields of its own, as docs/formats/log.md has it
	Why                            string
}

// logKinds are the kinds that can be added by hand; a correction may be of
// another.
func logKinds(also string) []kindChoice {
	kinds := append(handKinds(),
		kindChoice{"addressed", "a number wanted or found"},
		kindChoice{"set", "settings wanted or found"},
		kindChoice{"visit", "a visit begins or ends"},
	)
	if !slices.ContainsFunc(kinds, func(k kindChoice) bool { return k.Kind == also }) && also != "" {
		kinds = []kindChoice{{also, also}}
	}
	return kinds
}

func logFormOf(r *http.Request) logForm {
	f := r.PostForm
	return logForm{entryForm: formOf(r), Point: strings.TrimSpace(f.Get("point")), Wanted: f.Get("wanted"), Found: f.Get("found"), Settings: f.Get("settings"), Body: f.Get("body"), Why: f.Get("why")}
}

func (f logForm) note(zone *time.Location) (app.Note, error) {
	id, err := sootline.ParseID(f.ID)
	if err != nil {
		return app.Note{}, lostNumber(err)
	}
	at, err := typedTime(f.At, zone)
	if err != nil {
		return app.Note{}, err
	}
	body, err := f.body()
	return app.Note{ID: id, At: at, Point: f.Point, Body: body}, err
}

func (f logForm) body() (sootline.Body, error) {
	switch sootline.Kind(f.Kind) {
	case sootline.AddressedKind:
		wanted, err1 := typedFigure("the number wanted", f.Wanted, 0, 9999)
		found, err2 := typedFigure("the number found", f.Found, 0, 9999)
		return sootline.Addressed{Wanted: int(wanted), Found: int(found), Text: f.Text}, cmp.Or(err1, err2)
	case sootline.SetKind:
		return f.set()
	case sootline.VisitKind:
		state := "opened"
		if f.Failed {
			state = "closed"
		}
		return sootline.Visit{State: sootline.VisitState(state), Text: f.Text}, nil
	}
	return f.entryForm.body()
}

// set reads lines of name=choice; a word before a colon says that they were found.
func (f logForm) set() (sootline.Body, error) {
	set := sootline.Set{}
	for _, setting := range strings.FieldsFunc(f.Settings, func(r rune) bool { return r == ',' || r == '\n' || r == '\r' }) {
		text, found := strings.CutPrefix(strings.TrimSpace(setting), "found:")
		name, choice, ok := strings.Cut(text, "=")
		if !ok {
			return nil, sootline.Errorf(sootline.Invalid, "for example sensitivity=high, or found: sensitivity=low", "%q is not a setting", setting)
		}
		into := &set.Wanted
		if found {
			into = &set.Found
		}
		if *into == nil {
			*into = map[string]string{}
		}
		(*into)[strings.TrimSpace(name)] = strings.TrimSpace(choice)
	}
	return set, nil
}

// entryPage is one entry of the log book, with the forms that amend it.
type entryPage struct {
	Frame
	Log, Address string
	Line         logLine
	ID           string
	Station      string
	Said         []labelled
	ByFields     bool // the correction has fields; else it is JSON
	MayAmend     bool
	MayCorrect   bool
	Form         logForm
	WithdrawID   string
	WithdrawWhy  string
	Trouble      string
}

func (s *Server) showEntry(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.entryPage(r, survey)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "log_entry.html", page)
}

func (s *Server) entryPage(r *http.Request, survey *app.Survey) (*entryPage, error) {
	id, err := sootline.ParseID(r.PathValue("entry"))
	if err != nil {
		return nil, sootline.Errorf(sootline.NotFound, "look for it in the log book", "there is no such entry in this site's log")
	}
	line, err := survey.LogEntry(id)
	if err != nil {
		return nil, err
	}
	e := &line.Entry
	page := &entryPage{
		Frame: Frame{Title: "An entry of the log book", Survey: survey}, Log: siteAddress(survey) + "/log", Address: entryAddress(survey, id),
		Line: logLineOf(survey, line), ID: id.String(), Station: e.Station, WithdrawID: s.newID(),
	}
	page.MayAmend = visitorOf(r).Role.Writes(e.Body.Kind())
	holds := *e
	if line.Amended != nil {
		if c, ok := line.Amended.Body.(sootline.Corrected); ok {
			holds.At, holds.Day, holds.Point, holds.Body = c.At, c.Day, c.Point, c.Body
		}
	}
	page.MayCorrect = page.MayAmend && e.Body.Kind() != sootline.CorrectedKind && e.Body.Kind() != sootline.WithdrawnKind
	if page.Form, page.ByFields, err = formSaying(survey, &holds); err != nil {
		return nil, err
	}
	page.Form.ID = s.newID()
	page.Said, err = saidInFull(e.Body)
	return page, err
}

// formSaying is the form filled with what holds of an entry.
func formSaying(survey *app.Survey, e *sootline.Entry) (form logForm, byFields bool, err error) {
	form.Kind = string(e.Body.Kind())
	if e.At.After(sootline.LongAgo) {
		form.At = e.At.In(survey.Zone).Format("2006-01-02 15:04:05")
	}
	if p := survey.Register.Point(e.Point); p != nil {
		form.Point = p.ID.String()
		if named := survey.Register.Named(p.Ref(), survey.On); len(named) == 1 && named[0] == p {
			form.Point = p.Ref().String()
		}
	}
	switch b := e.Body.(type) {
	case sootline.Read:
		texts := make([]string, len(b.Samples))
		for i, x := range b.Samples {
			texts[i] = strconv.FormatFloat(x, 'g', -1, 64)
		}
		form.Values, form.Text = strings.Join(texts, " "), b.Remark
		return form, b.Quantity == "", indentedInto(&form, e.Body)
	case sootline.Cleaned:
		form.Text = b.Text
	case sootline.Rebased:
		form.Text = b.Text
	case sootline.Restored:
		form.Text = b.Text
	case sootline.Tested:
		form.Text, form.Failed = b.Text, b.Failed
	case sootline.Alarm:
		form.Text, form.Cause = b.Text, b.Cause
	case sootline.Fault:
		form.Text, form.Cause = b.Text, b.Cause
	case sootline.Disabled:
		form.Text, form.Cause = b.Text, b.Cause
	case sootline.Note:
		form.Text = b.Text
		return form, b.Answers == "", indentedInto(&form, e.Body)
	default:
		return form, false, indentedInto(&form, e.Body)
	}
	return form, true, nil
}

func indentedInto(form *logForm, body sootline.Body) error {
	raw, err := json.MarshalIndent(body, "", "  ")
	form.Body = string(raw)
	return err
}

// saidInFull lists everything that an entry says, by its keys.
func saidInFull(body sootline.Body) ([]labelled, error) {
	raw, err := json.Marshal(body)
	if err != nil {
		return nil, err
	}
	read := json.NewDecoder(bytes.NewReader(raw))
	if _, err := read.Token(); err != nil {
		return nil, err
	}
	var said []labelled
	for read.More() {
		key, err := read.Token()
		if err != nil {
			return nil, err
		}
		var value json.RawMessage
		if err := read.Decode(&value); err != nil {
			return nil, err
		}
		text := string(value)
		var plain string
		if json.Unmarshal(value, &plain) == nil {
			text = plain
		}
		label, _ := key.(string)
		said = append(said, labelled{label, text})
	}
	return said, nil
}

// amendEntry corrects an entry, or takes it back.
func (s *Server) amendEntry(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, err := s.entryPage(r, survey)
	if err != nil {
		return err
	}
	if !page.MayAmend {
		return sootline.Errorf(app.Forbidden, "ask a manager", "this is for the role of %s", app.Manager)
	}
	form := logFormOf(r)
	if err = s.amend(r, survey, page, form); err == nil {
		http.Redirect(w, r, page.Address, http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page.Trouble = strings.TrimSpace(sentence(err) + " " + wayOut(err))
	if r.PostForm.Get("do") == "withdraw" {
		page.WithdrawID, page.WithdrawWhy = form.ID, form.Why
	} else {
		form.Kind = page.Form.Kind
		page.Form = form
	}
	return s.show(w, r, status(err), "log_entry.html", page)
}

func (s *Server) amend(r *http.Request, survey *app.Survey, page *entryPage, form logForm) error {
	id, err := sootline.ParseID(form.ID)
	if err != nil {
		return lostNumber(err)
	}
	entry, err := sootline.ParseID(page.ID)
	if err != nil {
		return err
	}
	m := app.Amendment{ID: id, Entry: entry, Why: form.Why}
	site := survey.Register.Site.ID
	if r.PostForm.Get("do") == "withdraw" {
		_, err = s.as(r).Withdraw(r.Context(), site, m)
		return err
	}
	_, err = s.as(r).Correct(r.Context(), site, m, func(old sootline.Entry) (sootline.Corrected, error) {
		return form.correction(survey, old, page.ByFields)
	})
	return err
}

// correction says what an entry should have said.
func (f logForm) correction(survey *app.Survey, old sootline.Entry, byFields bool) (c sootline.Corrected, err error) {
	c.At = old.At
	if f.At != "" {
		if c.At, err = typedTime(f.At, survey.Zone); err != nil {
			return c, err
		}
	}
	if f.Point != "" {
		p, err := app.PointNamed(survey.Register, f.Point)
		if err != nil {
			return c, err
		}
		c.Point = p.ID
	}
	f.Kind = string(old.Body.Kind())
	if byFields {
		c.Body, err = f.body()
		return c, err
	}
	c.Body, err = sootline.DecodeBody(old.Body.Kind(), []byte(f.Body))
	return c, err
}
