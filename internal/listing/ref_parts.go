package listing

import (
	"fmt"
	"strings"

	"sootline"
)

// doubtParts asks about references of which the parts can be meant in two ways, where their own shape speaks for the
// less usual one.
func (s *study) doubtParts(i int, refs []Ref) bool {
	return s.doubtSubAddresses(i, refs) || s.doubtReversed(i, refs)
}

// doubtSubAddresses: some references have a part more than others, 1.073 and 1.073.1, which may be a panel in front or
// a channel behind.
func (s *study) doubtSubAddresses(i int, refs []Ref) bool {
	long, short := -1, 0
	for k, ref := range refs {
		switch {
		case ref.Panel == "":
			short++
		case long < 0:
			long = k
		}
	}
	if long < 0 || short == 0 {
		return false
	}
	s.askOrderOf(i, refs[long], "Some references of column %q have a part more than others, such as %s. How are they written?", LoopAddress, LoopAddressSub)
	return true
}

// doubtReversed: all first parts are written in three digits and no last one is, as if the address stood in front. The
// register may show that they are loops all the same.
func (s *study) doubtReversed(i int, refs []Ref) bool {
	if len(refs) < 2 || s.paddedFirst() < len(refs) || s.paddedRefs() > 0 {
		return false
	}
	usual, turned := 0, 0
	for _, ref := range refs {
		if s.known.hasLoop(ref) {
			usual++
		}
		if s.known.holds(AddressLoop.turned(ref)) {
			turned++
		}
	}
	if usual == len(refs) && turned == 0 || turned == len(refs) && usual < len(refs) {
		return false
	}
	s.askOrderOf(i, refs[0], "How are the references of column %q written, such as %s?", AddressLoop, LoopAddress)
	return true
}

// askOrderOf asks in which of some orders a reference is written.
func (s *study) askOrderOf(i int, ref Ref, text string, orders ...RefOrder) {
	written := s.writtenAs(i, ref)
	var choices []Choice
	for _, order := range orders {
		as := order.turned(ref)
		on := "loop " + as.Loop
		if as.Panel != "" {
			on += " of panel " + as.Panel
		}
		choices = append(choices, Choice{string(order), fmt.Sprintf("as %s: %s is number %d on %s", order, written, as.Address, on)})
	}
	s.u.askOnce(AskRefOrder, fmt.Sprintf(text, s.u.columnName(i), written), choices...)
}

// writtenAs gives the cell that was read as a reference.
func (s *study) writtenAs(i int, ref Ref) string {
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || i >= len(r.Cells) {
			continue
		}
		if is, err := ParseRef(r.Cells[i]); err == nil && is == ref {
			return strings.TrimSpace(r.Cells[i])
		}
	}
	return ""
}

// lettered is a number with the letter in front of it taken off.
type lettered struct{ of, number string }

// refuseRanges refuses a table in which one number stands behind two letters, D001 and M001, on a loop of which nobody
// said that it counts detectors and modules apart: they would be one point.
func (s *study) refuseRanges() {
	u := s.u
	i := max(u.column(Point), u.column(Address))
	if i < 0 || u.Kind == KindUnknown {
		return
	}
	seen := map[lettered]string{}
	for _, r := range s.sample {
		if r.Line <= u.HeaderLine || i >= len(r.Cells) {
			continue
		}
		cell := strings.TrimSpace(r.Cells[i])
		before, letter, number := splitLettered(cell)
		if letter == "" {
			continue
		}
		loop := parseName(u.cell(&r, Loop), 'L')
		if ref, err := ParseRef(cell); err == nil && ref.Loop != "" {
			loop = ref.Loop
		}
		at := lettered{before + "|" + loop + "|" + u.cell(&r, Panel), normalName(number)}
		first := seen[at]
		if first == "" || strings.EqualFold(first[:1], letter) {
			seen[at] = letter + number
			continue
		}
		if !isRangeLetter(first[:1]) || !isRangeLetter(letter) || !s.known.countsApart(loop) {
			u.Kind, u.Refused, u.Questions = KindUnknown, true, nil
			u.KindWhy = fmt.Sprintf("%s and %s would be one number, for nobody said that the loop counts detectors (D) and modules (M) apart; describe the loop so, or write the numbers without letters", first, letter+number)
			return
		}
	}
}

func isRangeLetter(letter string) bool {
	switch sootline.NumberRange(strings.ToLower(letter)) {
	case sootline.DetectorRange, sootline.ModuleRange:
		return true
	}
	return false
}

// splitLettered takes the digits that end a text and the single letter before them off it; no letter: there is none.
func splitLettered(s string) (before, letter, number string) {
	at := len(s)
	for at > 0 && isDigit(s[at-1]) {
		at--
	}
	if at == 0 || at == len(s) || !isLetter(s[at-1]) || s[at-1] >= 0x80 || at > 1 && isLetter(s[at-2]) {
		return s, "", ""
	}
	return s[:at-1], s[at-1 : at], s[at:]
}
