package check

import (
	"fmt"
	"strings"

	"sootline"
)

// typeMissing finds the points of each loop of which nobody said what device
// they are.
func (c checker) typeMissing() []sootline.Finding {
	groups := grouped(c, func(p *sootline.Point) (sootline.LoopID, bool) {
		return p.LoopID(), sootline.TypeKey(p.Type) == ""
	})
	var findings []sootline.Finding
	for _, g := range groups {
		findings = append(findings, sootline.Finding{
			Code: TypeMissing, Weight: sootline.Warning, Points: g.points, Loop: g.key,
			Reason: fmt.Sprintf("%s on loop %s without a type: %s", count(len(g.points), "point"), g.key, refs(g.points)),
			WayOut: sootline.Out("take in a listing that gives the types").Do(sootline.TakeListings),
		})
	}
	return findings
}

// typeUnknown finds the types that points have and no type sheet describes.
func (c checker) typeUnknown() []sootline.Finding {
	groups := grouped(c, func(p *sootline.Point) (string, bool) {
		key := sootline.TypeKey(p.Type)
		return key, key != "" && c.Sheet(p.Type) == nil
	})
	var findings []sootline.Finding
	for _, g := range groups {
		findings = append(findings, sootline.Finding{
			Code: TypeUnknown, Weight: sootline.Warning, Points: g.points,
			Reason: fmt.Sprintf("type %s has no type sheet, and %s of it: %s", clean(g.points[0].Type), are(len(g.points)), refs(g.points)),
			WayOut: sootline.Out("take in the type sheet of " + clean(g.points[0].Type)).Do(sootline.TakeListings),
		})
	}
	return findings
}

// bandMissing finds the types with a resting value that lack a band for the
// settings of some of their points.
func (c checker) bandMissing() []sootline.Finding {
	groups := c.byBand(func(b *sootline.Band) bool { return b == nil || b.Low == nil && b.High == nil })
	var findings []sootline.Finding
	for _, g := range groups {
		sheet := g.key
		lacks := "has no band"
		if len(sheet.Bands) > 0 {
			lacks = "has no band for the settings"
		}
		findings = append(findings, sootline.Finding{
			Code: BandMissing, Weight: sootline.Warning, Points: g.points,
			Reason: fmt.Sprintf("the type sheet of %s %s of %s, so that their readings cannot be judged: %s",
				sheet.Name, lacks, count(len(g.points), "point"), refs(g.points)),
			WayOut: sootline.Out(fmt.Sprintf("take in a type sheet of %s that gives the low and the high limit", sheet.Name)).Do(sootline.TakeListings),
		})
	}
	return findings
}

// bandOneSided finds the types of whose band only one limit is known.
func (c checker) bandOneSided() []sootline.Finding {
	groups := c.byBand(func(b *sootline.Band) bool { return b != nil && (b.Low == nil) != (b.High == nil) })
	var findings []sootline.Finding
	for _, g := range groups {
		sheet := g.key
		known, lacking := "high", "low"
		if sheet.Band(g.points[0].Settings()).High == nil {
			known, lacking = lacking, known
		}
		findings = append(findings, sootline.Finding{
			Code: BandOneSided, Weight: sootline.Hint, Points: g.points,
			Reason: fmt.Sprintf("the band of %s has a %s limit and no %s one, so that %s judged on one side only",
				sheet.Name, known, lacking, are(len(g.points))),
			WayOut: sootline.Out(fmt.Sprintf("take in a type sheet of %s that gives the %s limit too", sheet.Name, lacking)).Do(sootline.TakeListings),
		})
	}
	return findings
}

// byBand groups the points with a resting value, and a band such as asked for,
// by their type sheet.
func (c checker) byBand(such func(*sootline.Band) bool) []group[*sootline.TypeSheet] {
	return grouped(c, func(p *sootline.Point) (*sootline.TypeSheet, bool) {
		sheet := c.Sheet(p.Type)
		return sheet, sheet != nil && judged(sheet) && such(sheet.Band(p.Settings())) && !judgedOtherwise(sheet, p)
	})
}

// judgedOtherwise reports whether a point of a type without a band of its own is judged by other quantities: it was read
// for nothing that lacks a band.
func judgedOtherwise(sheet *sootline.TypeSheet, p *sootline.Point) bool {
	if len(sheet.Bands) > 0 || len(p.Readings) == 0 {
		return false
	}
	for i := range p.Readings {
		if q := sheet.Other(p.Readings[i].Quantity); q == nil || len(q.Bands) == 0 {
			return false
		}
	}
	return true
}

// clean writes a type as its sheet would be matched, but in its own case.
func clean(name string) string { return strings.Join(strings.Fields(name), " ") }
