package app

import (
	"sootline"
	"sootline/internal/listing"
)

// knownOf gives what a register says for listings to be held against.
func knownOf(r *sootline.Register) *listing.Known {
	k := listing.NewKnown()
	for _, loop := range r.Loops() {
		k.AddLoop(loop.Panel, loop.Name)
		if loop.Separate {
			k.CountsApart(loop.Name)
		}
	}
	k.AddSite(r.Site.Name)
	for _, sheet := range r.Sheets() {
		k.AddType(sheet.Name)
		if len(sheet.Bands) > 0 {
			k.AddUnit(sheet.Unit)
			k.AddRead(sheet.Name)
		}
		for _, other := range sheet.Others {
			k.AddUnit(other.Unit)
		}
	}
	for _, p := range r.Points() {
		ref := p.Ref()
		k.AddName(p.Area)
		k.AddPoint(listing.Ref{Panel: ref.Panel, Loop: ref.Loop, Address: ref.Number}, listing.ScheduleRow{Type: p.Type, Zone: p.Zone, Location: p.Location, Serial: p.Unit.Serial})
	}
	return k
}

// mostListed bounds the points of schedules that the other tables of an intake are held against.
const mostListed = 100_000

// knowSchedules holds the other tables of an intake against the schedules that came with them.
func (in *Intake) knowSchedules(r *sootline.Register) error {
	known, n := knownOf(r), 0
	for _, t := range in.Tables {
		if _, open := t.Blocking(); open || t.Kind != listing.KindSchedule || len(in.Tables) == 1 {
			continue
		}
		for record, fault := range t.Records(t.Table) {
			if fault != nil || record.Schedule.Ref.Loop == "" || record.Schedule.Vacant != "" || n == mostListed {
				continue
			}
			row := *record.Schedule
			if row.Ref.Panel == "" {
				row.Ref.Panel = firstPanel(r)
			}
			known.AddPoint(row.Ref, row)
			n++
		}
	}
	if n == 0 {
		return nil
	}
	for _, t := range in.Tables {
		if t.Kind == listing.KindSchedule || t.Kind == listing.KindTypes {
			continue
		}
		t.known = known
		if err := t.understand(); err != nil {
			return err
		}
	}
	return nil
}

// firstPanel is the panel of rows that name none.
func firstPanel(r *sootline.Register) string {
	if panels := r.Panels(); len(panels) > 0 {
		return panels[0]
	}
	return "1"
}
