package instruments

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// offBeyond is from which shift on an instrument counts as off, in rooms, where it was not so at the visit
// before. Ours.
const offBeyond = 0.05

// write puts the log together.
func (s *premises) write() []sootline.Entry {
	s.writeSheets()
	for _, d := range s.devices {
		s.writeDevice(d)
	}
	for i := range s.areas {
		if w := &s.areas[i].works; w.told && s.hasPoints(&s.areas[i], w.from) {
			s.book.Write(levels.Line{At: w.from, By: "office", Body: sootline.Note{Text: "building works begin in " + s.areas[i].name}})
		}
	}
	s.writeInstruments()
	entries, err := s.book.Entries()
	if err != nil {
		panic(fmt.Sprintf("world instruments, %s: %v", s.scenario, err)) // a mistake of this package
	}
	return entries
}

func (s *premises) hasPoints(a *area, since time.Time) bool {
	return slices.ContainsFunc(s.devices, func(d *device) bool { return d.area == a && d.fitted.Before(since) })
}

func (s *premises) writeSheets() {
	seen := map[string]bool{}
	for _, d := range s.devices {
		if !seen[d.scale.name] {
			seen[d.scale.name] = true
			s.book.Write(levels.Line{At: s.cal.opened.Add(time.Minute), By: "office", Body: d.scale.sheet(unscaled)})
		}
	}
	if s.firm == nil || !seen[s.firm.scale.name] {
		return
	}
	if s.firm.told {
		text := "panel firmware: values of type " + s.firm.scale.name + " are shown on another scale"
		s.book.Write(levels.Line{At: s.firm.from, By: "office", Body: sootline.Changed{Text: text}})
	}
	if !s.firm.sheet.IsZero() {
		s.book.Write(levels.Line{At: s.firm.sheet, By: "office", Body: s.firm.scale.sheet(s.firm.to)})
	}
}

func (s *premises) writeDevice(d *device) {
	at, noted := d.fitted, d.fitted
	if !s.plan.known {
		at = sootline.LongAgo
	}
	place := sootline.Place{Panel: "1", Loop: strconv.Itoa(d.loop), Order: d.number, Area: d.area.name}
	s.book.Write(levels.Line{At: at, Noted: noted, By: "office", Point: d.id, Body: sootline.Fitted{Place: place, Type: d.scale.name}})
	s.book.Write(levels.Line{At: at, Noted: noted, By: "office", Point: d.id, Body: sootline.Addressed{Wanted: d.number, Found: d.number}})
	for i := range d.looks {
		l := &d.looks[i]
		who := s.cal.visits[l.visit].teams[d.loop%2].who
		s.book.Write(levels.Line{At: l.at, By: who.name, Station: who.name, Point: d.id, Body: sootline.Read{Samples: l.written}})
	}
	for _, x := range d.doings {
		s.book.Write(levels.Line{At: x.at, Day: x.day, Noted: x.noted, By: x.who.name, Station: x.who.name, Point: d.id, Body: x.body()})
	}
}

func (x *doing) body() sootline.Body {
	switch x.kind {
	case sootline.ReplacedKind:
		return sootline.Replaced{}
	case sootline.UnreachedKind:
		return sootline.Unreached{}
	}
	return sootline.Cleaned{}
}

// writeInstruments says what the instruments did to the values of a visit, and notes it where that was told.
func (s *premises) writeInstruments() {
	noted := map[*visit]bool{}
	for _, d := range s.devices {
		before, first := 0.0, true
		for i := range d.looks {
			l := &d.looks[i]
			v := &s.cal.visits[l.visit]
			with := v.teams[d.loop%2].with
			shift := with.shift(d.scale, s.firm.shows(d.scale, l.at))
			told := s.plan.told && with.bad
			if told && !noted[v] {
				noted[v] = true
				s.book.Write(levels.Line{At: v.at.Add(-time.Hour), By: v.teams[0].who.name, Body: sootline.Note{Text: "all values of this visit were read with another instrument: " + with.name}})
			}
			if off := shift - before; math.Abs(shift) > offBeyond && (first || math.Abs(off) > offBeyond) {
				d.events = append(d.events, levels.Happened{Kind: levels.InstrumentOffset, Day: v.at, Noted: told})
			}
			before, first = shift, false
		}
		slices.SortStableFunc(d.events, func(a, b levels.Happened) int { return a.Day.Compare(b.Day) })
	}
}
