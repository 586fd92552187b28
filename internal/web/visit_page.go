package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// visitPage plans a visit, or shows how the one that is open stands.
type visitPage struct {
	Frame
	Address string
	Trouble string
	WayOut  []wayLine

	Minutes, Order, Next string // as typed
	Plan                 *planLines
	Cautions             []cautionLine
	Disabled, Text       string
	Last                 *pastVisit
	Past                 []*pastVisit // that were closed, the latest first

	Defects []defectLine // not closed

	Open *openLines
}

// planLines is a round before it begins.
type planLines struct {
	Minutes, Work, Setup, Spare int
	Setups                      []string
	Stops                       []stopLine
	Left                        []leftLine
	MoreLeft                    int
	Short                       []string
}

type stopLine struct {
	Turn                      int
	Heading                   string // floor and area, where they change
	Ref, Address, Place, Type string
	Tasks                     []taskLine
	Seen                      string
	Undone                    string // what is still to do; empty: all that was planned is done
}

type taskLine struct {
	Work    string
	Minutes int
	Whys    []string
}

type leftLine struct{ Ref, Address, Work, Why string }

type cautionLine struct {
	Key, Text string
	Confirmed bool
}

// openLines is how an open visit stands.
type openLines struct {
	From, By, Capture, Forgotten string
	Seen, All                    int
	Stops                        []stopLine
	Waiting                      []pointLink
	Others, Unlike               []otherAlarm
	Standing                     []standingLine
	Undone                       []undoneLine
	Questions                    int
	Differences                  []differenceLine
}

type otherAlarm struct{ Ref, Address, At, Why string }

type undoneLine struct {
	pointLink
	Work string
}

type standingLine struct{ Says, What, Address string }

type differenceLine struct {
	Ref, Address, What string
	Says               []string
}

// pastVisit is how the last visit ended.
type pastVisit struct {
	From, To, By, Left, Next string
	Standing                 []string
	Undone                   []string
	Asked                    int
	Text                     string
	Message, NoMessage       string // page one of its report as text, or why there is none
	Papers                   string // the beginning of the addresses of papers
	Photos                   []visitPhoto
}

// visitPhoto is a photo that was taken at a visit.
type visitPhoto struct {
	photoShown
	Says string
}

// mostPast is how many past visits are listed; the log has them all.
const mostPast = 60

// usualVisit is how many minutes are proposed for a visit.
const usualVisit = "240"

func (s *Server) showVisit(w http.ResponseWriter, r *http.Request) error {
	page, line, err := s.visitPage(r)
	if err != nil {
		return err
	}
	query := r.URL.Query()
	if page.Open == nil && query.Has("minutes") {
		page.Minutes, page.Order, page.Next = query.Get("minutes"), query.Get("order"), query.Get("next")
		if err := s.plan(r, page, line); err != nil {
			return s.visitAgain(w, r, page, err)
		}
	}
	return s.show(w, r, http.StatusOK, "visit_page.html", page)
}

// visitAgain shows the page with what was wrong.
func (s *Server) visitAgain(w http.ResponseWriter, r *http.Request, page *visitPage, err error) error {
	code := status(err)
	if code >= http.StatusInternalServerError {
		return err
	}
	page.Trouble, page.WayOut = sentence(err), wayOut(r, err)
	return s.show(w, r, code, "visit_page.html", page)
}

func (s *Server) visitPage(r *http.Request) (*visitPage, store.SiteLine, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, store.SiteLine{}, err
	}
	line, err := s.line(r)
	if err != nil {
		return nil, line, err
	}
	page := &visitPage{Frame: Frame{Title: "Visit to " + survey.Register.Site.Name, Survey: survey}, Address: siteAddress(survey) + "/visit", Minutes: usualVisit}
	page.Defects = waitingDefects(survey, survey.Register.Defects())
	for _, c := range app.Cautions() {
		page.Cautions = append(page.Cautions, cautionLine{Key: c.Key, Text: c.Text})
	}
	_, visits, err := s.as(r).Visits(r.Context(), line)
	if err != nil {
		return nil, line, err
	}
	for i := range slices.Backward(visits) {
		if visits[i].Closed != nil && len(page.Past) < mostPast {
			page.Past = append(page.Past, pastOf(&visits[i], survey.Zone))
		}
	}
	if n := len(visits); n > 0 && visits[n-1].Closed != nil {
		page.Last = pastOf(&visits[n-1], survey.Zone)
		page.Last.Papers = siteAddress(survey) + "/paper/"
		text, err := s.message(r, survey)
		if page.Last.Message = text; err != nil {
			page.Last.NoMessage = sentence(err)
		}
		if page.Last.Photos, err = s.photosOf(r, survey, &visits[n-1]); err != nil {
			return nil, line, err
		}
	} else if n > 0 {
		page.Open, err = s.openLines(r, survey, line)
	}
	return page, line, err
}

func (s *Server) plan(r *http.Request, page *visitPage, line store.SiteLine) error {
	wish, err := page.wish(s.App.Now())
	if err != nil {
		return err
	}
	plan, err := s.as(r).PlanVisit(r.Context(), line, wish)
	if err == nil {
		page.Plan = planOf(page.Survey, &plan)
	}
	return err
}

func (p *visitPage) wish(now time.Time) (app.VisitWish, error) {
	wish := app.VisitWish{On: now}
	var err error
	if wish.Minutes, err = strconv.Atoi(strings.TrimSpace(p.Minutes)); err != nil {
		return wish, sootline.Errorf(sootline.Invalid, "for example 240", "%q is not a number of minutes", p.Minutes)
	}
	for _, name := range strings.Split(p.Order, ",") {
		if name = strings.TrimSpace(name); name != "" {
			wish.Order = append(wish.Order, name)
		}
	}
	wish.Next, err = app.ParseDay(strings.TrimSpace(p.Next))
	return wish, err
}

func planOf(survey *app.Survey, plan *app.VisitPlan) *planLines {
	const most = 30
	lines := &planLines{Minutes: plan.Minutes, Work: plan.Work, Setup: plan.Setup, Spare: plan.Minutes - plan.Work - plan.Setup, Short: plan.Short}
	for _, area := range plan.Areas {
		lines.Setups = append(lines.Setups, sootline.Joined(area.Area, count(area.Setup, "minute", "minutes"), area.Why))
	}
	heading := ""
	for i, stop := range plan.Stops {
		p := stop.Point
		line := stopLine{Turn: i + 1, Ref: p.Ref().String(), Address: pointAddress(survey, p), Place: p.Location, Type: p.Type}
		if at := sootline.Joined(stop.Floor, p.Area); at != heading {
			heading, line.Heading = at, at
		}
		for _, t := range stop.Tasks {
			line.Tasks = append(line.Tasks, taskLine{t.Work, t.Minutes, t.Whys})
		}
		lines.Stops = append(lines.Stops, line)
	}
	for _, left := range plan.Left[:min(most, len(plan.Left))] {
		lines.Left = append(lines.Left, leftLine{left.Point.Ref().String(), pointAddress(survey, left.Point), left.Work, left.Why})
	}
	lines.MoreLeft = max(0, len(plan.Left)-most)
	return lines
}

// openVisit opens a visit once every caution is confirmed.
func (s *Server) openVisit(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	page, line, err := s.visitPage(r)
	if err != nil {
		return err
	}
	form := r.PostForm
	page.Minutes, page.Order, page.Next, page.Disabled, page.Text = form.Get("minutes"), form.Get("order"), form.Get("next"), form.Get("disabled"), form.Get("text")
	for i := range page.Cautions {
		page.Cautions[i].Confirmed = slices.Contains(form["confirm"], page.Cautions[i].Key)
	}
	wish, err := page.wish(s.App.Now())
	if err == nil {
		_, err = s.as(r).OpenVisit(r.Context(), line, app.Opening{VisitWish: wish, Confirmed: form["confirm"], Disabled: linesOf(page.Disabled), Text: page.Text})
	}
	if err == nil {
		next := page.Address
		if visitorOf(r).station != "" {
			next = "/capture#" + line.ID.String() // so that the visit is on the phone from now on
		}
		http.Redirect(w, r, next, http.StatusSeeOther)
		return nil
	}
	if page.Open == nil {
		if planning := s.plan(r, page, line); planning != nil {
			err = planning
		}
	}
	return s.visitAgain(w, r, page, err)
}

// linesOf gives the lines of a text that say something.
func linesOf(text string) []string {
	var lines []string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// closeVisit closes the open visit.
func (s *Server) closeVisit(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	page, line, err := s.visitPage(r)
	if err != nil {
		return err
	}
	form := r.PostForm
	left := form.Get("left")
	page.Text = form.Get("text")
	if left != string(sootline.LeftNormal) && left != string(sootline.LeftNotNormal) {
		return s.visitAgain(w, r, page, sootline.Errorf(sootline.Invalid, "", "say whether the site is left in normal operation"))
	}
	_, err = s.as(r).CloseVisit(r.Context(), line, app.Closing{Normal: left == string(sootline.LeftNormal), Restored: form["restored"], Text: page.Text})
	if err != nil {
		return s.visitAgain(w, r, page, err)
	}
	http.Redirect(w, r, page.Address, http.StatusSeeOther)
	return nil
}

// photosOf lists the photos that were taken at a visit.
func (s *Server) photosOf(r *http.Request, survey *app.Survey, v *app.PastVisit) ([]visitPhoto, error) {
	all, err := s.as(r).Photographs(r.Context(), survey.Register.Site.ID)
	var photos []visitPhoto
	for _, photo := range all {
		if v.Holds(photo.Entry, survey.Zone) {
			photos = append(photos, visitPhoto{s.photoShownOf(r, photo.Hash), sootline.Joined(photo.Ref, sootline.Say(photo.Entry.Body))})
		}
	}
	return photos, err
}

func pastOf(v *app.PastVisit, zone *time.Location) *pastVisit {
	closed, _ := v.Closed.Entry.Body.(sootline.Visit)
	return &pastVisit{
		From: local(v.From(), zone), To: local(v.To(), zone), By: v.Closed.Entry.By, Left: string(closed.Left), Next: closed.Next,
		Standing: closed.Standing, Undone: shape.UndoneWords(v.Undone), Asked: closed.Asked, Text: closed.Text,
	}
}
