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
	}
	for _, sheet := range r.Sheets() {
		k.AddType(sheet.Name)
	}
	for _, p := range r.Points() {
		ref := p.Ref()
		k.AddPoint(listing.Ref{Panel: ref.Panel, Loop: ref.Loop, Address: ref.Number}, listing.ScheduleRow{Type: p.Type, Zone: p.Zone, Location: p.Location, Serial: p.Unit.Serial})
	}
	return k
}
