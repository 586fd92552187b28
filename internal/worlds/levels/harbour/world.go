// Package harbour lets the invented site of internal/demo be one of the worlds: the one for which the judge was
// first written. Its detectors drift straight, room by room; the season of a room is in the level. Of what the
// files of the site tell, the log here holds what bears on resting values: detectors, their readings, cleanings,
// replacements and the point that was disabled. Types without a band are left out: nothing of them is outside; so
// is the service life of types, which is no question of levels.
package harbour

import (
	"fmt"
	"time"

	"sootline"
	"sootline/internal/demo"
	"sootline/internal/worlds/levels"
)

// World draws the sites.
type World struct{}

var _ levels.World = World{}

// Name is "harbour".
func (World) Name() string { return "harbour" }

// Scenarios has one name: the site is one story, told with other draws.
func (World) Scenarios() []string { return []string{"harbour"} }

// untuned is added to seeds: the first hundred of internal/demo were looked at while a judge was tuned, and
// those from 5000 on are published elsewhere.
const untuned = 20000

// Make draws a site that ends on a day of the year of its own.
func (World) Make(seed uint64, scenario string) levels.Site {
	until := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(seed*97%365))
	story, known := demo.MakeKnown(seed+untuned, until)
	s := site{
		book:    levels.NewBook(seed, story.From.AddDate(0, 0, -60), sootline.Opened{Name: story.Site.Name, Zone: story.Site.Zone, Rules: sootline.Rules{VisitMonths: demo.VisitMonths}}),
		from:    story.From.AddDate(0, 0, -59),
		now:     until,
		next:    until.AddDate(0, demo.VisitMonths, 0),
		happens: happened(&story),
		sheets:  map[string]bool{},
	}
	out := levels.Site{Name: fmt.Sprintf("harbour %d", seed), Scenario: scenario, Now: s.now, NextVisit: s.next}
	for i := range known {
		if k := &known[i]; len(k.Sheet.Bands) > 0 {
			out.Points = append(out.Points, s.truth(k, s.write(k)))
		}
	}
	entries, err := s.book.Entries()
	if err != nil {
		panic(err) // not reached: a world that writes what no log may hold is wrong
	}
	out.Entries = entries
	return out
}

// site is a site while it is written.
type site struct {
	book            *levels.Book
	from, now, next time.Time
	happens         map[string][]levels.Happened // by panel.loop.number
	sheets          map[string]bool
}

// write puts what was written of a detector into the log.
func (s *site) write(k *demo.Known) sootline.ID {
	if !s.sheets[k.Sheet.Name] {
		s.sheets[k.Sheet.Name] = true
		s.book.Write(levels.Line{At: s.from, By: "office", Body: sootline.Sheet{TypeSheet: k.Sheet}})
	}
	id := s.book.Point(k.Fitted)
	place := sootline.Place{Panel: k.Ref.Panel, Loop: k.Ref.Loop, Order: k.Ref.Number, Area: k.Area}
	s.book.Write(levels.Line{At: k.Fitted, By: "office", Point: id, Body: sootline.Fitted{Place: place, Type: k.Sheet.Name}})
	s.book.Write(levels.Line{At: k.Fitted, By: "office", Point: id, Body: sootline.Addressed{Wanted: k.Ref.Number}})
	for _, look := range k.Looks {
		s.book.Write(levels.Line{At: look.At, By: look.By, Point: id, Body: sootline.Read{Samples: look.Samples}})
	}
	for _, act := range k.Acts {
		s.book.Write(levels.Line{At: act.Day, Noted: act.Day.Add(18 * time.Hour), Day: true, By: act.By, Point: id, Body: bodyOf(act.What)})
	}
	return id
}

func bodyOf(what string) sootline.Body {
	switch what {
	case "replaced":
		return sootline.Replaced{}
	case "disabled":
		return sootline.Disabled{Cause: "works"}
	}
	return sootline.Cleaned{}
}
