package papers

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/nuisance"
	"sootline/internal/paper"
)

// alarmSummary is the false alarms in short, for papers that have other subjects.
func (p *paperwork) alarmSummary() []paper.Block {
	r := p.alarmReport()
	rows := []paper.Field{{Name: p.figure(app.FalseFigure).Name, Value: falseAlarms(p)}, {Name: "rate", Value: rateWords(&r.Year)}}
	if !p.alarmsRecorded() {
		return []paper.Block{paper.Heading{Text: "False alarms"}, paper.Fields{Rows: rows}}
	}
	for _, c := range r.ByCategory {
		rows = append(rows, paper.Field{Name: "of them " + string(c.Category), Value: fmt.Sprint(p.figures().Signals.ByCategory[c.Category])})
	}
	for _, key := range []app.FigureKey{app.AttendedFigure, app.FiresFigure, app.TestSignalsFigure, app.AskedFigure, app.SignalsFigure} {
		rows = append(rows, p.figure(key))
	}
	return []paper.Block{paper.Heading{Text: "False alarms"}, paper.Fields{Rows: rows}}
}

func rateWords(rate *app.AlarmRate) string {
	if !rate.Known() {
		return "no detectors, or no record of the time"
	}
	return fmt.Sprintf("%s incidents for 100 detectors and year, at 95 %% between %s and %s (%s detectors)", app.FigureOfRate(rate.Per100), app.FigureOfRate(rate.Low), app.FigureOfRate(rate.High), app.FigureOfRate(rate.Detectors))
}

// fillAlarms reports on the false alarms.
func fillAlarms(p *paperwork, d *paper.Document) error {
	d.Title = "False alarms"
	d.Cautions = append(d.Cautions, app.AlarmCaution)
	r := p.alarmReport()
	part := paper.Part{Blocks: append(paragraphs(p.alarmVerdict(r)), p.alarmSummary()[1:]...)}
	if !p.alarmsRecorded() { // no limit, and nothing that repeats, can be told from that
		d.Parts = []paper.Part{part}
		return nil
	}
	if len(r.Notes) > 0 {
		part.Blocks = append(part.Blocks, paper.List{Items: r.Notes})
	}
	part.Blocks = append(part.Blocks,
		paper.Picture{Drawing: app.AlarmPicture(r)}, paper.Picture{Drawing: app.RatePicture(r)},
		p.answers(r), p.repeats(r), p.eachAlarm(r), paper.Heading{Text: "And their resting values"}, paper.Paragraph{Text: sootline.AsSentence(r.Drift.Reason)})
	if len(r.Advice) > 0 {
		t := paper.Table{Title: "What to try next", Columns: []paper.Column{{Name: "because"}, {Name: "try"}}}
		for _, a := range r.Advice {
			t.Rows = append(t.Rows, []paper.Cell{paper.Text(a.Because), paper.Text(a.Text)})
		}
		part.Blocks = append(part.Blocks, t)
	}
	d.Parts = []paper.Part{part}
	return nil
}

// alarmVerdict says first what it comes to: how many there were, and which limits are passed.
func (p *paperwork) alarmVerdict(r *app.AlarmReport) string {
	if !p.alarmsRecorded() {
		return "Whether there were false alarms in the last twelve months is not recorded."
	}
	var above []string
	for i := range r.Answers {
		if a := &r.Answers[i]; a.State == nuisance.AboveLimit && !slices.Contains(above, a.Level) {
			above = append(above, a.Level)
		}
	}
	says := fmt.Sprintf("%s in twelve months, by the log book. ", sootline.Capital(howMany(r.Year.Alarms, "false alarm", "false alarms")))
	if len(above) == 0 {
		return says + "No limit of " + r.Code.Name + ", " + r.Code.Edition + ", that is known here is shown to be passed."
	}
	return says + howMany(app.AboveLimits(r), "limit", "limits") + " of " + r.Code.Name + ", " + r.Code.Edition + " passed, calling for: " + strings.Join(above, "; ") + "."
}

func (p *paperwork) answers(r *app.AlarmReport) paper.Table {
	t := paper.Table{
		Title:   fmt.Sprintf("Against the limits of %s, %s", r.Code.Name, r.Code.Edition),
		Columns: []paper.Column{{Name: "calls for"}, {Name: "limit"}, {Name: "answer"}, {Name: "because"}, {Name: "chance taken in"}, {Name: "how the limit is known"}},
	}
	for _, a := range r.Answers {
		t.Rows = append(t.Rows, []paper.Cell{
			paper.Text(a.Level), paper.Text(a.Limit()), paper.Text(string(a.State)), paper.Text(a.Reason), paper.Text(string(a.Chance)), paper.Text(a.Known()),
		})
	}
	return t
}

func (p *paperwork) repeats(r *app.AlarmReport) paper.Table {
	t := paper.Table{
		Title:   "What repeats",
		Columns: []paper.Column{{Name: "what"}, {Name: "which"}, {Name: "alarms", Right: true}, {Name: "incidents", Right: true}, {Name: "by chance", Right: true}, {Name: "more than chance"}},
		None:    "Nothing came twice.",
	}
	for _, list := range []struct {
		what    string
		repeats []app.AlarmRepeat
	}{{"point", r.Points}, {"area", r.Areas}, {"cause", r.Causes}, {"hours", r.Hours}, {"day", r.Weekdays}} {
		for i := range list.repeats {
			x := &list.repeats[i]
			if x.Incidents < 2 {
				continue
			}
			expected, more := paper.Cell{}, ""
			if x.Expected > 0 {
				expected, more = paper.Number(x.Expected, 2), map[bool]string{true: "yes", false: "may be chance"}[x.More()]
			}
			t.Rows = append(t.Rows, []paper.Cell{paper.Text(list.what), paper.Text(x.Name), paper.Count(x.Alarms), paper.Count(x.Incidents), expected, paper.Text(more)})
		}
	}
	return t
}

func (p *paperwork) eachAlarm(r *app.AlarmReport) paper.Table {
	t := paper.Table{
		Title:   "Every false alarm of twelve months",
		Columns: []paper.Column{{Name: "incident", Right: true}, {Name: "day"}, {Name: "time"}, {Name: "point"}, {Name: "area"}, {Name: "category"}, {Name: "cause"}, {Name: "text"}},
		None:    "None was written down.",
	}
	for i, in := range r.Incidents {
		for j := range in.Alarms {
			a := &in.Alarms[j]
			ref := ""
			if a.Point != nil {
				ref = a.Point.Ref().String()
			}
			t.Rows = append(t.Rows, []paper.Cell{
				paper.Count(i + 1), p.date(a.At), paper.Text(clock(a.Entry, p.zone)), paper.Text(ref), paper.Text(a.Area()),
				paper.Text(string(a.Category)), paper.Text(a.Cause), paper.Text(a.Text),
			})
		}
	}
	return t
}

// clock writes the time of day of an entry; nothing where only its day is known.
func clock(e *sootline.Entry, zone *time.Location) string {
	if e.Day {
		return ""
	}
	return e.At.In(zone).Format("15:04")
}
