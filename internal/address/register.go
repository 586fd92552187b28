package address

import (
	"strings"

	"sootline"
)

// Rules are what a register does not say of its loops: numbers reserved, ranges
// of their own for sensors and modules, and how the number of each type is set.
type Rules struct {
	Reserved map[sootline.LoopID][]int
	Separate map[sootline.LoopID]bool
	Setters  map[string]Setter // by [sootline.TypeKey]
}

// Loops makes plain data of the register's loops, in its order. Isolators with
// no number are left out: many take none (common practice, no source).
func Loops(r *sootline.Register, rules Rules) []Loop {
	var loops []Loop
	index := map[sootline.LoopID]int{}
	for _, facts := range r.Loops() {
		index[facts.LoopID] = len(loops)
		loops = append(loops, Loop{Name: facts.LoopID.String(), Span: Span{
			First: facts.First, Last: facts.Last, Unset: facts.Unset,
			Reserved: rules.Reserved[facts.LoopID], Separate: rules.Separate[facts.LoopID],
		}})
	}
	for _, p := range r.Points() {
		sheet := r.Sheet(p.Type)
		if sheet != nil && sheet.Kind == sootline.Isolator && p.Number() == 0 {
			continue
		}
		l := &loops[index[p.LoopID()]]
		l.Devices = append(l.Devices, newDevice(p, sheet, rules))
	}
	return loops
}

func newDevice(p *sootline.Point, sheet *sootline.TypeSheet, rules Rules) Device {
	d := Device{
		ID: p.ID, Name: name(taker{Point: p}), Type: p.Type, Serial: p.Unit.Serial, Width: sheet.Numbers(), Order: p.Order,
		Zone: p.Zone, Area: p.Area, Location: strings.TrimSpace(p.Location),
		Wanted: p.Wanted, Found: p.Found, Wants: p.Wants, Has: p.Has, Setter: rules.Setters[sootline.TypeKey(p.Type)],
	}
	if sheet != nil && !sheet.Kind.Judged() {
		d.Range = Modules // call points, sounders and modules: common practice, no source
	}
	return d
}
