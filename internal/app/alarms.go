package app

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/chart"
	"sootline/internal/count"
	"sootline/internal/judge"
	"sootline/internal/nuisance"
)

// AlarmReport is what the false alarms of a site come to; the others are parts
// of it.
type (
	AlarmReport = nuisance.Report
	AlarmRate   = nuisance.Rate
	AlarmRepeat = nuisance.Repeat
	AlarmEffect = nuisance.Effect
	AlarmTally  = nuisance.Tally
	AlarmAnswer = nuisance.Answer
	AlarmMonth  = nuisance.Month
)

// TooFewToTell is the answer whether an action helped where nobody can say.
const TooFewToTell = nuisance.TooFew

// AlarmsAbove is the answer whether a limit is passed where it is.
const AlarmsAbove = nuisance.AboveLimit

// AlarmsUntold is the answer where there are too few to tell.
const AlarmsUntold = nuisance.CannotTell

// AboveLimits counts the limits of the code that are passed.
func AboveLimits(r *AlarmReport) int {
	n := 0
	for i := range r.Answers {
		if r.Answers[i].State == nuisance.AboveLimit {
			n++
		}
	}
	return n
}

// AlarmCaution is to be shown wherever a report of alarms is.
const AlarmCaution = nuisance.Caution

// AlarmCodes lists the codes and editions whose limits are known.
func AlarmCodes() []nuisance.Code { return nuisance.Codes() }

// Alarms reports on the false alarms of a site as of an instant, against the
// limits of a code; an empty code means the first of AlarmCodes.
func (a *App) Alarms(ctx context.Context, site sootline.ID, on time.Time, code string) (*AlarmReport, error) {
	limits, err := nuisance.FindCode(code)
	if err != nil {
		return nil, err
	}
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	r := log.Fold(on)
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, err
	}
	return AlarmReportOf(r, log, on, zone, limits), nil
}

// AlarmReportOf studies a register that was folded from the log as of on.
func AlarmReportOf(r *sootline.Register, log *sootline.Log, on time.Time, zone *time.Location, limits nuisance.Code) *AlarmReport {
	record := nuisance.Read(r, on, zone, SignalsOf(r, zone))
	return nuisance.Study(record, nuisance.Options{Code: limits, Standings: standings(log, record.Alarming())})
}

// standings judges, for each alarm, the point that gave it, from what the book
// said of it at that instant.
func standings(log *sootline.Log, alarms []nuisance.Alarm) map[sootline.ID]nuisance.Standing {
	wanted := map[sootline.ID]bool{}
	for _, alarm := range alarms {
		wanted[alarm.Point.ID] = true
	}
	about := map[sootline.ID][]sootline.Entry{} // by point; the zero point has what is about none
	for _, e := range log.Entries() {
		if e.Point.Zero() || wanted[e.Point] { // amendments are about no point of their own
			about[e.Point] = append(about[e.Point], *e)
		}
	}
	all := map[sootline.ID]nuisance.Standing{}
	for _, alarm := range alarms {
		said := slices.Concat(about[sootline.ID{}], about[alarm.Point.ID])
		then := sootline.Fold(said, alarm.At)
		if p := then.Point(alarm.Point.ID); p != nil {
			all[alarm.Entry.ID] = standingOf(judge.Point(then, p, alarm.At))
		}
	}
	return all
}

func standingOf(j judge.Judgement) nuisance.Standing {
	s := nuisance.Standing{Verdict: string(j.Verdict)}
	if j.ReadAt.IsZero() {
		return s
	}
	s.Words = strconv.FormatFloat(j.Value, 'f', -1, 64)
	if j.Band.Complete() {
		s.Words += fmt.Sprintf(" in %v..%v", *j.Band.Low, *j.Band.High)
	}
	s.Words += ", read on " + j.ReadAt.Format(time.DateOnly)
	return s
}

// AlarmPicture draws the false alarms of two years, a bar a month.
func AlarmPicture(r *AlarmReport) *chart.Picture {
	counts := chart.Counts{Title: "False alarms, month by month", Zone: r.Zone, Names: []string{"unwanted", "equipment", "by people", "not known"}}
	for _, m := range r.Months {
		counts.Months = append(counts.Months, chart.Month{At: m.From, Parts: []int{
			m.By[sootline.Unwanted], m.By[sootline.Equipment], m.By[sootline.Malicious] + m.By[sootline.GoodIntent], m.By[count.Unknown],
		}})
	}
	p := counts.Picture()
	p.ID = "alarms-months"
	return p
}

// RatePicture draws the rate over rolling twelve months, a quarter apart, with its
// interval, beside the limits of the code.
func RatePicture(r *AlarmReport) *chart.Picture {
	rates := chart.Intervals{Title: "Rate over twelve months", Unit: "incidents for 100 detectors and year"}
	for i, m := range r.Months {
		if (len(r.Months)-1-i)%3 != 0 || !m.Year.Known() {
			continue
		}
		rates.Rows = append(rates.Rows, chart.Interval{
			Name: "to " + r.Local(m.Year.To.Add(-time.Millisecond)), Low: m.Year.Low, Likely: m.Year.Per100, High: m.Year.High,
			Note: fmt.Sprintf("%d in %s", m.Year.Incidents, FigureOfRate(m.Year.DetectorYears)),
		})
	}
	for _, a := range r.Answers {
		if a.Measure == nuisance.ByRate {
			rates.Limits = append(rates.Limits, chart.RateLimit{Name: fmt.Sprintf("1 per %d", a.Per), At: 100 / float64(a.Per)})
		}
	}
	p := rates.Picture()
	p.ID = "alarms-rate"
	return p
}

// AlarmsSince compares the false alarms before a day with those after it: of the
// site, or of one area.
func AlarmsSince(r *AlarmReport, area string, at time.Time) (AlarmEffect, error) {
	if area != "" && !slices.ContainsFunc(r.Register.Points(), func(p *sootline.Point) bool { return strings.EqualFold(p.Area, area) }) {
		return AlarmEffect{}, sootline.Errorf(sootline.NotFound, "the list of the points says the area of each", "there is no area %q", area).Do(sootline.ListPoints)
	}
	return r.Since("what was done", area, at), nil
}

// FigureOfRate writes a rate, or what it was reckoned from, to four figures, as people
// write numbers: without a power of ten.
func FigureOfRate(x float64) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	if err != nil {
		return ""
	}
	return strconv.FormatFloat(short, 'f', -1, 64)
}
