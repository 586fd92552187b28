package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// Levels gives, by [sootline.TypeKey], where clean units of a type rest: the
// median and scale of the first looks after a recorded reset.
type Levels map[string]robust.Scale

// freshFor is how long after a reset a look still shows the clean unit, in
// days: about one visit. A judgement of ours, no source.
const freshFor = 120

// CleanLevels works out where clean units of each type rest on this site, from
// all points that exist. A type of which no unit was read within 120 days of a
// dated reset has no level. Beside the noise, the scale holds the spread from
// unit to unit.
func CleanLevels(r *sootline.Register) Levels {
	values, noise := map[string][]float64{}, map[string]float64{}
	for _, p := range r.Points() {
		key := sootline.TypeKey(p.Type)
		if key == "" || len(p.Resets) == 0 {
			continue
		}
		if noise[key] == 0 {
			noise[key] = usualNoise(r, r.Sheet(p.Type))
		}
		values[key] = appendFresh(values[key], p)
	}
	levels := Levels{}
	for key, x := range values {
		if scale, ok := robust.RobustScale(x, floorOf(x, noise[key], roundingSD)); ok {
			levels[key] = scale
		}
	}
	return levels
}

// floorOf is the noise, for values in counts no less than the least given.
func floorOf(values []float64, noise, least float64) float64 {
	for _, x := range values {
		if !inCounts(x) {
			return noise
		}
	}
	return max(noise, least)
}

// appendFresh adds the value of each first reading after a dated reset.
func appendFresh(values []float64, p *sootline.Point) []float64 {
	next := 0
	for i, reset := range p.Resets {
		for next < len(p.Readings) && (p.Readings[next].At.Before(reset.At) || p.Readings[next].Quantity != "") {
			next++
		}
		if next == len(p.Readings) {
			break
		}
		at := p.Readings[next].At
		if i+1 < len(p.Resets) && !at.Before(p.Resets[i+1].At) {
			continue
		}
		if reset.At.After(sootline.LongAgo) && at.Before(reset.At.AddDate(0, 0, freshFor)) {
			if y, ok := robust.Median(p.Readings[next].Samples); ok && math.Abs(y) <= wildest {
				values = append(values, y)
			}
		}
	}
	return values
}

// Upkeep is what cleaning a point came to.
type Upkeep struct {
	Point     *sootline.Point
	Cleanings []Cleaning // those with a look before and after, in order of time
	Worn      float64    // chance that cleaning no longer helps this unit; 0 unless the latest two left it dirty
	Reasons   []string   // one sentence for each cleaning, and the advice last where there is one
}

// Cleaning is what one recorded cleaning achieved.
type Cleaning struct {
	At      time.Time
	Before  float64  // the last look before it, as it was read
	After   float64  // the first look after it
	Rest    *float64 // where clean units of its type rest, on the scale of that; nil when not known
	Again   *time.Time
	AgainIn int   // after how many visits it was as dirty again as before, or out of its band; 0: not, or it had not helped
	Stayed  bool  // it did not come half the way back, and stayed far above clean units
	late    bool  // that was first seen so long after that it may have grown dirty again
	fell    *look // where the noted cleaning did nothing: the look that shows that it came half the way back later
}

// Cleanings says what each recorded cleaning of a point achieved, and whether cleaning still pays.
// Cleanings without a look before or after, at the same unit, are left out. Types that are
// not cleaned, gas cells, are not advised on.
func Cleanings(r *sootline.Register, p *sootline.Point, levels Levels) Upkeep {
	sheet := r.Sheet(p.Type)
	noise := usualNoise(r, sheet)
	return pastOf(p, sheet, noise).upkeep(levels, noise)
}

// upkeep is the same of looks that may have been brought to the scale of the type sheet, with levels on that scale:
// there they are compared, and told as they were read.
func (p *past) upkeep(levels Levels, noise float64) Upkeep {
	sheet := p.sheet
	u := Upkeep{Point: p.point}
	runs := runsOf(p)
	for i := range runs {
		if i == 0 || runs[i].reset == nil || runs[i].reset.Why != "cleaned" || runs[i].reset.Entry == nil || renewed(p.point, runs[i-1].last().at, runs[i].reset.At) {
			continue
		}
		c := cleaningOf(&runs[i-1], &runs[i], p.point, levels, sheet, noise)
		u.Cleanings = append(u.Cleanings, c)
		u.Reasons = append(u.Reasons, c.sentence(sheet, noise))
	}
	if n := len(u.Cleanings); n > 0 && dirtSide(sheet) != NoLimit {
		u.advise(p.point, sheet, noise)
	}
	return u
}

// run is the looks from one recorded reset to the next; there are some.
type run struct {
	reset *sootline.Reset
	looks []look
}

func (r *run) first() *look { return &r.looks[0] }
func (r *run) last() *look  { return &r.looks[len(r.looks)-1] }

func runsOf(p *past) []run {
	var runs []run
	resets := p.point.Resets[len(p.point.Resets)-len(p.cuts):]
	for i := -1; i < len(p.cuts); i++ {
		from, to := 0, len(p.looks)
		one := run{}
		if i >= 0 {
			from, one.reset = p.after[i], &resets[i]
		}
		if i+1 < len(p.cuts) {
			to = p.after[i+1]
		}
		if one.looks = p.looks[from:to]; len(one.looks) > 0 {
			runs = append(runs, one)
		}
	}
	return runs
}

// renewed reports whether a reset other than a cleaning lies between a look and
// a cleaning: then the look was at another unit, or from another starting point.
func renewed(p *sootline.Point, look, cleaning time.Time) bool {
	return slices.ContainsFunc(p.Resets, func(x sootline.Reset) bool {
		return x.Why != "cleaned" && x.At.After(look) && x.At.Before(cleaning)
	})
}

// hardlyDirty is how many times the noise a cleaning must lower a value by to have a level to come back to.
const hardlyDirty = 5

func cleaningOf(before, after *run, p *sootline.Point, levels Levels, sheet *sootline.TypeSheet, noise float64) Cleaning {
	was, is := before.last(), after.first()
	c := Cleaning{At: after.reset.At, Before: was.y, After: is.y}
	dirt := dirtSign(sheet)
	if clean, ok := levels[sootline.TypeKey(p.Type)]; ok {
		c.Rest = given((clean.Centre - is.added()) / is.factor)
		c.late = !is.at.Before(c.At.AddDate(0, 0, freshFor))
		half := was.now - (was.now-clean.Centre)/2
		stays := dirt*clean.Z(is.now) > robust.OutlierZ && dirt*is.now > dirt*half
		c.Stayed = stays && dirt*after.cleanest(dirt) > dirt*half
		if at := slices.IndexFunc(after.looks, func(l look) bool { return dirt*l.now <= dirt*half }); stays && at > 0 {
			c.fell = &after.looks[at]
		}
	}
	if dirt*(was.now-is.now) < hardlyDirty*noise || c.Stayed {
		return c // it was hardly dirty, or that did not help: there is no level to come back to
	}
	level := dirt * was.now
	if limit := dirtLimit(p, sheet); limit != nil {
		level = min(level, dirt**limit)
	}
	for i := range after.looks {
		if dirt*after.looks[i].now >= level {
			c.Again, c.AgainIn = &after.looks[i].at, i+1
			break
		}
	}
	return c
}

// dirtLimit is the end of the band on the side of dirt, nil when it is not known.
func dirtLimit(p *sootline.Point, sheet *sootline.TypeSheet) *float64 {
	if sheet == nil {
		return nil
	}
	band := sheet.Band(p.Settings())
	switch {
	case band == nil:
		return nil
	case dirtSide(sheet) == LowLimit:
		return band.Low
	}
	return band.High
}

func (c *Cleaning) sentence(sheet *sootline.TypeSheet, noise float64) string {
	text := fmt.Sprintf("cleaned on %s: from %s to %s", date(c.At), number(c.Before), amountOf(sheet, c.After))
	switch { // what its own readings deny is no fact
	case c.fell != nil:
		text = fmt.Sprintf("a cleaning is noted on %s, but the readings fall later: from %s to %s, and to %s on %s",
			date(c.At), number(c.Before), number(c.After), amountOf(sheet, c.fell.y), date(c.fell.at))
	case c.Stayed && (!c.late || c.After == c.Before):
		text = fmt.Sprintf("a cleaning is noted on %s, but the readings hardly fall: from %s to %s", date(c.At), number(c.Before), amountOf(sheet, c.After))
	}
	if c.Rest != nil {
		text += fmt.Sprintf(", where clean units of its type rest at %s", roughly(*c.Rest, tellable*noise))
	}
	if c.AgainIn > 0 {
		text += fmt.Sprintf("; as dirty again within %s, on %s", visits(c.AgainIn), date(*c.Again))
	}
	return text
}

// cleanest is the cleanest value of a run: one that came down later was noted on a wrong day.
func (r *run) cleanest(dirt float64) float64 {
	return slices.MinFunc(r.looks, func(a, b look) int { return cmp.Compare(dirt*a.now, dirt*b.now) }).now
}

// wornBefore is the chance that no cleaning helps a unit, before anything is read. From memory of the trade.
const wornBefore = 0.1

// dirtyAgain is the chance that a unit that cleaning brought back was, by the first look long after, where it had been:
// so three that were seen late say as much as two that were seen soon. worthWords is from which chance that is told. Ours.
const (
	dirtyAgain = 0.3
	worthWords = 0.75
)

// advise says how likely it is that cleaning no longer pays, where the latest two in a row left this unit dirty. One
// alone may have been noted on a wrong day, or half done.
func (u *Upkeep) advise(p *sootline.Point, sheet *sootline.TypeSheet, noise float64) {
	n, otherwise := len(u.Cleanings), 1.0
	stayed := n
	for stayed > 0 && u.Cleanings[stayed-1].Stayed && !p.UnitSince.After(u.Cleanings[stayed-1].At) {
		if stayed--; u.Cleanings[stayed].late {
			otherwise *= dirtyAgain
		} else {
			otherwise *= badlyCleaned + hardlyCleaned
		}
	}
	if worn := wornBefore / (wornBefore + (1-wornBefore)*otherwise); n-stayed >= twiceBeyond && worn > worthWords {
		u.Worn = worn
	} else {
		return
	}
	a, b := &u.Cleanings[n-2], &u.Cleanings[n-1]
	u.Reasons = append(u.Reasons, fmt.Sprintf("cleaning on %s and on %s brought it to %s and %s only, and clean units of its type rest at %s: cleaning no longer pays",
		date(a.At), date(b.At), number(a.After), amountOf(sheet, b.After), roughly(*b.Rest, tellable*noise)))
}
