package nuisance

import (
	"fmt"
	"time"

	"sootline"
	"sootline/internal/count"
)

// Report is what the alarms of a site come to as of an instant.
type Report struct {
	*Record
	Code       Code
	Year       Rate // the last twelve months
	YearBefore Rate
	Incidents  []Incident // of the last twelve months, oldest first
	ByCategory []Sorted   // of the last twelve months
	Fires      int        // real ones, in the same time
	Attended   int        // false alarms to which the fire service came: unwanted fire signals
	Answers    []Answer
	Points     []Repeat
	Areas      []Repeat
	Causes     []Repeat
	Hours      []Repeat
	Weekdays   []Repeat
	Effects    []Effect
	Drift      Drift
	Months     []Month // the last two years
	Advice     []Advice
	Notes      []string // what to know of the figures
}

// Sorted is how many false alarms were of a category.
type Sorted struct {
	Category          sootline.AlarmCategory
	Alarms, Incidents int
}

// Options say by what to study a record.
type Options struct {
	Code      Code
	Standings map[sootline.ID]Standing // by the entry of the alarm; may be empty
}

// Study makes the report of a record.
func Study(rec *Record, o Options) *Report {
	s := rec.back(12)
	alarms := rec.recent(12)
	r := &Report{Record: rec, Code: o.Code, Year: rec.rate(s, alarms, 12), Incidents: group(alarms)}
	r.YearBefore = rec.rate(Span{rec.back(24).From, s.From}, rec.alarms(Span{rec.dayAfter(24), rec.dayAfter(12)}), 12)
	r.ByCategory = byCategory(r.Incidents)
	r.Fires, r.Attended = rec.Signals.Year(sootline.DayOf(rec.On, rec.Zone), rec.Zone).Fires, attended(alarms)
	r.Answers = rec.answers(&o.Code, r.Year)
	r.Points, r.Areas, r.Causes = rec.points(s, r.Incidents), rec.areas(s, r.Incidents), causesOf(r.Incidents)
	r.Hours, r.Weekdays = rec.hours(r.Incidents), rec.weekdays(r.Incidents)
	r.Effects = rec.effects()
	r.Drift = rec.drift(alarms, o.Standings)
	r.Months = rec.months(24)
	r.Advice = r.advise()
	r.Notes = rec.notes(&r.Year, alarms)
	return r
}

func attended(alarms []Alarm) int {
	n := 0
	for i := range alarms {
		if alarms[i].Attended {
			n++
		}
	}
	return n
}

// Alarming lists the false alarms whose standing a report asks for: those of the
// last twelve months that name a point.
func (rec *Record) Alarming() []Alarm {
	var all []Alarm
	for _, a := range rec.recent(12) {
		if a.Point != nil {
			all = append(all, a)
		}
	}
	return all
}

func byCategory(incidents []Incident) []Sorted {
	var all []Sorted
	for _, c := range count.FalseCategories() {
		sorted := Sorted{Category: c}
		for _, in := range incidents {
			if in.Category() == c {
				sorted.Incidents++
			}
			for _, a := range in.Alarms {
				if a.Category == c {
					sorted.Alarms++
				}
			}
		}
		all = append(all, sorted)
	}
	return all
}

// notes says what to know of the figures.
func (rec *Record) notes(year *Rate, alarms []Alarm) []string {
	var notes []string
	if !rec.Covers(year.Span) {
		notes = append(notes, rec.gap(year.Span)+"; rates are of the time on record")
	}
	if rec.Unsheets > 0 {
		notes = append(notes, fmt.Sprintf("%s of a type without a sheet count as detectors", plural(rec.Unsheets, "point")))
	}
	guessed, tested, untimed := 0, 0, 0
	for i := range alarms {
		a := &alarms[i]
		if a.Told == count.ByCause || a.Told == count.ByText {
			guessed++
		}
		if a.Tested {
			tested++
		}
		if !rec.timed(a) {
			untimed++
		}
	}
	if guessed > 0 {
		notes = append(notes, fmt.Sprintf("%s sorted by the words of the cause; nobody wrote the category down", plural(guessed, "alarm")))
	}
	if tested > 0 {
		notes = append(notes, fmt.Sprintf("%s on a day on which the point was tested: perhaps a test, and then to be put right as one", plural(tested, "alarm")))
	}
	if asked := rec.Signals.Year(sootline.DayOf(rec.On, rec.Zone), rec.Zone).Asked; asked > 0 {
		notes = append(notes, fmt.Sprintf("%s during a visit, of which nobody said whether it was a test: not counted until somebody does", plural(asked, "alarm")))
	}
	if untimed > 0 {
		notes = append(notes, fmt.Sprintf("%s without a time of day (or at 12:00 sharp), left out where hours are looked at", plural(untimed, "alarm")))
	}
	return notes
}

// Local writes an instant's day on the site's clock.
func (rec *Record) Local(at time.Time) string { return rec.day(at) }
