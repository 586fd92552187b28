// Package check says what else is wrong on the register, beside the numbers and
// the readings: types nobody described, bands nobody gave, units past their
// service life, points that nobody reads, and points that were taken out of use
// and not put back.
//
// The rules, with what each rests on, are in docs/methods/checks.md.
package check

import (
	"time"

	"sootline"
)

// The codes of the findings.
const (
	CableWrong    = "cable-wrong"        // cable of no length, or a spur from nowhere
	Forgotten     = "disabled-forgotten" // out of use longer than the site's rule allows
	Disabled      = "disabled"           // out of use
	DefectOpen    = "defect-open"        // something is wrong that nobody mended
	DefectMended  = "defect-mended"      // mended, and not tried again
	SetTwice      = "set-twice"          // several devices were set at the bench for one point
	DefectUnknown = "defect-unknown"     // what was told of no defect of the site
	InsulationLow = "insulation-low"     // less insulation to earth than the rule of the site wants
	TypeMissing   = "type-missing"       // points without a type
	TypeUnknown   = "type-unknown"       // a type without a type sheet
	BandMissing   = "band-missing"       // no band for a type that has a resting value
	BandOneSided  = "band-one-sided"     // only one limit of the band is known
	LifePast      = "life-past"          // units older than the service life of their type
	FitUnknown    = "fitted-unknown"     // nobody wrote down when units were fitted
	NeverRead     = "never-read"         // no reading, although the type has a resting value
	NeverFitted   = "never-fitted"       // entries speak of points that were never fitted
	SpanAssumed   = "span-assumed"       // a loop whose numbers nobody described
	Disputed      = "corrected-twice"    // two stations corrected one entry otherwise
	ChangedApart  = "changed-apart"      // two changed one fact, neither knowing of the other
	ZoneUnknown   = "zone-unknown"       // the site's time zone is not known
	TimeAhead     = "time-ahead"         // entries of a time that has not come
)

// Register gives what is wrong on the register as of an instant, the instant
// that the register was folded at. Findings come in the order of the codes
// above, within one in the order of the register. Days in the reasons are UTC.
func Register(r *sootline.Register, on time.Time) []sootline.Finding {
	c := checker{r, on}
	var findings []sootline.Finding
	for _, rule := range [...]func() []sootline.Finding{
		c.cableWrong, c.forgotten, c.disabled, c.defects, c.mended, c.setTwice, c.strayStep, c.insulation, c.typeMissing, c.typeUnknown, c.bandMissing, c.bandOneSided,
		c.lifePast, c.fitUnknown, c.neverRead, c.neverFitted, c.spanAssumed, c.disputed, c.changedApart, c.zoneUnknown,
	} {
		findings = append(findings, rule()...)
	}
	return findings
}

type checker struct {
	*sootline.Register
	on time.Time
}

// judged reports whether a point's device has a resting value worth judging. A
// type without a sheet counts as having one: nobody has said otherwise.
func judged(sheet *sootline.TypeSheet) bool { return sheet == nil || sheet.Kind.Judged() }

// group is a list of points that share something.
type group[K comparable] struct {
	key    K
	points []*sootline.Point
}

// grouped sorts the points that have a key by it, in the order of the register.
func grouped[K comparable](c checker, key func(*sootline.Point) (k K, ok bool)) []group[K] {
	var groups []group[K]
	at := map[K]int{}
	for _, p := range c.Points() {
		k, ok := key(p)
		if !ok {
			continue
		}
		i, seen := at[k]
		if !seen {
			i = len(groups)
			at[k] = i
			groups = append(groups, group[K]{key: k})
		}
		groups[i].points = append(groups[i].points, p)
	}
	return groups
}
