package listing

import (
	"fmt"
	"strings"
)

// askForZones asks whether numbers beside zones are those of the loop.
func (s *study) askForZones(zone, at int) {
	s.u.askOnce(AskRefOrder, fmt.Sprintf("The numbers of column %q do not go with the zones of column %q: they may count within each zone. Are they numbers on the loop?",
		s.u.columnName(at), s.u.columnName(zone)), Choice{string(LoopAddress), "yes, numbers on the loop"})
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
