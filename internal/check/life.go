package check

import (
	"fmt"
	"slices"

	"sootline"
)

// lifePast finds the units of each type that are older than its service life.
// A unit that nobody knows the age of is none of them.
func (c checker) lifePast() []sootline.Finding {
	groups := grouped(c, func(p *sootline.Point) (*sootline.TypeSheet, bool) {
		sheet := c.Sheet(p.Type)
		if sheet == nil || sheet.LifeYears == nil {
			return nil, false
		}
		end, known := p.LifeEnds(*sheet.LifeYears)
		return sheet, known && c.on.After(end)
	})
	var findings []sootline.Finding
	for _, g := range groups {
		oldest := slices.MinFunc(g.points, func(a, b *sootline.Point) int { return a.UnitSince.Compare(b.UnitSince) })
		reason := fmt.Sprintf("%s of type %s past the service life of %v years; the oldest, %s, was fitted on %s",
			are(len(g.points)), g.key.Name, *g.key.LifeYears, oldest.Ref(), day(oldest.UnitSince))
		if len(g.points) == 1 {
			reason = fmt.Sprintf("%s, type %s, was fitted on %s and is past its service life of %v years",
				oldest.Ref(), g.key.Name, day(oldest.UnitSince), *g.key.LifeYears)
		}
		findings = append(findings, sootline.Finding{
			Code: LifePast, Weight: sootline.Warning, Points: g.points, Reason: reason,
			WayOut: sootline.Out("replace the unit, then note it").Do(sootline.AddEntry, string(sootline.ReplacedKind)), Entries: resets(g.points),
		})
	}
	return findings
}

// ageUnknown reports whether nobody wrote down when the unit was fitted.
func ageUnknown(p *sootline.Point) bool { return !p.UnitSince.After(sootline.LongAgo) }

// fitUnknown counts the units of which nobody wrote down when they were fitted.
func (c checker) fitUnknown() []sootline.Finding {
	var points []*sootline.Point
	for _, p := range c.Points() {
		if ageUnknown(p) {
			points = append(points, p)
		}
	}
	if len(points) == 0 {
		return nil
	}
	return []sootline.Finding{{
		Code: FitUnknown, Weight: sootline.Hint, Points: points,
		Reason: fmt.Sprintf("nobody wrote down when the units of %s of %d were fitted, so that their age is not known",
			count(len(points), "point"), len(c.Points())),
		WayOut: sootline.Out("take in a listing that gives the dates").Do(sootline.TakeListings),
	}}
}

// neverRead finds the points of each loop that have a resting value nobody
// ever read.
func (c checker) neverRead() []sootline.Finding {
	groups := grouped(c, func(p *sootline.Point) (sootline.LoopID, bool) {
		return p.LoopID(), len(p.Readings) == 0 && judged(c.Sheet(p.Type))
	})
	var findings []sootline.Finding
	for _, g := range groups {
		findings = append(findings, sootline.Finding{
			Code: NeverRead, Weight: sootline.Warning, Points: g.points, Loop: g.key,
			Reason: fmt.Sprintf("nobody ever read %s on loop %s, which should rest in a band: %s", count(len(g.points), "point"), g.key, refs(g.points)),
			WayOut: sootline.Out("read them at the next visit, then take in the readings").Do(sootline.TakeListings),
		})
	}
	return findings
}

// resets lists the entries that fitted the units of points.
func resets(points []*sootline.Point) []sootline.ID {
	var ids []sootline.ID
	for _, p := range points {
		for _, reset := range p.Resets {
			if reset.At.Equal(p.UnitSince) && (reset.Why == "fitted" || reset.Why == "replaced") {
				ids = append(ids, reset.Entry.ID)
			}
		}
	}
	return ids
}
