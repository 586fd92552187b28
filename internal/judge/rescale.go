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

// rescaled is a day from which on all units of a type show the same on another scale, as after a change of the
// panel's program: all by the same factor, or the same amount.
type rescaled struct {
	kin      *kin
	from, to float64 // it happened between these times
	factor   float64 // 1 where an amount was added
	added    float64
	sheetNew bool      // the type sheet speaks of the new scale
	noted    bool      // somebody wrote that down
	oneVisit bool      // one visit alone shows it: another instrument, or a setting of the panel
	until    float64   // the first look after that visit; infinite where there is none yet
	looks    []onPoint // the looks that show it, the first on the new scale at each point
}

type onPoint struct {
	p    *past
	look int
}

// pair is two looks of a point in a row that no reset parts.
type pair struct {
	p    *past
	look int     // the second one
	step float64 // in bands
	fold float64 // logarithm of how many times as much it shows, 0 where nothing tells
}

const (
	leastPairs  = 5    // of a type that step together: fewer do so by chance, or were all cleaned
	togetherSo  = 0.85 // share of them that go at least half as far as the middle one
	restMissed  = 0.3  // share of a fall by which units may miss where they began, and have come back
	leastSwitch = 0.12 // in bands: a smaller change looks like another instrument's offset
)

// findRescaled looks for a day on which all units of a type stepped together, and brings all looks to the scale
// of which the type sheet speaks. A type may be changed twice.
func (k *kin) findRescaled(r *sootline.Register) []rescaled {
	var found []rescaled
	for range 2 {
		one, ok := k.switched()
		if !ok || k.denied(r, &one) {
			one, ok = k.lastVisitOff()
			if !ok || k.denied(r, &one) {
				break
			}
		}
		one.apply()
		found = append(found, one)
	}
	return found
}

// denied reports whether people looked, and it was not the scale, or not the instrument.
func (k *kin) denied(r *sootline.Register, one *rescaled) bool {
	q := one.question()
	if one.sheetNew || !r.Answered(q.Key()) {
		return false
	}
	k.refused = append(k.refused, q)
	return true
}

// question says what is asked, and of which points and visits, as far as that names it.
func (r *rescaled) question() Question {
	at := func(t float64) time.Time { return time.UnixMilli(int64(math.Round(t * yearMillis))) }
	q := Question{Kind: AskRescaled, From: at(r.from), To: at(r.to)}
	q.about = fmt.Sprint(sootline.TypeKey(r.looks[0].p.point.Type), visitOf(r.kin.members, r.to))
	if r.oneVisit { // whichever types show it
		q.Kind, q.about = AskInstrument, fmt.Sprint(visitOf(r.looks[0].p.model.points, r.to))
	}
	for _, one := range r.looks {
		q.Points = append(q.Points, one.p.point)
	}
	return q
}

// switched tries the beginning of each month. Steps that are small beside the least change that is looked for cannot
// be part of one: they are only counted.
func (k *kin) switched() (best rescaled, ok bool) {
	first, last := math.MaxInt, math.MinInt
	for _, p := range k.members {
		if n := len(p.looks); n > 0 {
			first, last = min(first, monthOf(p.looks[0].t)), max(last, monthOf(p.looks[n-1].t))
		}
	}
	if first >= last {
		return best, false
	}
	least, lower, usual := max(leastSwitch, 4*math.Sqrt(k.noise)), max(leastSwitch, 4*k.ownNoise()), k.usualStep()
	lower = min(least, lower)
	all, large := make([]int, last-first+1), make([][]pair, last-first+1)
	for _, p := range k.members {
		for i := 1; i < len(p.looks); i++ {
			if p.apart(i) {
				continue
			}
			before, after := p.looks[i-1].now, p.looks[i].now
			one := pair{p, i, (after-before)/math.Abs(k.scale.width) - usual, 0}
			if min(before, after) > 0 {
				one.fold = math.Log(after / before)
			}
			for m := monthOf(p.looks[i-1].t) + 1; m <= monthOf(p.looks[i].t); m++ {
				if all[m-first]++; math.Abs(one.step) > lower/2 {
					large[m-first] = append(large[m-first], one)
				}
			}
		}
	}
	most := 0
	for m, pairs := range large {
		size, shown := together(pairs, all[m], lower)
		if len(shown) < leastPairs || float64(len(shown)) < togetherSo*float64(all[m]) || len(shown) <= most || k.cameToRest(shown) {
			continue
		}
		one := k.measure(shown)
		if k.passing(&one); one.oneVisit || size >= least {
			best, ok, most = one, true, len(shown)
		}
	}
	return best, ok
}

// ownNoise is the standard deviation of a look, without what the looks of a day share. A visit that is off as a whole
// spoils the noise of three: what all showed alike and was gone at the next visit is held against this.
func (k *kin) ownNoise() float64 {
	days := map[int64][]float64{}
	for _, p := range k.members[:min(len(k.members), mostSampled/10)] {
		for i := 1; i+1 < len(p.looks); i++ {
			if e, ok := p.distance(i); ok {
				days[day(p.looks[i].at)] = append(days[day(p.looks[i].at)], e)
			}
		}
	}
	var own []float64
	for _, shared := range days {
		middle, _ := robust.Median(shared)
		for _, e := range shared {
			own = append(own, math.Abs(e-middle))
		}
	}
	median, _ := robust.MedianInPlace(own)
	return max(madToSD*median, k.quantum/math.Sqrt(12))
}

// passing finds that what all showed at one visit was gone at the next: no scale is changed for one visit. Dust does not
// come to all rooms and go again, so that it shows in several.
func (k *kin) passing(r *rescaled) {
	width, usual := math.Abs(k.scale.width), k.usualStep()
	until, rooms := math.Inf(1), map[*area]bool{}
	var left []float64 // of the step, at the next look
	for _, one := range r.looks {
		if next := one.look + 1; next < len(one.p.looks) && !one.p.apart(next) {
			before, off, after := one.p.looks[one.look-1].now, one.p.looks[one.look].now, one.p.looks[next].now
			left = append(left, ((after-before)/width-2*usual)/((off-before)/width-usual))
			until, rooms[one.p.area] = min(until, one.p.looks[next].t), true
		}
	}
	if n := len(left); n < leastPairs || len(rooms) < 2 {
		return
	}
	if share, _ := robust.MedianInPlace(left); math.Abs(share) < restMissed {
		r.sheetNew, r.oneVisit, r.until = false, true, until
	}
}

// cameToRest reports whether units went back together to where each of them began, as after a cleaning of all that
// nobody noted: a change of scale leads there by accident only.
func (k *kin) cameToRest(pairs []pair) bool {
	var steps, missed []float64
	for _, one := range pairs {
		start := one.look - 1
		for start > 0 && !one.p.apart(start) {
			start--
		}
		if start == one.look-1 {
			continue // nothing tells where it began
		}
		steps = append(steps, one.p.looks[one.look].now-one.p.looks[one.look-1].now)
		missed = append(missed, math.Abs(one.p.looks[one.look].now-one.p.looks[start].now))
	}
	step, ok := robust.MedianInPlace(steps)
	miss, _ := robust.MedianInPlace(missed)
	return ok && step/k.scale.width < 0 && miss < restMissed*math.Abs(step)
}

// usualStep is the middle step from look to look, by some of them.
func (k *kin) usualStep() float64 {
	var all []float64
	for _, p := range k.members {
		for i := 1; i < len(p.looks); i++ {
			if !p.apart(i) {
				all = append(all, (p.looks[i].now-p.looks[i-1].now)/math.Abs(k.scale.width))
			}
		}
		if len(all) > mostSampled {
			break
		}
	}
	middle, _ := robust.MedianInPlace(all)
	return middle
}

// together gives the middle step of n and the pairs that step by half and more of it, if that is large enough; by amounts
// or by times as much, since under a factor those that show little step little.
func together(pairs []pair, n int, least float64) (size float64, shown []pair) {
	if len(pairs) < leastPairs {
		return 0, nil
	}
	steps := make([]float64, n) // the small ones count as none
	for i := range pairs {
		steps[i] = pairs[i].step
	}
	size, _ = robust.MedianInPlace(steps)
	if math.Abs(size) < least {
		return 0, nil
	}
	for i := range steps {
		steps[i] = 0
		if i < len(pairs) {
			steps[i] = pairs[i].fold
		}
	}
	fold, _ := robust.MedianInPlace(steps)
	return math.Abs(size), slices.DeleteFunc(pairs, func(one pair) bool { return one.step/size <= 0.5 && !(one.fold/fold > 0.5) })
}

// offTimes is how many times all other visits' shared steps, and half as many noises, that of the last visit must be
// for another instrument: ours, no source.
const offTimes = 4

// lastVisitOff finds that all units of a type, in several rooms, stepped at the last visit as they never did: dust does
// not come to all rooms at once, and no visit after tells yet.
func (k *kin) lastVisitOff() (rescaled, bool) {
	width, last := math.Abs(k.scale.width), math.Inf(-1)
	for _, p := range k.members {
		if n := len(p.looks); n > 0 {
			last = max(last, p.looks[n-1].t)
		}
	}
	var now []pair
	var steps []float64
	before := map[int][]float64{}
	for _, p := range k.members {
		for i := 1; i < len(p.looks); i++ {
			one := pair{p: p, look: i, step: (p.looks[i].now - p.looks[i-1].now) / width}
			switch {
			case p.apart(i):
			case p.looks[i].t > last-sameVisit:
				now, steps = append(now, one), append(steps, one.step)
			default:
				month := monthOf(p.looks[i].t)
				before[month] = append(before[month], one.step)
			}
		}
	}
	var middles []float64
	for _, shared := range before {
		if len(shared) >= leastPairs {
			middle, _ := robust.MedianInPlace(shared)
			middles = append(middles, middle)
		}
	}
	usual, _ := robust.Median(middles)
	earlier, size := math.Sqrt(k.noise)/2, 0.0
	for _, middle := range middles {
		earlier = max(earlier, math.Abs(middle-usual))
	}
	if middle, _ := robust.MedianInPlace(steps); len(middles) >= 2 {
		size = middle - usual
	}
	if len(now) < leastPairs || math.Abs(size) < offTimes*earlier {
		return rescaled{}, false
	}
	off := slices.DeleteFunc(slices.Clone(now), func(one pair) bool { return (one.step-usual)/size <= 0.5 })
	if float64(len(off)) < togetherSo*float64(len(now)) || off[0].p.area == off[len(off)-1].p.area || k.cameToRest(off) {
		return rescaled{}, false
	}
	r := k.measure(off)
	r.factor, r.added, r.sheetNew, r.oneVisit = 1, size*width, false, true
	return r, true
}

// onlyLast reports whether no look after the change tells whether it stayed.
func (r *rescaled) onlyLast() bool {
	return !slices.ContainsFunc(r.looks, func(one onPoint) bool { return one.look+1 < len(one.p.looks) })
}

func monthOf(t float64) int { return int(math.Floor(t * 12)) }

// measure finds how the scale changed: by a factor, if that brings the looks after nearer to those before than an
// amount does.
func (k *kin) measure(pairs []pair) rescaled {
	r := rescaled{kin: k, factor: 1, from: math.Inf(-1), to: math.Inf(1), until: math.Inf(1)}
	ratios, steps := make([]float64, 0, len(pairs)), make([]float64, 0, len(pairs))
	for _, one := range pairs {
		before, after := &one.p.looks[one.look-1], &one.p.looks[one.look]
		r.from, r.to = max(r.from, before.t), min(r.to, after.t)
		r.looks = append(r.looks, onPoint{one.p, one.look})
		if before.now > 0 && after.now > 0 {
			ratios = append(ratios, after.now/before.now)
		}
		steps = append(steps, after.now-before.now)
	}
	factor, ok := robust.Median(ratios)
	added, _ := robust.Median(steps)
	missFactor, missAdded := 0.0, 0.0
	for _, one := range pairs {
		before, after := one.p.looks[one.look-1].now, one.p.looks[one.look].now
		missFactor += math.Abs(after-before*factor) / max(factor, 1)
		missAdded += math.Abs(after - before - added)
	}
	if ok && factor > 0 && missFactor < missAdded {
		r.factor = factor
	} else {
		r.added = added
	}
	if r.to < r.from { // some were read between: the day is where most agree
		slices.SortFunc(pairs, func(a, b pair) int { return cmp.Compare(a.p.looks[a.look].t, b.p.looks[b.look].t) })
		r.to = pairs[len(pairs)/10].p.looks[pairs[len(pairs)/10].look].t
		r.from = min(r.from, r.to)
	}
	r.sheetNew = r.nearer(pairs)
	return r
}

// nearer reports whether the looks after the change lie nearer to where clean units rest in the band of the sheet
// than those before do.
func (r *rescaled) nearer(pairs []pair) bool {
	before, after := make([]float64, 0, len(pairs)), make([]float64, 0, len(pairs))
	for _, one := range pairs {
		before = append(before, math.Abs(r.kin.scale.of(one.p.looks[one.look-1].now)+0.6))
		after = append(after, math.Abs(r.kin.scale.of(one.p.looks[one.look].now)+0.6))
	}
	b, _ := robust.MedianInPlace(before)
	a, _ := robust.MedianInPlace(after)
	return a < b
}

// apply brings the looks on the other side of the change to the scale of the sheet.
func (r *rescaled) apply() {
	first := map[*past]int{}
	for _, one := range r.looks {
		first[one.p] = one.look
	}
	for _, p := range r.kin.members {
		at, known := first[p]
		if !known {
			for at = 0; at < len(p.looks) && p.looks[at].t < r.to; at++ {
			}
		}
		for i := range p.looks {
			l := &p.looks[i]
			switch {
			case r.sheetNew && i < at:
				l.now, l.factor = l.now*r.factor+r.added, l.factor*r.factor
			case !r.sheetNew && i >= at && l.t < r.until:
				l.now, l.factor = (l.now-r.added)/r.factor, l.factor/r.factor
			}
			p.z[i] = p.kin.scale.of(l.now)
		}
	}
}
