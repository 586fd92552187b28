package nuisance

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"sootline"
)

// State is a three-way answer.
type State string

// The answers.
const (
	AboveLimit State = "above"
	NotAbove   State = "not above"
	CannotTell State = "too few to tell"
)

// Answer says whether a limit is passed: by the code's own count, and, for a
// rate, whether chance alone could have done it.
type Answer struct {
	Trigger
	State  State
	Count  int    // alarms, as the trigger counts them
	Reason string // in a sentence
	Chance State  // for a rate: AboveLimit when the interval of incidents lies above it; empty for others
	Why    string // why Chance is so
	Points []*sootline.Point
}

// asker answers the triggers of a code over one record.
type asker struct {
	*Record
	year Rate
}

// answers goes through the triggers of a code that apply to a site of that size.
func (rec *Record) answers(code *Code, year Rate) []Answer {
	a := asker{rec, year}
	size := rec.Detectors(rec.On)
	var all []Answer
	for _, t := range code.Triggers {
		if t.Over > 0 && size <= t.Over || t.UpTo > 0 && size > t.UpTo {
			continue
		}
		all = append(all, a.answer(t))
	}
	return all
}

func (a *asker) answer(t Trigger) Answer {
	ask := map[Measure]func(Trigger) Answer{
		ByRate: a.rate, ByCount: a.count, ByDays: a.days, BySinceVisit: a.sinceVisit,
		ByPoint: a.onePoint, ByCauseAgain: a.causeAgain, ByRise: a.rise,
	}
	return ask[t.Measure](t)
}

// settle gives the answer of a count: what is above stays so, whatever the book
// does not tell; what is not is only known when the record reaches back.
func (a *asker) settle(answer Answer, s Span, above bool) Answer {
	switch {
	case above:
		answer.State = AboveLimit
	case a.Covers(s):
		answer.State = NotAbove
	default:
		answer.State = CannotTell
		answer.Reason += "; " + a.gap(s)
	}
	return answer
}

// gap says how much of a span has no record.
func (rec *Record) gap(s Span) string {
	if rec.Begins.IsZero() {
		return "the book tells of nothing that happened here"
	}
	return fmt.Sprintf("the record begins on %s, %.0f of %.0f days ago", rec.day(rec.Begins), rec.On.Sub(rec.Begins).Hours()/24, s.To.Sub(s.From).Hours()/24)
}

// rate compares the alarms of the last months with the detectors that were
// there: "more than one per so many" is exact, so that 12 for 240 is not above
// one per 20 and 13 is.
func (a *asker) rate(t Trigger) Answer {
	s := a.back(t.Months)
	answer := Answer{Trigger: t, Count: len(a.recent(t.Months, t.Leave...))}
	present := s.present(a.watches)
	if present == 0 {
		answer.State, answer.Reason, answer.Chance = CannotTell, "there is no automatic detector to count by", CannotTell
		return answer
	}
	answer.Reason = fmt.Sprintf("%s for %s, %s; the limit is 1 per %d", plural(answer.Count, "false alarm"), numbered(float64(present)/float64(s.length()), "detector"),
		onePer(answer.Count, float64(present)/float64(s.length())), t.Per)
	answer = a.settle(answer, s, int64(answer.Count)*int64(t.Per)*s.length() > present)
	answer.Chance, answer.Why = a.year.against(100 / float64(t.Per))
	return answer
}

func onePer(count int, detectors float64) string {
	if count == 0 {
		return "none"
	}
	return fmt.Sprintf("1 per %s", sootline.Significant(detectors/float64(count), 3))
}

// against says whether incidents show a rate above, or not above, a limit per
// hundred and year, or are too few: by the 90 % interval, so that either error
// has a chance of 5 % at most.
func (r *Rate) against(limit float64) (State, string) {
	if !r.Known() {
		return CannotTell, "no exposure is known"
	}
	told := fmt.Sprintf("%s in %.4g detector-years: at 90 %% between %.3g and %.3g for 100 and year, the limit is %.3g", plural(r.Incidents, "incident"), r.DetectorYears, r.Low90, r.High90, limit)
	switch {
	case r.Low90 > limit:
		return AboveLimit, told
	case r.High90 < limit:
		return NotAbove, told
	}
	return CannotTell, told
}

func (a *asker) count(t Trigger) Answer {
	s := a.back(t.Months)
	answer := Answer{Trigger: t, Count: len(a.recent(t.Months, t.Leave...))}
	answer.Reason = fmt.Sprintf("%s in %s; the limit is %d or more", plural(answer.Count, "false alarm"), plural(t.Months, "month"), t.Least)
	return a.settle(answer, s, answer.Count >= t.Least)
}

// days finds the most alarms that lie within so many days of one another.
func (a *asker) days(t Trigger) Answer {
	s := a.back(t.Months)
	alarms := a.recent(t.Months, t.Leave...)
	answer := Answer{Trigger: t}
	for i := range alarms {
		n := 0
		for j := i; j < len(alarms) && alarms[j].At.Before(alarms[i].At.AddDate(0, 0, t.Days)); j++ {
			n++
		}
		answer.Count = max(answer.Count, n)
	}
	answer.Reason = fmt.Sprintf("at most %s within %d days, in the last %s; the limit is %d or more", plural(answer.Count, "false alarm"), t.Days, plural(t.Months, "month"), t.Least)
	return a.settle(answer, s, answer.Count >= t.Least)
}

func (a *asker) sinceVisit(t Trigger) Answer {
	last := time.Time{}
	for _, e := range a.Register.Events {
		if e.Kind == sootline.VisitKind && !e.At.Equal(a.On) {
			last = e.At
		}
	}
	if last.IsZero() {
		months := a.Register.Site.Rules.VisitMonths
		answer := a.count(Trigger{Months: months, Least: t.Least})
		answer.Trigger = t
		answer.Reason += fmt.Sprintf(" since the last visit; no visit is written down, so the last %s were counted", plural(months, "month"))
		return answer
	}
	answer := Answer{Trigger: t, Count: len(a.alarms(Span{last, after(a.On)}, t.Leave...)), State: NotAbove}
	answer.Reason = fmt.Sprintf("%s since the last visit on %s; the limit is %d or more", plural(answer.Count, "false alarm"), a.day(last), t.Least)
	if answer.Count >= t.Least {
		answer.State = AboveLimit
	}
	return answer
}

// onePoint counts by device, call points too.
func (a *asker) onePoint(t Trigger) Answer {
	s := a.back(t.Months)
	counts := map[*sootline.Point]int{}
	for _, alarm := range a.recent(t.Months, t.Leave...) {
		if alarm.Point != nil {
			counts[alarm.Point]++
		}
	}
	answer := Answer{Trigger: t}
	for p, n := range counts {
		answer.Count = max(answer.Count, n)
		if n >= t.Least {
			answer.Points = append(answer.Points, p)
		}
	}
	slices.SortFunc(answer.Points, func(x, y *sootline.Point) int {
		return cmp.Or(counts[y]-counts[x], strings.Compare(x.Ref().String(), y.Ref().String()), comparePoint(x, y))
	})
	answer.Reason = fmt.Sprintf("at most %s of one device in %s; the limit is %d or more", plural(answer.Count, "false alarm"), plural(t.Months, "month"), t.Least)
	if len(answer.Points) > 0 {
		answer.Reason += ": " + tally(answer.Points, counts)
	}
	return a.settle(answer, s, len(answer.Points) > 0)
}

func tally(points []*sootline.Point, counts map[*sootline.Point]int) string {
	const most = 4
	var parts []string
	for _, p := range points[:min(most, len(points))] {
		parts = append(parts, fmt.Sprintf("%s with %d", p.Ref(), counts[p]))
	}
	if len(points) > most {
		parts = append(parts, fmt.Sprintf("and %d more", len(points)-most))
	}
	return strings.Join(parts, ", ")
}

// causeAgain looks for what the codes call a persistent cause. That it is one
// cause named by incidents of one area twice or more is our reading of it.
func (a *asker) causeAgain(t Trigger) Answer {
	s := a.back(t.Months)
	counts := map[string]int{}
	for _, incident := range group(a.recent(t.Months, t.Leave...)) {
		if first := incident.First(); first.Cause != "" && first.Place() != "" {
			counts[strings.ToLower(first.Cause)+"\x00"+cmp.Or(first.Area(), first.Point.Ref().String())]++
		}
	}
	answer := Answer{Trigger: t}
	var again []string
	for _, key := range slices.Sorted(maps.Keys(counts)) {
		answer.Count = max(answer.Count, counts[key])
		if counts[key] >= t.Least {
			cause, area, _ := strings.Cut(key, "\x00")
			again = append(again, fmt.Sprintf("%s in %s, %d times", cause, area, counts[key]))
		}
	}
	answer.Reason = fmt.Sprintf("no cause was named %d times or more in one area in %s", t.Least, plural(t.Months, "month"))
	if len(again) > 0 {
		answer.Reason = "a cause that lasts: " + strings.Join(again, "; ")
	}
	return a.settle(answer, s, len(again) > 0)
}

// rise compares with the twelve months before.
func (a *asker) rise(t Trigger) Answer {
	s := a.back(t.Months)
	before := Span{s.From.AddDate(0, -t.Months, 0), s.From}
	answer := Answer{Trigger: t, Count: len(a.recent(t.Months, t.Leave...))}
	earlier := len(a.alarms(Span{a.dayAfter(2 * t.Months), a.dayAfter(t.Months)}, t.Leave...))
	answer.Reason = fmt.Sprintf("%s in %s, %d in the %d before", plural(answer.Count, "false alarm"), plural(t.Months, "month"), earlier, t.Months)
	if !a.Covers(before) {
		answer.State = CannotTell
		answer.Reason += "; " + a.gap(Span{before.From, s.To})
		return answer
	}
	answer.State = NotAbove
	if answer.Count > earlier {
		answer.State = AboveLimit
	}
	answer.Chance, answer.Why = a.risen(before, s, float64(t.Months))
	return answer
}

// risen says whether the rise is more than chance.
func (a *asker) risen(before, now Span, months float64) (State, string) {
	m := int(months)
	was := a.Record.rate(before, a.alarms(Span{a.dayAfter(2 * m), a.dayAfter(m)}), months)
	is := a.Record.rate(now, a.recent(m), months)
	if !was.Known() || !is.Known() {
		return CannotTell, "no exposure is known"
	}
	r := Compare(is.Incidents, is.DetectorYears, was.Incidents, was.DetectorYears)
	told := fmt.Sprintf("%s in %.4g detector-years, %d in %.4g before: p = %.2g", plural(is.Incidents, "incident"), is.DetectorYears, was.Incidents, was.DetectorYears, r.P)
	if r.P > significance {
		return CannotTell, told
	}
	if is.Per100 > was.Per100 {
		return AboveLimit, told
	}
	return NotAbove, told
}

// significance is the error rate of what is called more than chance.
const significance = 0.05

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// numbered writes a mean number: whole where it is whole.
func numbered(x float64, word string) string {
	if x == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%.5g %ss", x, word)
}
