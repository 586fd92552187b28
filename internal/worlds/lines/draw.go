package lines

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"
)

// begin is when the heard lines begin; a New Year lies some six hundred lines on.
var begin = time.Date(2025, 12, 12, 6, 0, 0, 0, time.UTC)

// site is where the lines come from. Its clock has no summer time.
var site = time.FixedZone("site", 3600)

// Draw draws a world of a style: lines that were heard before, and later ones, events and what is none counted together.
// The same seed draws the same world. A style that there is not is a mistake of the caller, who is stopped.
func Draw(style string, heard, later int, seed uint64) *World {
	all := styles()
	at := slices.IndexFunc(all, func(s *Style) bool { return s.Name == style })
	if at < 0 {
		panic("no style " + style)
	}
	d := &drawer{
		Rand: rand.New(rand.NewPCG(seed, uint64(at))), style: all[at], at: begin, lines: heard + later,
		open: map[Event][]Point{}, walk: -1,
	}
	w := &World{Style: style, Site: site, style: d.style}
	d.points()
	w.Points, w.site = d.register(), d.site
	for !d.taught() || len(w.Heard) < heard {
		w.Heard = append(w.Heard, d.next()...)
	}
	for len(w.Later) < later {
		w.Later = append(w.Later, d.next()...)
	}
	return w
}

type drawer struct {
	*rand.Rand

	style       *Style
	site        []Point
	at          time.Time // by a clock that is right
	done, lines int
	page        int
	printed     int    // events since the head of the page
	day         string // of that head
	open        map[Event][]Point
	walk        int // the next point of a walk test; below 0: there is none
	seen        []Event
}

// points fits the site.
func (d *drawer) points() {
	for loop := range 2 + d.IntN(2) {
		name := fmt.Sprint(loop + 1)
		if d.style.letters {
			name = string(rune('A' + loop))
		}
		for number := 1; number <= 125; number += 1 + d.IntN(3) {
			p := Point{Loop: name, Number: number, Zone: 1 + 9*loop + number/15, Text: place(d.style.Tongue, len(d.site))}
			if d.style.subs {
				p.Sub = 1 + d.IntN(4)
			}
			d.site = append(d.site, p)
		}
	}
}

// register is what the site's book knows of the points.
func (d *drawer) register() []Point {
	known := slices.Clone(d.site)
	i := d.IntN(len(known))
	known[i].Text = place(d.style.Tongue, len(known)+i)
	return known
}

// taught: there is something to mark.
func (d *drawer) taught() bool { return len(d.seen) >= 3 && slices.Contains(d.seen, Alarm) }

// next gives what is printed next: the head of a page, a remark, an event.
func (d *drawer) next() []Record {
	d.done++
	h := d.happen()
	day := h.wall.Format(time.DateOnly)
	var out []Record
	if d.style.head != nil && (d.printed%d.style.every == 0 || d.style.byDay && day != d.day) {
		d.page++
		d.printed, d.day = 0, day
		out = append(out, d.record(h, func(s *sheet) { d.style.head(s, d.page) }))
	}
	d.printed++
	if d.IntN(30) == 0 {
		all := strings.Split(remarks[d.style.Tongue], "|")
		text := strings.Replace(all[d.IntN(len(all))], "$", h.wall.Format("02.01.2006 15:04"), 1)
		out = append(out, d.record(h, func(s *sheet) { s.put(text) }))
	}
	return append(out, d.record(h, d.style.layout))
}

// record prints something.
func (d *drawer) record(h *happening, write func(s *sheet)) Record {
	s := &sheet{happening: h, style: d.style}
	write(s)
	s.put("\n")
	r := Record{At: d.at, Truth: s.truth(), said: h}
	r.Bytes, r.marks = s.print()
	d.at = d.at.Add(time.Duration(200+d.IntN(300)) * time.Millisecond)
	return r
}

// wall is what the panel's clock shows.
func (d *drawer) wall() time.Time {
	ahead := d.style.clock(float64(d.done) / float64(d.lines))
	w := d.at.In(site).Add(ahead)
	return time.Date(w.Year(), w.Month(), w.Day(), w.Hour(), w.Minute(), w.Second(), 0, time.UTC)
}

// happen lets some time pass and something happen.
func (d *drawer) happen() *happening {
	gap := time.Duration(d.ExpFloat64() * float64(time.Hour))
	if d.walk >= 0 || d.IntN(4) == 0 {
		gap = time.Duration(5+d.IntN(40)) * time.Second
	}
	d.at = d.at.Add(gap).Truncate(time.Millisecond)
	h := &happening{wall: d.wall(), serial: d.done}
	d.what(h)
	if !slices.Contains(d.seen, h.event) && h.text != "" {
		d.seen = append(d.seen, h.event)
	}
	return h
}

// what draws what happens: a walk test goes on from point to point, faults clear, disablements end.
func (d *drawer) what(h *happening) {
	if d.walk < 0 && d.IntN(100) == 0 {
		d.walk = d.IntN(len(d.site))
	}
	if d.walk >= 0 {
		h.event = Test
		h.of(d.site[d.walk])
		if d.walk = (d.walk + 1) % len(d.site); d.IntN(15) == 0 {
			d.walk = -1
		}
		return
	}
	d.other(h)
}

// other draws what happens outside a walk test.
func (d *drawer) other(h *happening) {
	p := d.site[d.IntN(len(d.site))]
	switch draw := d.IntN(100); {
	case draw < 22:
		h.event = Alarm
		h.of(p)
	case draw < 30:
		h.event = PreAlarm
		h.of(p)
	case draw < 55:
		d.begins(h, Fault, Cleared, p)
	case draw < 80:
		d.begins(h, Disabled, Enabled, p)
	case draw < 84:
		h.event = Test
		h.of(p)
	case draw < 93:
		h.event = Reset
	default:
		h.event = Silence
	}
}

// begins draws the beginning of what ends later, or the end of what began.
func (d *drawer) begins(h *happening, event, end Event, p Point) {
	if open := d.open[event]; len(open) > d.IntN(8) {
		i := d.IntN(len(open))
		h.event, p = end, open[i]
		d.open[event] = slices.Delete(open, i, i+1)
	} else {
		switch {
		case event == Fault && d.IntN(8) == 0:
			all := strings.Split(troubles[d.style.Tongue], "|")
			p = Point{Text: all[d.IntN(len(all))]}
		case event == Disabled && d.style.zoned && d.IntN(6) == 0:
			p = Point{Zone: p.Zone}
		}
		h.event = event
		d.open[event] = append(open, p)
	}
	h.of(p)
}

// of says of which point it is told.
func (h *happening) of(p Point) {
	h.loop, h.number, h.sub, h.zone, h.text = p.Loop, p.Number, p.Sub, p.Zone, p.Text
}
