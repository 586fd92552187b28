package judge

import (
	"context"
	"math"
	"slices"

	"sootline"
	"sootline/internal/robust"
)

// model is what the looks at all points of a register come to, and what they teach of one another.
type model struct {
	ctx      context.Context
	register *sootline.Register
	points   []*past // in the order of the register
	kins     []*kin
	areas    []*area
	byKind   map[kind]*kin
	byRoom   map[room]*area
	index    map[*sootline.Point]int
	now      float64
	rescaled []rescaled
	habit    habit
}

// modelOf looks at all points of a register as of a time in years.
func modelOf(ctx context.Context, r *sootline.Register, now float64) *model {
	m := &model{ctx: ctx, register: r, now: now, index: map[*sootline.Point]int{}}
	points := r.Points()
	m.points = make([]*past, len(points))
	sheets := map[string]*sootline.TypeSheet{}
	for i, p := range points {
		if _, known := sheets[p.Type]; !known {
			sheets[p.Type] = r.Sheet(p.Type)
		}
		m.index[p] = i
	}
	shared(ctx, len(points), func(i int) {
		m.points[i] = pastOf(points[i], sheets[points[i].Type], usualNoise(r, sheets[points[i].Type]))
	})
	m.sort()
	for i, p := range m.points {
		p.place, p.model = i, m
	}
	m.learnKins()
	m.learnHabit()
	m.walkThrough(m.points)
	m.findWorks()
	m.teach()
	return m
}

// pastOf gathers what is known of a point since its type was fitted there.
func pastOf(point *sootline.Point, sheet *sootline.TypeSheet, usual float64) *past {
	p := &past{point: point, sheet: sheet}
	if sheet != nil {
		p.band = sheet.Band(point.Settings())
	}
	from := 0 // the first reset of the type that is there now
	key := sootline.TypeKey(point.Type)
	for i := range point.Resets {
		if t := point.Resets[i].Type; t != "" && sootline.TypeKey(t) != key {
			from = i + 1
		}
	}
	readings := ownQuantity(point.Readings)
	if from > 0 {
		for len(readings) > 0 && from < len(point.Resets) && readings[0].At.Before(point.Resets[from].At) {
			readings = readings[1:]
		}
	}
	for _, reset := range point.Resets[min(from, len(point.Resets)):] {
		before := 0
		for before < len(readings) && readings[before].At.Before(reset.At) {
			before++
		}
		before = sameDay(readings, before, &reset, tooFarApart*usual, dirtSign(sheet))
		p.looks = appendLooks(p.looks, readings[:before], tooFarApart*usual)
		readings = readings[before:]
		p.cuts = append(p.cuts, cut{t: years(reset.At), known: reset.At.After(sootline.LongAgo), cleaned: reset.Why == "cleaned"})
		p.after = append(p.after, len(p.looks))
	}
	p.looks = appendLooks(p.looks, readings, tooFarApart*usual)
	return p
}

// sameDay moves the cut of a cleaning to between two readings of its day that lie far apart: who reads, cleans and
// reads again does not write the minutes down in that order. Nor is a reading of that day from before it, which lies far
// below the one of another day before.
func sameDay(readings []sootline.Reading, before int, reset *sootline.Reset, apart, dirt float64) int {
	if reset.Why != "cleaned" {
		return before
	}
	d := day(reset.At)
	for i := max(1, before-2); i < min(len(readings), before+3); i++ {
		if day(readings[i-1].At) == d && day(readings[i].At) == d && !near(readings[i-1].Samples, readings[i].Samples, apart) {
			return i
		}
	}
	if i := before - 1; i > 0 && day(readings[i].At) == d && day(readings[i-1].At) != d {
		x, ok := robust.Median(readings[i-1].Samples)
		if y, fine := robust.Median(readings[i].Samples); ok && fine && dirt*(x-y) > apart {
			return i
		}
	}
	return before
}

// kind names a kin, and room an area.
type (
	kind struct {
		typ   string
		scale scale
	}
	room struct{ panel, area string }
)

// sort sorts the points by type with band, and by area.
func (m *model) sort() {
	m.byKind, m.byRoom = map[kind]*kin{}, map[room]*area{}
	firsts := m.firsts()
	for _, p := range m.points {
		m.join(p, firsts)
		p.kin.members = append(p.kin.members, p)
		p.area.members = append(p.area.members, p)
		if len(p.looks) > 0 {
			p.kin.read++
			p.area.read[p.kin]++
		}
	}
}

// join finds the kin and the area of a point.
func (m *model) join(p *past, firsts map[string]*float64) {
	usual := usualNoise(m.register, p.sheet)
	key := sootline.TypeKey(p.point.Type)
	rest := firsts[key]
	if p.sheet != nil && p.sheet.FactoryRest != nil {
		rest = p.sheet.FactoryRest
	}
	s := scaleOf(p.sheet, p.band, usual, rest)
	if !s.usable() {
		s = scaleOf(nil, nil, usual, rest)
	}
	name, where := kind{key, s}, room{p.point.Panel, p.point.Area}
	if m.byKind[name] == nil {
		k := &kin{scale: s, sheet: p.sheet, usual: usual / math.Abs(s.width), now: m.now}
		k.compensated = p.sheet != nil && p.sheet.Compensated
		m.byKind[name] = k
		m.kins = append(m.kins, k)
	}
	if m.byRoom[where] == nil {
		m.byRoom[where] = &area{name: p.point.Area, read: map[*kin]int{}}
		m.areas = append(m.areas, m.byRoom[where])
	}
	p.kin, p.area = m.byKind[name], m.byRoom[where]
	p.z = make([]float64, len(p.looks))
	for i := range p.looks {
		p.z[i] = s.of(p.looks[i].y)
	}
}

// firsts gives the median first value of each type, for bands that have one limit alone, or none.
func (m *model) firsts() map[string]*float64 {
	values := map[string][]float64{}
	for _, p := range m.points {
		if len(p.looks) > 0 && !p.band.Complete() {
			key := sootline.TypeKey(p.point.Type)
			values[key] = append(values[key], p.looks[0].y)
		}
	}
	firsts := map[string]*float64{}
	for key, all := range values {
		if median, ok := robust.MedianInPlace(all); ok {
			firsts[key] = &median
		}
	}
	return firsts
}

// learnKins learns what each type needs before its points are walked through.
func (m *model) learnKins() {
	shared(m.ctx, len(m.kins), func(i int) { m.kins[i].prepare(m) })
	for _, k := range m.kins {
		m.rescaled = append(m.rescaled, k.rescaled...)
	}
}

// prepare learns what a type needs before its points are walked through.
func (k *kin) prepare(m *model) {
	k.learnQuantum()
	k.learnEqual()
	k.learnNoise()
	k.rescaled = k.findRescaled(m.register)
	for i := range k.rescaled {
		q := k.rescaled[i].question()
		k.rescaled[i].noted = m.told(&q, k.members, k.rescaled[i].scaleOf())
	}
	k.learnRest()
	k.takeOffsets()
	for _, p := range k.members {
		p.findSeason()
	}
	k.first = broad(k.compensated)
	k.learnNoise()
	k.learnRest()
	k.tune()
	k.findUnsurprising()
}

// neighbours gives the values that were read on the day of a look at the points before and after in the register.
func (p *past) neighbours(look int) []float64 {
	var all []float64
	for _, at := range [2]int{p.place - 1, p.place + 1} {
		y := math.NaN()
		if at >= 0 && at < len(p.model.points) {
			y = p.model.points[at].readNear(p.looks[look].t)
		}
		all = append(all, y)
	}
	return all
}

// readNear is what was read within a day of a time, NaN where nothing was.
func (p *past) readNear(t float64) float64 {
	if i := p.lookNear(t); i >= 0 {
		return p.looks[i].y
	}
	return math.NaN()
}

// lookNear is the look within a day of a time, -1 where there is none.
func (p *past) lookNear(t float64) int {
	return slices.IndexFunc(p.looks, func(l look) bool { return math.Abs(l.t-t) < 0.6/365.25 })
}

// stranger looks at a point that the register does not hold among its points, such as one that was removed.
func (m *model) stranger(point *sootline.Point) *past {
	sheet := m.register.Sheet(point.Type)
	p := pastOf(point, sheet, usualNoise(m.register, sheet))
	p.place, p.model, p.strange = -2, m, true
	m.join(p, m.firsts())
	if p.kin.w == nil {
		p.kin.prepare(m)
		p.kin.w = p.kin.first
	}
	if len(p.area.members) == 0 {
		p.area.learn()
	}
	f := walker{k: p.kin, w: p.kin.first}
	f.walk(p)
	f.keep(p)
	return p
}
