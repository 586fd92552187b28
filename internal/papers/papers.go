package papers

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/judge"
	"sootline/internal/nuisance"
	"sootline/internal/paper"
)

// Kind is a paper that can be made of a log book.
type Kind struct {
	Name  string // as commands take it
	Says  string
	Needs string // what else must be said: "point", or nothing
	fill  func(*paperwork, *paper.Document) error
}

// Kinds lists the papers.
func Kinds() []Kind {
	kinds := []Kind{
		{"schedule", "every point: where, what, its number and settings", "", fillSchedule},
		{"cards", "setting cards, in the order of the walk", "", fillCards},
		{"bench", "record of a run at the bench: every device as it was set and read", "", fillBench},
		{"visit-list", "what to see at the next visit, to carry and tick", "", fillVisitList},
		{"visit", "report of a visit: tests, faults, alarms, what is advised", "", fillVisit},
		{"remedial", "what is to be put right: to price, agree and tick off by hand", "", fillRemedial},
		{"point", "the history of one point, with its picture", "point", fillPoint},
		{"drift", "dirty and drifting points, with their pictures", "", fillDrift},
		{"alarms", "false alarms: rate, limits, what repeats, what to try", "", fillAlarms},
		{"loop", "calculation of the loops, with every assumption", "", fillLoops},
		{"battery", "calculation of the standby battery", "", fillBattery},
		{"order", "the order in which to change numbers", "", fillOrder},
		{"log", "the log book between two dates", "", fillLog},
		{"pack", "handover pack: all of it, with contents and page numbers", "", fillPack},
	}
	for _, c := range certificates() {
		kinds = append(kinds, Kind{c.key, c.says, "", func(p *paperwork, d *paper.Document) error { return p.certificate(&c, d) }})
	}
	return kinds
}

// Wish says what a paper is to show.
type Wish struct {
	Kind     string
	On       time.Time
	Point    string // a reference; for the history of a point
	Loop     string // only this loop, where a paper is about loops
	Bench    string // the run at the bench, by its name or id; empty: the last; of labels: none
	From, To time.Time
	Fields   map[string]string // what somebody adds by hand where the record says nothing
	By       string            // who adds it
	Panel    string            // whose battery it is; empty: of each panel, or, where loads are given, of these alone
	Battery  app.Battery       // what was typed of the battery, beside what is kept
	Rule     int               // number of the battery's rule set; 0: that of the load list, else the first
	Firm     paper.Firm
	Survey   *app.Survey // of the site, where whoever asks has one at hand: the paper is as of then; nil: it is made
}

// paperwork is what all papers are made from.
type paperwork struct {
	ctx      context.Context // of whoever waits for the paper
	wish     Wish
	log      *sootline.Log
	r        *sootline.Register
	zone     *time.Location
	limits   nuisance.Code
	now      time.Time
	report   *app.AlarmReport
	surveyed *app.Survey
	visited  *visitWork
	counted  *app.Figures
	ended    *ending

	judgedThen *judge.Assessment // as of the end of the visit
	photo      func(hash string) ([]byte, error)
	photos     map[string]int // the numbers of photos on the paper, by hash
}

// Make makes a paper of a site.
func Make(ctx context.Context, a *app.App, site sootline.ID, wish Wish) (*paper.Document, error) {
	_, d, err := drafted(ctx, a, site, wish)
	return d, err
}

// drafted gives a paper that is not issued, and the work that it is made of.
func drafted(ctx context.Context, a *app.App, site sootline.ID, wish Wish) (*paperwork, *paper.Document, error) {
	kind, err := findPaper(wish.Kind)
	if err != nil {
		return nil, nil, err
	}
	p, err := workOf(ctx, a, site, wish)
	if err != nil {
		return nil, nil, err
	}
	if err := p.checkFields(); err != nil {
		return nil, nil, err
	}
	if kind.judges() {
		if err := p.survey().Judge(ctx); err != nil {
			return nil, nil, err
		}
	}
	d := p.document()
	if err := kind.fill(p, d); err != nil {
		return nil, nil, err
	}
	return p, d, ctx.Err()
}

// judges reports whether the paper says what readings come to.
func (k Kind) judges() bool {
	return !slices.Contains([]string{"schedule", "cards", "bench", "alarms", "loop", "battery", "order", "log"}, k.Name)
}

func findPaper(name string) (Kind, error) {
	var names []string
	for _, kind := range Kinds() {
		if kind.Name == name {
			return kind, nil
		}
		names = append(names, kind.Name)
	}
	return Kind{}, sootline.Errorf(sootline.Invalid, "say one of: labels, "+strings.Join(names, ", "), "there is no paper %q", name)
}

func workOf(ctx context.Context, a *app.App, site sootline.ID, wish Wish) (*paperwork, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	if wish.Survey != nil {
		wish.On = wish.Survey.On
	}
	r := foldFor(log, &wish)
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return nil, err
	}
	if wish.By == "" {
		wish.By = a.Who.Name
	}
	photo := func(hash string) ([]byte, error) { return a.Photo(ctx, hash) }
	return &paperwork{ctx: ctx, wish: wish, log: log, r: r, zone: zone, limits: LimitsOf(r), now: a.Now(), surveyed: wish.Survey, photo: photo, photos: map[string]int{}}, nil
}

// foldFor gives the register of the paper's day.
func foldFor(log *sootline.Log, wish *Wish) *sootline.Register {
	if wish.Survey != nil {
		return wish.Survey.Register
	}
	return log.Fold(wish.On)
}

// Cautions stand on every paper.
func Cautions() []string {
	return []string{
		"Advice only: the code that applies there, the devices' own instructions and the authority come first; design and certification are for those licensed for it.",
		"Before work: the responsible person's consent, and the monitoring centre told. After it: restore what was disabled, prove it, and tell all who were told.",
	}
}

// Draft stands on each page of a paper that was not issued.
const Draft = "DRAFT, not issued"

// LimitsOf gives the limits of false alarms of the code that the site follows, as
// far as they are known here; else the first known.
func LimitsOf(r *sootline.Register) nuisance.Code {
	for _, code := range nuisance.Codes() {
		if follows := strings.ToLower(r.Site.Follows); strings.EqualFold(code.Key, follows) ||
			strings.Contains(follows, strings.ToLower(code.Name)) && strings.Contains(follows, strings.ToLower(code.Edition)) {
			return code
		}
	}
	return nuisance.Codes()[0]
}

// document begins a paper with what all of them have.
func (p *paperwork) document() *paper.Document {
	last, count := lastWritten(p.log, p.wish.On)
	d := &paper.Document{
		Until: p.ctx,
		Site:  p.r.Site.Name, AsOf: Draft + ". As of " + p.moment(p.wish.On), Made: p.wish.On, Firm: p.wish.Firm,
		Cautions: Cautions(), RestsOn: "Rests on nothing: the log book is empty",
	}
	if last != nil {
		d.Code = CodeOf(last.Hash)
		d.RestsOn = fmt.Sprintf("Rests on %s of the log book, the last noted on %s; code %s", howMany(count, "entry", "entries"), p.day(last.Noted), d.Code)
	}
	out := app.DueList{Register: p.r, Zone: p.zone}
	for _, o := range out.Standing() {
		d.Standing = append(d.Standing, o.String())
	}
	const most = 12 // a line of them
	if rest := len(d.Standing) - most; rest > 0 {
		d.Standing = append(d.Standing[:most], fmt.Sprintf("and %d more", rest))
	}
	return d
}

func howMany(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, several)
}

// day writes a date on the site's clock; what nobody wrote down is empty.
func (p *paperwork) day(t time.Time) string {
	if !t.After(sootline.LongAgo) {
		return ""
	}
	return t.In(p.zone).Format(time.DateOnly)
}

// date is a date as a cell.
func (p *paperwork) date(t time.Time) paper.Cell {
	if !t.After(sootline.LongAgo) {
		return paper.Cell{}
	}
	return paper.Day(t.In(p.zone))
}

func (p *paperwork) moment(t time.Time) string { return t.In(p.zone).Format("2006-01-02 15:04 MST") }

// points lists the points of the loop that was asked for, or all.
func (p *paperwork) points() ([]*sootline.Point, error) {
	if p.wish.Loop == "" {
		return p.r.Points(), nil
	}
	var on []*sootline.Point
	for _, point := range p.r.Points() {
		if id := point.LoopID(); id.String() == p.wish.Loop || id.Name == p.wish.Loop && len(p.r.Panels()) == 1 {
			on = append(on, point)
		}
	}
	if len(on) == 0 {
		return nil, sootline.Errorf(sootline.NotFound, "see which loops there are", "there is no loop %s with points", p.wish.Loop).Do(sootline.ShowSite)
	}
	return on, nil
}

// survey judges the site once for all that need it.
func (p *paperwork) survey() *app.Survey {
	if p.surveyed == nil {
		p.surveyed = app.SurveyOf(p.r, p.log, p.wish.On, p.zone, p.now)
	}
	return p.surveyed
}

// figures counts the site once, as of the day of the paper.
func (p *paperwork) figures() *app.Figures {
	if p.counted == nil {
		f := p.survey().Figures()
		p.counted = &f
	}
	return p.counted
}

// figure gives one of them as a field under its own name.
func (p *paperwork) figure(key app.FigureKey) paper.Field {
	f := p.figures().Of(key)
	return paper.Field{Name: f.Name, Value: f.Value}
}

func (p *paperwork) assessment() *judge.Assessment { return p.survey().Judged() }

// alarmReport studies the alarms once for all that need it.
func (p *paperwork) alarmReport() *app.AlarmReport {
	if p.report == nil {
		p.report = app.AlarmReportOf(p.r, p.log, p.wish.On, p.zone, p.limits)
	}
	return p.report
}

// placeOf tells where a point is.
func placeOf(point *sootline.Point) string { return cmp.Or(point.Location, point.Area, "-") }

// settings writes settings in the order of their names.
func settings(of map[string]string) string {
	var parts []string
	for name, choice := range of {
		parts = append(parts, name+"="+choice)
	}
	slices.Sort(parts)
	return strings.Join(parts, ", ")
}

// paragraphs makes blocks of the texts that say something.
func paragraphs(texts ...string) []paper.Block {
	var blocks []paper.Block
	for _, text := range texts {
		if text != "" {
			blocks = append(blocks, paper.Paragraph{Text: text})
		}
	}
	return blocks
}
