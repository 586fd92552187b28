package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
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
	Wants                                 []wishRow // by whatever wish
	Has                                   []string
	Device                                *deviceForm  // nil: the point is no more
	Replace                               *replaceForm // nil: nothing to replace
	Earlier, Later                        *pointLink   // in the order of the register; nil: there is none
	OffSince, OffWhy, Removed             string

	Judged   *judgedLines // nil: no resting value to judge
	History  *drawing     // nil: no reading yet
	Card     *cardPart    // nil: on no loop
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

// mostTold is how much of a story is shown at first.
const mostTold = 40

func (s *Server) showPoint(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.judged(r)
	if err != nil {
		return err
	}
	point, err := pointOf(r, survey)
	if err != nil {
		return err
	}
	page := s.pointPage(survey, point, r.URL.Query().Get("all") != "")
	q := r.URL.Query()
	page.Form = s.newEntryForm(cmp.Or(q.Get("new"), string(sootline.ReadKind))).describing(point).drawn(page.Address+"#add", kindsAt(r))
	page.Added = saysAdded(survey, q)
	return s.show(w, r, http.StatusOK, "point.html", page)
}

// kindsAt lists what whoever asks may add at a point.
func kindsAt(r *http.Request) []kindChoice { return offered(visitorOf(r).Role, true) }

func (s *Server) pointPage(survey *app.Survey, p *sootline.Point, all bool) *pointPage {
	page := &pointPage{
		Frame: Frame{Title: p.Ref().String() + " " + place(p), Survey: survey},
		Ref:   p.Ref().String(), PointID: p.ID.String(), Address: pointAddress(survey, p), Place: place(p), Zone: p.Zone, Type: p.Type,
		Serial: p.Unit.Serial, Since: day(p.UnitSince, survey.Zone), Number: p.SayNumbers(),
		Loop: p.LoopID().String(), LoopAddress: siteAddress(survey) + "/loop?of=" + queryWord(p.LoopID().String()),
		Wants: wishesAt(survey, p), Has: settingLines(p.Has), Findings: findingsOf(survey, p), Defects: waitingDefects(survey, p.Defects),
		Asked: s.questionsOf(survey, p), Judged: judgedOf(survey, p),
	}
	if sheet := survey.Register.Sheet(p.Type); sheet != nil {
		page.Kind = string(sheet.Kind)
	}
	if p.Order > 0 {
		page.Turn = strconv.Itoa(p.Order)
	}
	if p.Disabled != nil {
		page.OffSince, page.OffWhy = happened(p.Disabled.Entry, survey.Zone), sootline.Joined(p.Disabled.Cause, p.Disabled.Text)
	}
	if p.Removed == nil {
		page.Device, page.Replace = s.deviceForm(survey, p), s.replaceForm(survey, p)
	}
	if p.Removed != nil {
		page.Removed = happened(p.Removed.Entry, survey.Zone)
	}
	if len(p.Readings) > 0 {
		page.History = drawingOf(survey.History(p), "history")
	}
	if card, err := survey.Card(p); err == nil && card != nil { // what is wrong with a loop's rules is told where numbers are planned
		drawn := cardOf(card)
		page.Card = &drawn
	}
	page.addNeighbours(survey, p)
	page.Story = storyOf(survey, p)
	if !all && len(page.Story) > mostTold {
		page.MoreTold, page.All = len(page.Story)-mostTold, page.Address+"?all=1#story"
		page.Story = page.Story[:mostTold]
	}
	return page
}

// addNeighbours links to the points before and after, in the order of the register.
func (p *pointPage) addNeighbours(survey *app.Survey, point *sootline.Point) {
	all := survey.Register.Points()
	at := slices.Index(all, point)
	if at < 0 {
		return
	}
	link := func(i int) *pointLink {
		if i < 0 || i >= len(all) {
			return nil
		}
		return &pointLink{all[i].Ref().String(), pointAddress(survey, all[i])}
	}
	p.Earlier, p.Later = link(at-1), link(at+1)
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
		Earliest: aheadOf(survey, j.LeavesEarliest), Likely: aheadOf(survey, j.LeavesLikely), Latest: aheadOf(survey, j.LeavesLatest),
		Chance: percent(j.ChanceOutside), AlarmShare: percent(j.AlarmShare), Reasons: j.Sentences(),
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
	line := quantityLine{Name: j.Quantity, Band: withUnit(bandOf(j), unitOf(j)), Action: string(j.Action), Reason: j.Sentences()[0]}
	if !j.ReadAt.IsZero() {
		line.Reads, line.ReadAt = withUnit(number(&j.Value), unitOf(j)), day(j.ReadAt, zone)
	}
	return line
}

// aheadOf writes a day that is foretold, and nothing where none is.
func aheadOf(survey *app.Survey, at *time.Time) string {
	if at == nil {
		return ""
	}
	return survey.DayAhead(*at)
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
		if e.At.After(sootline.LongAgo) && !e.Day {
			lines[i].Clock = e.At.In(survey.Zone).Format("15:04 MST")
		}
	}
	return lines
}

// atPoint gives the site and the point that an address names.
func (s *Server) atPoint(r *http.Request) (*app.Survey, *sootline.Point, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, nil, err
	}
	point, err := pointOf(r, survey)
	return survey, point, err
}

// addToPoint adds an entry about a point. A form with a mistake comes back with
// what was typed and one sentence.
func (s *Server) addToPoint(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	survey, point, err := s.atPoint(r)
	if err != nil {
		return err
	}
	address := pointAddress(survey, point)
	to, err := s.addEntry(r, survey, addsEntry{
		kinds: kindsAt(r), point: point, action: address + "#add", added: address + "?added=",
		again: func(form entryForm, status int) error {
			page := s.pointPage(survey, point, false)
			page.Form = form
			return s.show(w, r, status, "point.html", page)
		},
	})
	if to != "" {
		http.Redirect(w, r, to, http.StatusSeeOther)
	}
	return err
}
