package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

	"sootline"
	"sootline/internal/store"
)

// WriteDesign writes the places of a design into the register, each with its wanted number, type, cable and isolator, with
// what feeds the loops and how large the areas are: a plan that the bench then works through. It is one act, taken back
// whole as a take is. Loops that hold a point by now are refused.
func (a *App) WriteDesign(ctx context.Context, site sootline.ID, d *Design, called string) (*sootline.Entry, error) {
	if err := a.needs(sootline.Manager); err != nil {
		return nil, err
	}
	var act *sootline.Entry
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		log, err := a.Logs.in(tx, site)
		if err != nil {
			return err
		}
		places := log.FoldPlaces(Always)
		if err := d.free(places); err != nil {
			return err
		}
		if err := d.doubtTwice(places); err != nil {
			return err
		}
		begun, err := a.beginAct(tx, site)
		if err != nil {
			return err
		}
		said := sootline.Taken{Added: map[sootline.Kind]int{}, Tables: []sootline.TakenTable{{File: called, Lists: "design", Understood: d.Headline(), Rows: len(d.brief.places)}}}
		entries := d.entries(a, site)
		for i := range entries {
			said.Added[entries[i].Body.Kind()]++
		}
		if err := a.append(tx, site, entries); err != nil {
			return err
		}
		act, err = a.endAct(tx, site, begun, log, said)
		return err
	})
	return act, err
}

// free refuses a design whose loops are no longer empty.
func (d *Design) free(r *sootline.Register) error {
	for _, l := range d.Loops {
		if slices.ContainsFunc(r.Points(), func(p *sootline.Point) bool { return p.LoopID() == l.LoopID }) {
			return sootline.Errorf(sootline.Conflict, "make the design anew; it then takes a loop that is free", "loop %s holds points by now", l).Do(sootline.ShowSite)
		}
	}
	return nil
}

// doubtTwice asks about a design of which every place stands on the register already, in the same spot with the same type: it
// would be the same building on one loop more.
func (d *Design) doubtTwice(r *sootline.Register) error {
	if d.Sure {
		return nil
	}
	type spot struct {
		area, floor, kind string
		x, y              float64
	}
	stands := map[spot]sootline.LoopID{}
	for _, p := range r.Points() {
		if p.X != nil && p.Y != nil {
			stands[spot{p.Area, p.Place.Floor, sootline.TypeKey(p.Type), *p.X, *p.Y}] = p.LoopID()
		}
	}
	n, at := 0, sootline.LoopID{}
	for _, l := range d.Loops {
		for i := range l.Points {
			p := &l.Points[i]
			loop, there := stands[spot{p.Area, strconv.Itoa(p.Floor), sootline.TypeKey(p.Type), p.X, p.Y}]
			if !there {
				return nil
			}
			n, at = n+1, loop
		}
	}
	return doubtful("each of the %s stands on the register already, in the same spot with the same type, on loop %s for one", plural(n, "place"), at)
}

// entries are what a design says.
func (d *Design) entries(a *App, site sootline.ID) []sootline.Entry {
	var list []sootline.Entry
	add := func(point sootline.ID, body sootline.Body) {
		list = append(list, a.entry(site, a.Now(), point, body))
	}
	areas := map[string]bool{}
	for _, l := range d.Loops {
		if l.supply.Volts > 0 { // else nobody said what feeds it, which the design says
			add(sootline.ID{}, l.supply)
		}
		for i := range l.Points {
			p := &l.Points[i]
			point := sootline.NewID(a.Now(), a.Random())
			metres, x, y := p.Metres, p.X, p.Y
			place := sootline.Place{
				Panel: l.Panel, Loop: l.Name, Order: i + 1, Metres: &metres, Zone: p.Zone, Area: p.Area, Location: p.Location,
				Floor: strconv.Itoa(p.Floor), X: &x, Y: &y,
			}
			add(point, sootline.Fitted{Place: place, Type: p.Type})
			add(point, sootline.Addressed{Wanted: p.Number})
			if p.Isolator {
				add(point, sootline.Set{Wanted: map[string]string{"isolator": "base"}})
			}
			if facts := d.areaOf(p); facts.M2 > 0 && !areas[facts.Area] {
				areas[facts.Area] = true
				add(sootline.ID{}, facts)
			}
		}
	}
	return list
}

// areaOf gives what is known of the area of a place.
func (d *Design) areaOf(p *DesignedPoint) sootline.AreaFacts {
	at := d.brief.places[p.atPlace].Area
	return sootline.AreaFacts{Area: p.Area, Floor: strconv.Itoa(p.Floor), M2: math.Round(10*d.brief.m2[at]) / 10}
}

// tellApart names areas of one name on several floors apart, since the register knows an area by its name alone.
func (b *DesignBrief) tellApart() {
	seen := map[string]int{}
	for i := range b.building.Areas {
		seen[sootline.TypeKey(b.building.Areas[i].Name)]++
	}
	for i := range b.building.Areas {
		if area := &b.building.Areas[i]; seen[sootline.TypeKey(area.Name)] > 1 {
			area.Name = fmt.Sprintf("%s, floor %d", area.Name, area.Floor)
		}
	}
}
