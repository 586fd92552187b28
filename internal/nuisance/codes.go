package nuisance

import (
	"fmt"
	"strings"

	"sootline"
)

// Code is what one edition of a code, or a guide, says of the number of false
// alarms.
type Code struct {
	Key      string // as commands take it
	Name     string
	Edition  string
	Triggers []Trigger
}

// Trigger is one limit of a code. Which fields count is told by what it
// measures.
type Trigger struct {
	Level        string // what it calls for
	Measure      Measure
	Per          int // more than one alarm for so many detectors
	Least        int // so many alarms or more
	Months, Days int // over the last so many
	Over, UpTo   int // for sites with more than, or up to, so many detectors; 0: any
	Leave        []sootline.AlarmCategory
	Clause       string
	Source       string // where the figure was read
	Basis        Basis
}

// Measure is what a trigger looks at.
type Measure string

// The measures.
const (
	ByRate       Measure = "rate"                // alarms for the detectors of the site
	ByCount      Measure = "count"               // alarms of the site
	ByDays       Measure = "days"                // alarms within any so many days of the last twelve months
	BySinceVisit Measure = "since visit"         // alarms since the last service visit
	ByPoint      Measure = "one device"          // alarms of one device
	ByCauseAgain Measure = "same cause, area"    // a cause that comes again in an area
	ByRise       Measure = "rise over last year" // against the twelve months before
)

// Basis says how a figure is known.
type Basis string

// The ways a figure is known.
const (
	ReadInCode Basis = "read"
	ReadOfCode Basis = "read in a summary"
	FromMemory Basis = "not checked"
)

// The levels of what a code calls for.
const (
	Normal      = "what is normally to be expected"
	Preliminary = "a preliminary investigation"
	InDepth     = "an investigation in depth, by a specialist"
	Investigate = "an investigation"
	Retest      = "a sensitivity test sooner than planned"
)

const (
	seriesPart18  = "an article series on fire management that restates the code, part 18 (2016)"
	seriesPart204 = "the same series, part 204 (2023)"
	irish         = "the standard's text"
)

// Codes is the table of codes and editions; the first is the one used when none
// is named.
func Codes() []Code {
	goodIntent := []sootline.AlarmCategory{sootline.GoodIntent}
	return []Code{
		{"bs5839-1:2017", "BS 5839-1", "2002 to 2017", []Trigger{
			{Level: Normal, Measure: ByRate, Per: 50, Months: 12, Source: seriesPart18, Basis: ReadOfCode},
			{Level: Preliminary, Measure: ByRate, Per: 25, Months: 12, Source: seriesPart204, Basis: ReadOfCode},
			{Level: Preliminary, Measure: BySinceVisit, Least: 11, Source: seriesPart204, Basis: ReadOfCode},
			{Level: Preliminary, Measure: ByPoint, Least: 2, Months: 12, Source: seriesPart204, Basis: ReadOfCode},
			{Level: Preliminary, Measure: ByCauseAgain, Least: 2, Months: 12, Source: seriesPart204, Basis: ReadOfCode},
			{Level: InDepth, Measure: ByRate, Per: 20, Months: 12, Over: 40, Source: seriesPart18, Basis: ReadOfCode},
			{Level: InDepth, Measure: ByPoint, Least: 3, Months: 12, Over: 40, Source: seriesPart18, Basis: ReadOfCode},
			{Level: InDepth, Measure: ByCount, Least: 3, Months: 12, UpTo: 40, Source: seriesPart18, Basis: ReadOfCode},
		}},
		{"bs5839-1:2025", "BS 5839-1", "2025", []Trigger{
			{Level: Investigate, Measure: ByCount, Least: 1, Months: 12, Clause: "29.6", Source: "IET Wiring Matters 108 (2025)", Basis: ReadOfCode},
		}},
		{"is3218:2009", "I.S. 3218", "2009", []Trigger{
			{Level: Investigate, Measure: ByRate, Per: 25, Months: 12, Clause: "6.3.6", Source: irish, Basis: ReadInCode},
			{Level: Investigate, Measure: ByCount, Least: 6, Months: 3, Clause: "6.3.6", Source: irish, Basis: ReadInCode},
			{Level: Investigate, Measure: ByPoint, Least: 2, Months: 3, Leave: goodIntent, Clause: "6.3.6", Source: irish, Basis: ReadInCode},
			{Level: Investigate, Measure: ByCauseAgain, Least: 2, Months: 12, Clause: "6.3.6", Source: irish, Basis: ReadInCode},
		}},
		{"uk-guide", "UK government, CFOA and BFPSA guide", "undated", []Trigger{
			{Level: Normal, Measure: ByRate, Per: 50, Months: 12, Source: "the guide", Basis: ReadInCode},
			{Level: Normal, Measure: ByDays, Least: 2, Days: 28, Months: 12, Source: "the guide", Basis: ReadInCode},
		}},
		{"nfpa72", "NFPA 72", "2019 and 2022", []Trigger{
			{Level: Retest, Measure: ByRise, Months: 12, Clause: "14.4.4.3", Source: "the code", Basis: FromMemory},
		}},
	}
}

// FindCode finds a code by its key; an empty key means the first.
func FindCode(key string) (Code, error) {
	all := Codes()
	if key == "" {
		return all[0], nil
	}
	var keys []string
	for _, code := range all {
		if strings.EqualFold(code.Key, key) {
			return code, nil
		}
		keys = append(keys, code.Key)
	}
	return Code{}, sootline.Errorf(sootline.Invalid, "say one of: "+strings.Join(keys, ", "), "%q is not a code whose limits are known here", key)
}

// Limit says in words what the trigger allows.
func (t Trigger) Limit() string {
	over := "in " + plural(t.Months, "month")
	limit := ""
	switch t.Measure {
	case ByRate:
		limit = fmt.Sprintf("more than 1 per %d detectors %s", t.Per, over)
	case ByCount:
		limit = fmt.Sprintf("%d or more %s", t.Least, over)
	case ByDays:
		limit = fmt.Sprintf("%d or more within %d days, %s", t.Least, t.Days, over)
	case BySinceVisit:
		limit = fmt.Sprintf("%d or more since the last visit", t.Least)
	case ByPoint:
		limit = fmt.Sprintf("%d or more of one device %s", t.Least, over)
	case ByCauseAgain:
		limit = "a cause that lasts"
	case ByRise:
		limit = fmt.Sprintf("more than in the %s before", plural(t.Months, "month"))
	}
	for _, c := range t.Leave {
		limit += ", " + string(c) + " left out"
	}
	switch {
	case t.Over > 0:
		limit += fmt.Sprintf(" (more than %d detectors)", t.Over)
	case t.UpTo > 0:
		limit += fmt.Sprintf(" (up to %d detectors)", t.UpTo)
	}
	return limit
}

// Known says in words how the figure is known.
func (t Trigger) Known() string {
	known := string(t.Basis)
	if t.Clause != "" {
		known += ", clause " + t.Clause
	}
	return known + ": " + t.Source
}
