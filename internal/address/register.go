package address

import (
	"strings"

	"sootline"
)

// Rules are what a register does not say of its devices: how the number of each
// type is set.
type Rules struct {
	Setters map[string]Setter // by [sootline.TypeKey]
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
			Reserved: facts.Reserved, Separate: facts.Separate,
		}})
	}
	for _, p := range r.Points() {
		sheet := r.Sheet(p.Type)
		l := &loops[index[p.LoopID()]]
		if sheet != nil && sheet.Kind == sootline.Isolator && p.Number() == 0 {
			if p.Order > 0 && p.Spur == 0 {
				l.Isolators = append(l.Isolators, p.Order)
			}
			continue
		}
		d := newDevice(r, p, sheet, rules)
		d.Isolates = isolatesOf(r, p)
		l.Devices = append(l.Devices, d)
	}
	for i := range loops {
		loops[i].hang(r)
	}
	return loops
}

func newDevice(r *sootline.Register, p *sootline.Point, sheet *sootline.TypeSheet, rules Rules) Device {
	d := Device{
		ID: p.ID, Name: name(taker{Point: p}), Type: p.Type, Serial: p.Unit.Serial, Width: sheet.Numbers(), Order: p.Order,
		Zone: p.Zone, Area: p.Area, Location: strings.TrimSpace(p.Location),
		Wanted: p.Wanted, Found: p.Stands.Number, Seen: p.Stands.As == sootline.AsFound || p.Stands.As == sootline.AsSet, Wishes: r.WishesOf(p), Has: p.Has, Setter: rules.Setters[sootline.TypeKey(p.Type)],
	}
	for _, w := range d.Wishes {
		if d.Wants == nil {
			d.Wants = make(map[string]string, len(d.Wishes))
		}
		d.Wants[w.Name] = w.Choice
	}
	d.Range = rangeOf(sheet)
	return d
}

// rangeOf: call points, sounders and modules share the second range (common
// practice, no source).
func rangeOf(sheet *sootline.TypeSheet) Range {
	if sootline.RangeOf(sheet) == sootline.ModuleRange {
		return Modules
	}
	return Sensors
}
