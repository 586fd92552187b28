package sootline

import (
	"strings"
	"time"
)

// localZone is the name by which Go loads the zone of the machine.
const localZone = "Local"

// ZoneNamed loads the time zone of an IANA name; the empty name is UTC. "Local" is
// none: it means another zone on every machine. The table of zones is the one thing
// of the machine that the register asks.
func ZoneNamed(name string) (*time.Location, error) {
	name = strings.TrimSpace(name)
	zone, err := time.LoadLocation(name)
	if err != nil || name == localZone {
		return nil, Errorf(Invalid, "give a name such as Europe/Paris, or UTC", "time zone %q is not known", clip(name))
	}
	return zone, nil
}

// In gives the times in the register in a zone, and not in UTC as the entries have
// them: days then begin at the midnight of the people on site. It is for a register
// that nobody else uses yet.
func (r *Register) In(zone *time.Location) {
	r.AsOf, r.Last = r.AsOf.In(zone), r.Last.In(zone)
	inZone(r.Events, zone)
	for _, d := range r.defects {
		d.Since = d.Since.In(zone)
	}
	for _, p := range r.points {
		p.Since, p.UnitSince = p.Since.In(zone), p.UnitSince.In(zone)
		p.Stands.At, p.SetTo.At = p.Stands.At.In(zone), p.SetTo.At.In(zone)
		for i := range p.Readings {
			p.Readings[i].At = p.Readings[i].At.In(zone)
		}
		for i := range p.Resets {
			p.Resets[i].At = p.Resets[i].At.In(zone)
		}
		inZone(p.Events, zone)
		for _, one := range []*Event{p.Disabled, p.Removed} {
			if one != nil {
				one.At = one.At.In(zone)
			}
		}
	}
}

func inZone(events []Event, zone *time.Location) {
	for i := range events {
		events[i].At = events[i].At.In(zone)
	}
}
