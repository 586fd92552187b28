package app

import (
	"math"
	"slices"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/robust"
)

// Difference is where two stations say different things of one point in one
// visit. Both entries stay; somebody who knows takes one back, or leaves both.
type Difference struct {
	Point *sootline.Point
	What  string // reading, test, number or unit
	Says  [2]Done
}

// differences compares the last word of each station on each point. What was said
// before the point was cleaned or got another unit is no longer compared.
func differences(r *sootline.Register, done []Done) []Difference {
	several := func(d Done) bool { return d.Station != done[0].Station }
	if !slices.ContainsFunc(done, several) {
		return nil
	}
	spreads := map[sootline.ID]*float64{}
	for _, x := range judge.Expect(r, r.Last) {
		spreads[x.Point.ID] = x.Spread
	}
	var all []Difference
	last := map[sootline.ID]map[string][]Done{} // by point and what, one a station
	for _, d := range done {
		p := r.Point(d.Point)
		if d.Withdrawn || p == nil {
			continue
		}
		switch d.Body.(type) {
		case sootline.Cleaned, sootline.Replaced:
			if told := last[d.Point]; told != nil {
				delete(told, "reading")
				delete(told, "test")
			}
		}
		what := toldBy(d.Body)
		if what == "" {
			continue
		}
		if last[d.Point] == nil {
			last[d.Point] = map[string][]Done{}
		}
		before := last[d.Point][what]
		for _, other := range before {
			if other.Station != d.Station && apart(r, p, other.Body, d.Body, spreads[d.Point]) {
				all = append(all, Difference{p, what, [2]Done{other, d}})
			}
		}
		before = slices.DeleteFunc(slices.Clone(before), func(o Done) bool { return o.Station == d.Station })
		last[d.Point][what] = append(before, d)
	}
	return all
}

// toldBy names what an entry is a statement of; empty: of nothing that two could
// tell differently.
func toldBy(body sootline.Body) string {
	switch b := body.(type) {
	case sootline.Read:
		if b.Quantity == "" {
			return "reading"
		}
	case sootline.Tested:
		return "test"
	case sootline.Addressed:
		if b.Found != 0 {
			return "number"
		}
	case sootline.Replaced:
		return "unit"
	}
	return ""
}

// apart reports whether two statements of one thing cannot both be so. Two
// readings are apart when one is inside the band and the other is not, or when
// they differ by more than samples of the type may spread.
func apart(r *sootline.Register, p *sootline.Point, a, b sootline.Body, spread *float64) bool {
	switch a := a.(type) {
	case sootline.Tested:
		other, ok := b.(sootline.Tested)
		return ok && a.Failed != other.Failed
	case sootline.Addressed:
		other, ok := b.(sootline.Addressed)
		return ok && a.Found != other.Found
	case sootline.Replaced:
		other, ok := b.(sootline.Replaced)
		return ok && a.Serial != other.Serial
	case sootline.Read:
		other, ok := b.(sootline.Read)
		if !ok {
			return false
		}
		x, _ := robust.Median(a.Samples)
		y, _ := robust.Median(other.Samples)
		var band *sootline.Band
		if sheet := r.Sheet(p.Type); sheet != nil {
			band = sheet.Band(p.Settings())
		}
		return within(band, x) != within(band, y) || spread != nil && math.Abs(x-y) > *spread
	}
	return false
}

func within(band *sootline.Band, x float64) bool {
	return band == nil || (band.Low == nil || x >= *band.Low) && (band.High == nil || x <= *band.High)
}
