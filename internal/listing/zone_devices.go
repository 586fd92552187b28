package listing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A list may name a zone and the how-manieth device within it, 3/2. No register holds that, and yet it may tell which devices are
// meant: by counting those of the zone in their order on the loops. Whether a list counts so is known to a person alone.

// ZoneReadDevice counts, in a zone, the devices that are read; [ZoneDevice] counts all of them.
const ZoneReadDevice RefOrder = "zone device, of those that are read"

// AddRead notes a type whose devices are read.
func (k *Known) AddRead(name string) { k.read[typeKey(name)] = true }

// counted gives the points of a zone in their order on the loops, all or those that are read.
func (k *Known) counted(zone string, order RefOrder) (members []Ref) {
	if k == nil {
		return nil
	}
	for ref, of := range k.zoneOf {
		if of == zone && (order == ZoneDevice || k.read[typeKey(k.points[ref])]) {
			members = append(members, ref)
		}
	}
	slices.SortFunc(members, func(a, b Ref) int {
		return cmp.Or(compareNames(a.Panel, b.Panel), compareNames(a.Loop, b.Loop), cmp.Compare(a.Address, b.Address))
	})
	return members
}

// countsInZones: the order counts devices within zones.
func (o RefOrder) countsInZones() bool { return o == ZoneDevice || o == ZoneReadDevice }

// turn reads a reference in the order of the table.
func (u *Understanding) turn(ref Ref) Ref {
	if !u.refOrder.countsInZones() {
		return u.refOrder.turned(ref)
	}
	if u.members == nil {
		u.members = map[string][]Ref{}
	}
	members, known := u.members[ref.Loop]
	if !known {
		members = u.known.counted(ref.Loop, u.refOrder)
		u.members[strings.Clone(ref.Loop)] = members
	}
	if ref.Address < 1 || ref.Address > len(members) {
		return Ref{}
	}
	return members[ref.Address-1]
}

// askZoneDevices asks how a column of zones and devices counts, where the register has as many in each of its zones.
func (s *study) askZoneDevices() bool {
	u := s.u
	for i := range u.Columns {
		if u.lx.orderOfHeading(u.Columns[i].Heading) != ZoneDevice || u.Columns[i].Field != Unused {
			continue
		}
		refs, _ := s.refsOf(i)
		var choices []Choice
		for _, order := range []RefOrder{ZoneReadDevice, ZoneDevice} {
			if text := s.countedAs(refs, order, i); text != "" {
				choices = append(choices, Choice{string(order), text})
			}
		}
		if len(choices) == 0 {
			continue
		}
		u.askOnce(AskRefOrder, fmt.Sprintf("Column %q names a zone and a device within it, such as %s, and the register has points by loop and address. How are the devices of a zone counted?",
			u.columnName(i), u.Columns[i].Samples[0]), choices...)
		return true
	}
	return false
}

// countedAs says what an order makes of the first of some references and of the last of their zone; empty where a zone has not as
// many devices.
func (s *study) countedAs(refs []Ref, order RefOrder, i int) string {
	highest := map[string]int{}
	for _, ref := range refs {
		highest[ref.Loop] = max(highest[ref.Loop], ref.Address)
	}
	for zone, n := range highest {
		if n > len(s.known.counted(zone, order)) {
			return ""
		}
	}
	if len(refs) == 0 {
		return ""
	}
	of := "all devices of the zone"
	if order == ZoneReadDevice {
		of = "the devices of the zone that are read"
	}
	members, last := s.known.counted(refs[0].Loop, order), highest[refs[0].Loop]
	return fmt.Sprintf("%s, in their order on the loops: %s is %s, and device %d of that zone %s", of, s.u.Columns[i].Samples[0],
		refText(members[max(refs[0].Address, 1)-1]), last, refText(members[max(last, 1)-1]))
}

func refText(ref Ref) string { return fmt.Sprintf("number %d on loop %s", ref.Address, ref.Loop) }
