package web

import (
	"cmp"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// logPage is the log book, the latest first.
type logPage struct {
	Frame
	Address              string
	Point, From, To      string
	Kind, Text           string
	Take                 string // of which take; empty: of all
	Folded               int    // entries that stand behind the lines of takes
	Kinds                []choiceLine
	Lines                []logLine
	Found                int
	Trouble, Added, Next string
	Form                 entryForm
	paging
	Home  takeHome
	found []*sootline.Entry // on all pages
}

// logLine is an entry as the log book shows it, beside what amends it.
type logLine struct {
	Address, When, Kind, Says, By, Noted string
	Ref, PointAddress                    string
	Amended                              *amendedLine // nil: it stands as it was written
	About                                string       // the address of the entry that this one amends
	Take                                 string       // the name of the take that it tells of
}

// amendedLine is what holds instead of an entry.
type amendedLine struct {
	Withdrawn                     bool
	Address, When, By, Why, Holds string
}

func (s *Server) showLog(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	page, code, err := s.logPage(r, survey)
	if err != nil {
		return err
	}
	if code == http.StatusOK {
		if given, err := s.givesTable(w, r, survey, page.home); given {
			return err
		}
	}
	q := r.URL.Query()
	page.Form = s.newEntryForm(cmp.Or(q.Get("new"), string(sootline.NoteKind)))
	page.Form.AsksPoint, page.Form.Point = true, q.Get("point")
	page.Form = page.Form.drawn(page.Address+"#add", kindsOfLog(r))
	page.Added = saysAdded(survey, q)
	return s.show(w, r, code, "log.html", page)
}

// kindsOfLog lists what whoever asks may add to the log.
func kindsOfLog(r *http.Request) []kindChoice { return offered(visitorOf(r).Role, false) }

// logPage reads the part of the log book that the address asks for. A filter that
// cannot be is told of beside an empty book.
func (s *Server) logPage(r *http.Request, survey *app.Survey) (*logPage, int, error) {
	q := r.URL.Query()
	page := &logPage{
		Frame: Frame{Title: "Log book of " + survey.Register.Site.Name, Survey: survey}, Address: siteAddress(survey) + "/log",
		Take: q.Get("take"), Point: q.Get("point"), From: q.Get("from"), To: q.Get("to"), Kind: q.Get("kind"), Text: q.Get("q"),
	}
	for _, kind := range sootline.Kinds() {
		page.Kinds = append(page.Kinds, choiceLine{string(kind.Kind), sootline.KindName(kind.Kind), string(kind.Kind) == page.Kind})
	}
	filter, err := logFilterOf(q, survey.Zone)
	var found []*sootline.Entry
	if err == nil {
		found, err = survey.Log(filter)
	}
	if err != nil {
		if status(err) >= http.StatusInternalServerError {
			return nil, 0, err
		}
		page.Trouble = sentence(err)
		page.Pages = 1
		return page, status(err), nil
	}
	page.Found, page.found, page.Home = len(found), found, takeHomeOf(q)
	if filter.Folded {
		page.Folded = survey.LogLength() - len(found)
	}
	var first, last int
	page.paging, first, last = cut(len(found), q)
	for _, e := range found[first:last] {
		page.Lines = append(page.Lines, logLineOf(survey, survey.LogLine(e)))
	}
	return page, http.StatusOK, nil
}

// logFilterOf reads the filter of an address: days are those of the site's clock.
func logFilterOf(q url.Values, zone *time.Location) (app.LogFilter, error) {
	filter := app.LogFilter{Point: strings.TrimSpace(q.Get("point")), Text: strings.TrimSpace(q.Get("q"))}
	for _, kind := range q["kind"] {
		if kind != "" {
			filter.Kinds = append(filter.Kinds, sootline.Kind(kind))
		}
	}
	filter.Take = strings.TrimSpace(q.Get("take"))
	unfiltered := filter.Take == "" && filter.Point == "" && filter.Text == "" && len(filter.Kinds) == 0 && q.Get("from") == "" && q.Get("to") == ""
	filter.Folded = unfiltered && q.Get("every") == ""
	var err1, err2 error
	filter.From, err1 = typedDay(q.Get("from"), zone)
	if filter.To, err2 = endOf(q.Get("to"), zone); !filter.To.IsZero() {
		filter.To = filter.To.Add(time.Millisecond)
	}
	return filter, cmp.Or(err1, err2)
}

// typedDay reads the beginning of a day; nothing is the zero time.
func typedDay(text string, zone *time.Location) (time.Time, error) {
	if text = strings.TrimSpace(text); text == "" {
		return time.Time{}, nil
	}
	return sootline.ParseDayBegins(text, zone)
}

// home is what was found of the log, to take home: what people read of it. The log itself is taken home whole, as JSON Lines.
func (p *logPage) home() homeTable {
	t := homeTable{name: "log", title: "Log book", columns: columnsOf("when", "point", "kind", "what", "by", "written down", "holds")}
	for _, e := range p.found {
		line := logLineOf(p.Survey, p.Survey.LogLine(e))
		holds := ""
		if line.Amended != nil {
			if holds = "corrected: " + line.Amended.Holds; line.Amended.Withdrawn {
				holds = "taken back"
			}
		}
		t.rows = append(t.rows, textCells(line.When, line.Ref, line.Kind, line.Says, line.By, line.Noted, holds))
	}
	return t
}

func logLineOf(survey *app.Survey, line app.LogLine) logLine {
	e := &line.Entry
	shown := logLine{
		Address: entryAddress(survey, e.ID), When: happened(e, survey.Zone), Kind: sootline.KindName(e.Body.Kind()), Says: sootline.Say(e.Body),
		By: cmp.Or(e.By, "nobody named"), Noted: local(e.Noted, survey.Zone), Ref: line.Ref,
	}
	if line.Ref != "" {
		shown.PointAddress = siteAddress(survey) + "/point/" + e.Point.String()
	}
	switch b := e.Body.(type) {
	case sootline.Corrected:
		shown.About = entryAddress(survey, b.Entry)
	case sootline.Withdrawn:
		shown.About = entryAddress(survey, b.Entry)
	case sootline.Taken:
		shown.Take = b.Name
	}
	if line.Amended != nil {
		shown.Amended = amendedLineOf(survey, e, line.Amended)
	}
	return shown
}

func amendedLineOf(survey *app.Survey, old, e *sootline.Entry) *amendedLine {
	line := &amendedLine{Address: entryAddress(survey, e.ID), When: day(e.Noted, survey.Zone), By: e.By}
	switch b := e.Body.(type) {
	case sootline.Withdrawn:
		line.Withdrawn, line.Why = true, b.Why
	case sootline.Corrected:
		line.Why, line.Holds = b.Why, sootline.Say(b.Body)
		if !b.At.Equal(old.At) {
			line.Holds += ", on " + local(b.At, survey.Zone)
		}
		if p := survey.Register.Point(b.Point); p != nil && b.Point != old.Point {
			line.Holds += ", at " + p.Ref().String()
		}
	}
	return line
}

func entryAddress(survey *app.Survey, id sootline.ID) string {
	return siteAddress(survey) + "/log/" + id.String()
}

// addToLog adds an entry about a point, or about the site.
func (s *Server) addToLog(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	address := siteAddress(survey) + "/log"
	to, err := s.addEntry(r, survey, addsEntry{
		kinds: kindsOfLog(r), action: address + "#add", added: address + "?added=",
		again: func(form entryForm, status int) error {
			page, _, err := s.logPage(r, survey)
			if err != nil {
				return err
			}
			page.Form = form
			return s.show(w, r, status, "log.html", page)
		},
	})
	if to != "" {
		http.Redirect(w, r, to, http.StatusSeeOther)
	}
	return err
}

// verdictPage tells whether the chains of a log book hold.
type verdictPage struct {
	Frame
	Address         string
	Lines, Stations int
	Faults          []string
	More            int
	Chains          []chainWords
	Limits          []string
}

// chainWords tell of one station's chain what witnesses it.
type chainWords struct {
	Station string
	Last    int64
	Says    []string
}

func (s *Server) verifyLog(w http.ResponseWriter, r *http.Request) error {
	const most = 50
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	v, err := s.as(r).Verify(r.Context(), survey.Register.Site.ID)
	if err != nil {
		return err
	}
	page := &verdictPage{
		Frame: Frame{Title: "Log book of " + survey.Register.Site.Name + ", checked", Survey: survey}, Address: siteAddress(survey) + "/log",
		Lines: v.Lines, Stations: v.Stations, More: max(0, len(v.Faults)-most),
		Limits: v.Limits(),
	}
	for i := range v.Chains {
		chain := &v.Chains[i]
		page.Chains = append(page.Chains, chainWords{chain.Station, chain.Last, chain.Sentences(v.Zone)})
	}
	for _, fault := range v.Faults[:min(most, len(v.Faults))] {
		page.Faults = append(page.Faults, fault.Error())
	}
	return s.show(w, r, http.StatusOK, "log_verify.html", page)
}

// exportLog hands the whole log out as JSON Lines.
func (s *Server) exportLog(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	return s.handOut(w, r, "log-"+day(s.App.Now(), survey.Zone), func(out io.Writer) error {
		_, err := s.as(r).Export(r.Context(), survey.Register.Site.ID, out)
		return err
	})
}

// handOut streams lines of a log as a file. What is refused before the first of them is told as on any page; what breaks
// later ends the answer before its end, since an end that looks whole would be a lie.
func (s *Server) handOut(w http.ResponseWriter, r *http.Request, name string, give func(io.Writer) error) error {
	out := &handedOut{w: w, name: name}
	err := give(out)
	if err != nil && out.begun {
		s.noteTrouble(r, err)
		panic(http.ErrAbortHandler)
	}
	return err
}

// handedOut is a file that is begun with its first byte.
type handedOut struct {
	w     http.ResponseWriter
	name  string
	begun bool
}

func (h *handedOut) Write(part []byte) (int, error) {
	if !h.begun {
		h.begun = true
		h.w.Header().Set("Content-Type", "application/jsonl; charset=utf-8")
		h.w.Header().Set("Content-Disposition", `attachment; filename="`+h.name+`.jsonl"`)
	}
	return h.w.Write(part)
}
