package web

import (
	"cmp"
	"net/http"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// pointPage is the story of one point.
type pointPage struct {
	Frame
	Ref, Address, Place, Zone, Type, Kind string
	PointID                               string
	Serial, Since, Number, Turn           string
	Loop, LoopAddress                     string
	Wants, Has                            []string
	OffSince, OffWhy, Removed             string

	Judged   *judgedLines // nil: no resting value to judge
	History  *drawing     // nil: no reading yet
	Card     string       // the setting card, as it is drawn on a terminal
	Findings []findingLine
	Defects  []defectLine // open, or waiting for their retest
	Asked    []questionLines
	Story    []storyLine
	MoreTold int
	All      string // the address of the whole story
	Added    string // what was just written down

	Form entryForm
}

// judgedLines is a judgement in words.
type judgedLines struct {
	Verdict, Action, Reads, Band, ReadAt, Margin string
	Drift, DriftRange, DriftReal, Borrowed       string
	Earliest, Likely, Latest, Chance             string
	AlarmShare, Since, Rests                     string
	Quantity                                     string // empty: the resting value
	Reasons                                      []string
	Others                                       []quantityLine
}

// quantityLine is what else was read at a point, and what it comes to.
type quantityLine struct{ Name, Reads, Band, ReadAt, Action, Reason string }

// storyLine is one thing that happened.
type storyLine struct{ Day, Clock, Says, By, Noted, Photo string }

// entryForm is the form by which an entry is added, with what was typed.
type entryForm struct {
	ID, Kind, At, Values, Text, Cause, Serial string
	Failed                                    bool
	Trouble, WayOut                           string
	Kinds                                     []kindChoice
}

type kindChoice struct{ Kind, Says string }

// mostTold is how much of a story is shown at first.
const mostTold = 40

func (s *Server) showPoint(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	point, err := pointOf(r, survey)
	if err != nil {
		return err
	}
	page := s.pointPage(survey, point, r.URL.Query().Get("all") != "")
	page.Form = entryForm{ID: s.newID()}
	for _, choice := range handKinds() {
		if choice.Kind == r.URL.Query().Get("added") {
			page.Added = choice.Says
		}
	}
	return s.showPointPage(w, r, http.StatusOK, page)
}

func (s *Server) showPointPage(w http.ResponseWriter, r *http.Request, status int, page *pointPage) error {
	page.Form.Kinds = handKinds()
	return s.show(w, r, status, "point.html", page)
}

// newID makes the id of an entry that a form is about to ask for, so that
// handing the form in twice adds it once.
func (s *Server) newID() string {
	return sootline.NewID(s.App.Now(), s.App.Random()).String()
}

// handKinds are the kinds that can be added by hand here; the rest is for the
// command line.
func handKinds() []kindChoice {
	return []kindChoice{
		{"read", "a reading"},
		{"cleaned", "cleaned"},
		{"replaced", "replaced by another unit"},
		{"tested", "tested"},
		{"disabled", "disabled"},
		{"restored", "back in use"},
		{"alarm", "an alarm"},
		{"fault", "a fault"},
		{"rebased", "resting value set anew"},
		{"note", "a note"},
	}
}

func (s *Server) pointPage(survey *app.Survey, p *sootline.Point, all bool) *pointPage {
	page := &pointPage{
		Frame: Frame{Title: p.Ref().String() + " " + place(p), Survey: survey},
		Ref:   p.Ref().String(), PointID: p.ID.String(), Address: pointAddress(survey, p), Place: place(p), Zone: p.Zone, Type: p.Type,
		Serial: p.Unit.Serial, Since: day(p.UnitSince, survey.Zone), Number: numberOf(p),
		Loop: p.LoopID().String(), LoopAddress: siteAddress(survey) + "/loop?of=" + queryWord(p.LoopID().String()),
		Wants: settingLines(p.Wants), Has: settingLines(p.Has), Findings: findingsOf(survey, p), Defects: waitingDefects(survey, p.Defects),
		Asked: s.questionsOf(survey, p), Judged: judgedOf(survey, p),
	}
	if sheet := survey.Register.Sheet(p.Type); sheet != nil {
		page.Kind = string(sheet.Kind)
	}
	if p.Order > 0 {
		page.Turn = strconv.Itoa(p.Order)
	}
	if p.Disabled != nil {
		page.OffSince, page.OffWhy = local(p.Disabled.At, survey.Zone), joined(p.Disabled.Cause, p.Disabled.Text)
	}
	if p.Removed != nil {
		page.Removed = local(p.Removed.At, survey.Zone)
	}
	if len(p.Readings) > 0 {
		page.History = drawingOf(survey.History(p), "history")
	}
	if card, err := survey.Card(p); err == nil && card != nil { // what is wrong with a loop's rules is told where numbers are planned
		page.Card = card.Draw()
	}
	page.Story = storyOf(survey, p)
	if !all && len(page.Story) > mostTold {
		page.MoreTold, page.All = len(page.Story)-mostTold, page.Address+"?all=1#story"
		page.Story = page.Story[:mostTold]
	}
	return page
}

// numberOf tells the number a point should have and, where it is another, the
// one it was found at.
func numberOf(p *sootline.Point) string {
	switch {
	case p.Wanted == 0 && p.Found == 0:
		return "none yet"
	case p.Wanted == 0:
		return strconv.Itoa(p.Found) + " found, none wanted"
	case p.Found == 0:
		return strconv.Itoa(p.Wanted) + ", not checked on the device"
	case p.Found != p.Wanted:
		return strconv.Itoa(p.Wanted) + " wanted, " + strconv.Itoa(p.Found) + " found"
	}
	return strconv.Itoa(p.Wanted) + ", found so"
}

func judgedOf(survey *app.Survey, p *sootline.Point) *judgedLines {
	j := survey.Judgement(p)
	if j == nil {
		return nil
	}
	unit := unitOf(j)
	lines := &judgedLines{
		Verdict: string(j.Verdict), Action: string(j.Action), Band: withUnit(bandOf(j), unit), Margin: percent(j.Margin),
		Drift: withUnit(signed(j.DriftPerYear), unit), DriftReal: string(j.DriftReal), Borrowed: percent(j.Borrowed),
		Earliest: dayOf(j.LeavesEarliest, survey.Zone), Likely: dayOf(j.LeavesLikely, survey.Zone), Latest: dayOf(j.LeavesLatest, survey.Zone),
		Chance: percent(j.ChanceOutside), AlarmShare: percent(j.AlarmShare), Reasons: j.Reasons,
		Since: day(j.ResetAt, survey.Zone), Rests: count(j.ReadingsSinceReset, "reading", "readings"),
	}
	lines.Quantity = j.Quantity
	for i := range j.Others {
		lines.Others = append(lines.Others, quantityOf(&j.Others[i], survey.Zone))
	}
	if !j.ReadAt.IsZero() {
		lines.Reads, lines.ReadAt = withUnit(number(&j.Value), unit), local(j.ReadAt, survey.Zone)
	}
	if j.DriftLow != nil && j.DriftHigh != nil {
		lines.DriftRange = signed(j.DriftLow) + " to " + signed(j.DriftHigh)
	}
	return lines
}

func quantityOf(j *app.Judgement, zone *time.Location) quantityLine {
	line := quantityLine{Name: j.Quantity, Band: withUnit(bandOf(j), unitOf(j)), Action: string(j.Action), Reason: j.Reasons[0]}
	if !j.ReadAt.IsZero() {
		line.Reads, line.ReadAt = withUnit(number(&j.Value), unitOf(j)), day(j.ReadAt, zone)
	}
	return line
}

func dayOf(at *time.Time, zone *time.Location) string {
	if at == nil {
		return ""
	}
	return day(*at, zone)
}

// storyOf lists everything that happened at a point, the latest first.
func storyOf(survey *app.Survey, p *sootline.Point) []storyLine {
	return storyLines(survey, survey.Happened(p))
}

func storyLines(survey *app.Survey, entries []*sootline.Entry) []storyLine {
	lines := make([]storyLine, len(entries))
	for i, e := range entries {
		lines[i] = storyLine{Day: day(e.At, survey.Zone), Says: sootline.Say(e.Body), By: cmp.Or(e.By, "nobody named"), Noted: local(e.Noted, survey.Zone)}
		if photo := sootline.PhotoOf(e.Body); photo != "" {
			lines[i].Photo = "/photo/" + photo
		}
		if e.At.After(sootline.LongAgo) {
			lines[i].Clock = e.At.In(survey.Zone).Format("15:04 MST")
		}
	}
	return lines
}

// addToPoint adds an entry about a point. A form with a mistake comes back with
// what was typed and one sentence.
func (s *Server) addToPoint(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	point, err := pointOf(r, survey)
	if err != nil {
		return err
	}
	form := formOf(r)
	note, err := form.note(survey.Zone)
	if err == nil {
		note.Point = point.ID.String()
		_, err = s.as(r).AddEntry(r.Context(), survey.Register.Site.ID, note)
	}
	if err == nil {
		http.Redirect(w, r, pointAddress(survey, point)+"?added="+queryWord(form.Kind)+"#story", http.StatusSeeOther)
		return nil
	}
	if status(err) >= http.StatusInternalServerError {
		return err
	}
	page := s.pointPage(survey, point, false)
	form.Trouble, form.WayOut = sentence(err), wayOut(err)
	page.Form = form
	return s.showPointPage(w, r, status(err), page)
}

func formOf(r *http.Request) entryForm {
	f := r.PostForm
	return entryForm{
		ID: f.Get("id"), Kind: f.Get("kind"), At: f.Get("at"), Values: f.Get("values"), Text: f.Get("text"),
		Cause: f.Get("cause"), Serial: f.Get("serial"), Failed: f.Get("failed") != "",
	}
}

// note makes the entry that the form asks for.
func (f entryForm) note(zone *time.Location) (app.Note, error) {
	id, err := sootline.ParseID(f.ID)
	if err != nil {
		return app.Note{}, lostNumber(err)
	}
	at, err := typedTime(f.At, zone)
	if err != nil {
		return app.Note{}, err
	}
	body, err := f.body()
	return app.Note{ID: id, At: at, Body: body}, err
}

func (f entryForm) body() (sootline.Body, error) {
	switch sootline.Kind(f.Kind) {
	case sootline.ReadKind:
		values, err := typedNumbers(f.Values)
		return sootline.Read{Samples: values, Remark: f.Text}, err
	case sootline.CleanedKind:
		return sootline.Cleaned{Text: f.Text}, nil
	case sootline.ReplacedKind:
		return sootline.Replaced{Unit: sootline.Unit{Serial: f.Serial}, Text: f.Text}, nil
	case sootline.TestedKind:
		return sootline.Tested{Failed: f.Failed, Text: f.Text}, nil
	case sootline.DisabledKind:
		return sootline.Disabled{Cause: f.Cause, Text: f.Text}, nil
	case sootline.RestoredKind:
		return sootline.Restored{Text: f.Text}, nil
	case sootline.AlarmKind:
		return sootline.Alarm{Cause: f.Cause, Text: f.Text}, nil
	case sootline.FaultKind:
		return sootline.Fault{Cause: f.Cause, Text: f.Text}, nil
	case sootline.RebasedKind:
		return sootline.Rebased{Text: f.Text}, nil
	case sootline.NoteKind:
		return sootline.Note{Text: f.Text}, nil
	}
	return nil, sootline.Errorf(sootline.Invalid, "choose what happened from the list", "%q is not a kind of entry that is added here", f.Kind)
}

// typedTime reads a time as a browser's own field gives it, or as people type
// it, on the site's clock; nothing is now.
func typedTime(text string, zone *time.Location) (time.Time, error) {
	if text = strings.TrimSpace(text); text == "" {
		return time.Time{}, nil
	}
	for _, layout := range []string{"2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02T15:04:05", "2006-01-02 15:04:05"} {
		if at, err := time.ParseInLocation(layout, text, zone); err == nil {
			return at, nil
		}
	}
	if at, err := time.ParseInLocation(time.DateOnly, text, zone); err == nil {
		return at.Add(12 * time.Hour), nil
	}
	return time.Time{}, sootline.Errorf(sootline.Invalid, "write 2026-01-15 or 2026-01-15 09:30", "%q is not a date", text)
}

// typedNumbers reads samples: 25, 26 25.5 and also 25,5 with a comma for the
// point where a space or a semicolon parts the samples.
func typedNumbers(text string) ([]float64, error) {
	fields := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ';' || r == '\t' || r == '\n' || r == '\r' })
	if len(fields) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "write one sample or several with spaces between them, for example 25 26 25", "a reading needs at least one sample")
	}
	var values []float64
	for _, field := range fields {
		x, err := strconv.ParseFloat(strings.Replace(strings.TrimSuffix(field, ","), ",", ".", 1), 64)
		if err != nil {
			return nil, sootline.Errorf(sootline.Invalid, "write one sample or several with spaces between them, for example 25 26 25", "%q is not a number", field)
		}
		values = append(values, x)
	}
	return values, nil
}
