package chart

import (
	"math"
	"slices"
	"time"
)

// many readings are drawn as a line without a sign for each.
const many = 150

// historyDrawing is a history and what of it is drawn.
type historyDrawing struct {
	History
	time  period
	value span
}

// spans finds what the axes show. A reading that was left out, and a forecast,
// may lie beyond: they are put at the edge, so that they do not press flat what is
// looked at. What happened long before the first reading is not drawn.
func (d *historyDrawing) spans() {
	for _, r := range d.Readings {
		d.time.include(r.At)
		if !r.LeftOut {
			d.value.include(r.Value, r.Value-r.Spread, r.Value+r.Spread)
		}
	}
	if datable(d.AsOf) {
		d.time.include(d.AsOf)
	}
	for _, b := range d.Bands {
		d.value.include(b.limits()...)
	}
	if !d.value.any {
		for _, r := range d.Readings {
			d.value.include(r.Value)
		}
	}
	if f := d.Forecast; f != nil {
		room := 0.25 * (d.value.high - d.value.low)
		low, high := d.value.low-room, d.value.high+room
		for _, a := range f.Fan {
			d.time.include(a.At)
			d.value.include(min(max(a.Low90, low), high), min(max(a.High90, low), high))
		}
	}
	before := (seconds(d.time.to) - seconds(d.time.from)) / 8
	for _, r := range slices.Concat(d.Resets, d.Events) {
		if seconds(r.At) > seconds(d.Readings[0].At)-before {
			d.time.include(r.At)
		}
	}
	if seconds(d.time.to)-seconds(d.time.from) < 3600*24 {
		d.time.from, d.time.to = d.time.from.Add(-12*time.Hour), d.time.to.Add(12*time.Hour)
	}
}

func (d *historyDrawing) draw(c *canvas) {
	key := d.key()
	rows := len(keyRows(c.Medium, key))
	p := c.upright(2, 2+rows, 8, axis{d.value.low, d.value.high, d.Unit, 0.5})
	p.dates(d.time.from, d.time.to, d.Zone)
	d.bands(p)
	d.fan(p)
	d.resets(p)
	d.events(p)
	d.course(p)
	d.signs(p)
	d.leave(p)
	c.key(c.height-(float64(rows)-0.5)*c.Line, key)
}

func (d *historyDrawing) at(p *plot, t time.Time, v float64) XY {
	return XY{p.x.at(seconds(t)), p.y.at(v)}
}

// bands shades each band from the day since which it holds, and numbers the last.
func (d *historyDrawing) bands(p *plot) {
	for i, b := range d.Bands {
		from, to := p.left, p.right
		if !b.Since.IsZero() && i > 0 {
			from = p.x.at(seconds(b.Since))
		}
		if i+1 < len(d.Bands) {
			to = p.x.at(seconds(d.Bands[i+1].Since))
		}
		high, low := p.top, p.bottom // where there is no limit
		if !math.IsInf(b.High, 0) {
			high = p.y.at(b.High)
		}
		if !math.IsInf(b.Low, 0) {
			low = p.y.at(b.Low)
		}
		p.add(Box{Band, from, high, max(to-from, 0), low - high})
		for _, limit := range b.limits() {
			p.line(Limit, XY{from, p.y.at(limit)}, XY{to, p.y.at(limit)})
		}
	}
	if b, known := d.band(); known {
		for _, limit := range b.limits() {
			p.writeIf(Note, Start, p.right+p.Char/2, p.y.at(limit), short(plain(limit), limit))
		}
	}
}

func (d *historyDrawing) fan(p *plot) {
	if d.Forecast == nil || len(d.Forecast.Fan) < 2 {
		return
	}
	fan := d.Forecast.Fan
	side := func(value func(FanAt) float64) []XY {
		places := make([]XY, len(fan))
		for i, a := range fan {
			places[i] = d.at(p, a.At, value(a))
		}
		return places
	}
	between := func(class Class, low, high []XY) {
		slices.Reverse(low)
		p.add(Area{class, append(high, low...)})
	}
	between(Fan90, side(func(a FanAt) float64 { return a.Low90 }), side(func(a FanAt) float64 { return a.High90 }))
	between(Fan50, side(func(a FanAt) float64 { return a.Low50 }), side(func(a FanAt) float64 { return a.High50 }))
	p.line(Median, side(func(a FanAt) float64 { return a.Median })...)
}

// resets draws a line for each, its letter in the line above the frame where there
// is room, and the mark of the day as of which is told.
func (d *historyDrawing) resets(p *plot) {
	for _, r := range d.Resets {
		if r.At.Before(d.time.from) {
			continue
		}
		x := p.x.at(seconds(r.At))
		shapes := []Shape{Line{Reset, []XY{{x, p.top}, {x, p.bottom}}}}
		if box := p.extent(Middle, x, p.top-p.Line/2, r.Letter); p.free(box) {
			p.taken = append(p.taken, box)
			shapes = append(shapes, p.text(Reset, Middle, x, p.top-p.Line/2, r.Letter))
		}
		p.add(Group{Title: d.day(r.At) + " " + r.Words, Shapes: shapes})
	}
	if !datable(d.AsOf) {
		return
	}
	x, words := p.x.at(seconds(d.AsOf)), "as of "+d.day(d.AsOf)
	p.line(Now, XY{x, p.top}, XY{x, p.bottom})
	if y := p.Line / 2; !p.writeIf(Now, Middle, x, y, words) {
		p.writeIf(Now, End, p.Width, y, words)
	}
}

func (d *historyDrawing) events(p *plot) {
	for _, e := range d.Events {
		if !e.At.Before(d.time.from) {
			p.add(Group{Title: d.day(e.At) + " " + e.Words, Shapes: []Shape{p.sign(Event, Plus, p.x.at(seconds(e.At)), p.bottom-p.Line*0.3)}})
		}
	}
}

// course draws the line through the readings that were used, broken at each reset.
func (d *historyDrawing) course(p *plot) {
	buckets := int((p.right - p.left) / p.Char * 4)
	var places []XY
	flush := func() {
		if len(places) > 1 {
			p.line(Course, thin(places, buckets)...)
		}
		places = nil
	}
	next := 0
	for _, r := range d.Readings {
		for next < len(d.Resets) && !d.Resets[next].At.After(r.At) {
			flush()
			next++
		}
		if !r.LeftOut {
			places = append(places, d.at(p, r.At, r.Value))
		}
	}
	flush()
}

// signs draws each reading, unless they are too many; those that were left out
// are thinned like a line.
func (d *historyDrawing) signs(p *plot) {
	var left []XY
	for _, r := range d.Readings {
		at := d.at(p, r.At, r.Value)
		switch {
		case len(d.Readings) <= many:
			p.add(Group{Title: d.day(r.At) + " " + d.told(r), Shapes: d.reading(p, r, at)})
		case r.LeftOut:
			left = append(left, at)
		}
	}
	for _, at := range thin(left, int((p.right-p.left)/p.Char/2)) {
		p.mark(LeftOut, Cross, at.X, at.Y)
	}
}

// beyond tells whether a reading that was left out is beyond the values that the
// axis is made for.
func (d *historyDrawing) beyond(r Reading) bool {
	return r.LeftOut && (r.Value < d.value.low || r.Value > d.value.high)
}

func (d *historyDrawing) told(r Reading) string {
	words := d.History.value(r.Value)
	if r.Spread > 0 {
		words += ", spread " + plain(r.Spread)
	}
	if r.LeftOut {
		words += ", left out"
	}
	return words
}

func (d *historyDrawing) reading(p *plot, r Reading, at XY) []Shape {
	if r.LeftOut {
		form := Cross
		switch {
		case r.Value > p.y.high:
			form = Triangle
		case r.Value < p.y.low:
			form = Down
		}
		return []Shape{p.sign(LeftOut, form, at.X, at.Y)}
	}
	var shapes []Shape
	if r.Spread > 0 && drawable(r.Spread) {
		low, high := p.y.at(r.Value-r.Spread), p.y.at(r.Value+r.Spread)
		if math.Abs(low-high) > 2*p.Char { // shorter ones are behind the sign
			shapes = append(shapes, Line{Whisker, []XY{{at.X, high}, {at.X, low}}})
		}
	}
	return append(shapes, p.sign(Value, Circle, at.X, at.Y))
}

// leave marks the days of leaving on their limit; what lies beyond the frame is
// only told.
func (d *historyDrawing) leave(p *plot) {
	if d.Forecast == nil || !drawable(d.Forecast.Limit) {
		return
	}
	for _, day := range d.Forecast.days() {
		if at := seconds(day.at); p.x.holds(at) {
			p.add(Group{Title: day.words + " " + d.ahead(day.at), Shapes: []Shape{p.sign(Leaving, day.form, p.x.at(at), p.y.at(d.Forecast.Limit))}})
		}
	}
}

// key explains what is drawn, and tells the days of leaving.
func (d *historyDrawing) key() []keyItem {
	var items []keyItem
	when := func(is bool, class Class, form Form, words string) {
		if is {
			items = append(items, keyItem{class, form, words})
		}
	}
	when(len(d.Readings) <= many, Value, Circle, "reading")
	when(len(d.Readings) > many, Course, Dash, counted(len(d.Readings), "reading", "readings"))
	when(slices.ContainsFunc(d.Readings, func(r Reading) bool { return r.LeftOut }), LeftOut, Cross, "left out")
	when(slices.ContainsFunc(d.Readings, d.beyond), LeftOut, Triangle, "left out, beyond the scale")
	if b, known := d.band(); known {
		when(true, Limit, Dash, "band "+d.reaches(b, ""))
	}
	for _, letter := range [...]struct{ letter, words string }{{Cleaned, "cleaned"}, {Replaced, "replaced"}, {Fitted, "fitted"}, {Rebased, "re-based"}} {
		when(slices.ContainsFunc(d.Resets, func(r Happened) bool { return r.Letter == letter.letter && !r.At.Before(d.time.from) }), Reset, Bar, letter.letter+" "+letter.words)
	}
	when(slices.ContainsFunc(d.Events, func(e Happened) bool { return !e.At.Before(d.time.from) }), Event, Plus, "other event")
	if f := d.Forecast; f != nil {
		when(len(f.Fan) > 1, Fan50, Square, "forecast, 50 %")
		when(len(f.Fan) > 1, Fan90, Square, "90 %")
		for _, day := range f.days() {
			when(true, Leaving, day.form, day.words+" "+d.ahead(day.at))
		}
	}
	return items
}
