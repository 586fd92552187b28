package listing

import (
	"fmt"
	"strings"
)

// askForZones asks whether numbers beside zones are those of the loop.
func (s *study) askForZones(zone, at int) {
	text := fmt.Sprintf("The numbers of column %q do not go with the zones of column %q: they may count within each zone. Are they numbers on the loop?",
		s.u.columnName(at), s.u.columnName(zone))
	if others := s.otherNumbers(zone, at); len(others) > 0 {
		s.u.askOnce(AskPoint, text, append([]Choice{{columnKey(at) + "=" + string(Address), "yes, numbers on the loop"}}, others...)...)
		return
	}
	s.u.askOnce(AskRefOrder, text, Choice{string(LoopAddress), "yes, numbers on the loop"})
}

// otherNumbers offers the columns of numbers besides those that may count within zones: one of them may be the number on the loop.
func (s *study) otherNumbers(zone, at int) (choices []Choice) {
	for i, c := range s.u.Columns {
		bare := s.u.lx.headings[fold(c.Heading)]
		if i == zone || i == at || c.Field != Unused || !(bare == number || bare.isNumber()) || !s.content[i].mostly(s.content[i].numbers) {
			continue
		}
		choices = append(choices, Choice{
			columnKey(i) + "=" + string(Address) + "," + columnKey(at) + "=" + string(Unused),
			fmt.Sprintf("no: they count within the zone, and column %q has the numbers on the loop", s.u.columnName(i)),
		})
	}
	return choices
}

// doubtNumbersOfLoops asks about numbers that begin again with each zone of a loop, so that rows of a loop share them.
func (s *study) doubtNumbersOfLoops(zone, at int) {
	type inZone struct{ panel, loop, zone string }
	first, zoneOf, shared := map[inZone]int{}, map[Ref]string{}, false
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || at >= len(r.Cells) || zone >= len(r.Cells) {
			continue
		}
		own, err := ParseRef(strings.TrimSpace(r.Cells[at]))
		z := normalName(strings.TrimSpace(r.Cells[zone]))
		if err != nil || own.Loop != "" || z == "" {
			continue
		}
		ref := s.u.refOf(&r)
		key := inZone{ref.Panel, ref.Loop, z}
		if lowest, seen := first[key]; !seen || ref.Address < lowest {
			first[key] = ref.Address
		}
		before, seen := zoneOf[ref]
		shared = shared || seen && before != z
		zoneOf[ref] = z
	}
	for _, lowest := range first {
		if lowest != 1 {
			return
		}
	}
	if shared && len(first) > 1 {
		s.askForZones(zone, at)
	}
}
