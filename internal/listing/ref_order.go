package listing

import (
	"fmt"
	"slices"
	"strings"
)

// RefOrder is in which order a reference of bare numbers says where a point is.
type RefOrder string

// The orders. A zone and a device within it name no point of a loop.
const (
	LoopAddress    RefOrder = "loop address" // with the panel in front, where there are three
	AddressLoop    RefOrder = "address loop"
	LoopAddressSub RefOrder = "loop address channel"
	ZoneDevice     RefOrder = "zone device"
)

// orderOfHeading reads a heading of several parts, "Address/Loop", "Zone/Device"; empty: it has none.
func (lx *lexicon) orderOfHeading(heading string) RefOrder {
	parts := strings.FieldsFunc(heading, func(c rune) bool { return strings.ContainsRune("/.|\\", c) })
	if len(parts) < 2 || len(parts) > 4 {
		return ""
	}
	var said []string
	for _, part := range parts {
		said = append(said, lx.partOfRef(fold(part)))
	}
	is := func(parts ...string) bool { return slices.Equal(said, parts) }
	switch {
	case is("zone", "address"):
		return ZoneDevice
	case is("address", "loop"), is("address", "loop", "panel"):
		return AddressLoop
	case is("loop", "address"), is("panel", "loop", "address"):
		return LoopAddress
	case is("loop", "address", "sub"), is("panel", "loop", "address", "sub"):
		return LoopAddressSub
	}
	return ""
}

// partOfRef tells what part of a reference a word names.
func (lx *lexicon) partOfRef(word string) string {
	if lx.isSubAddress(word) {
		return "sub"
	}
	field, known := lx.headings[word]
	if !known {
		field = lx.headings[lx.nearHeading(word, shortestSlip-1, nil)]
	}
	switch field {
	case Zone:
		return "zone"
	case Loop:
		return "loop"
	case Panel:
		return "panel"
	case Address, Point, number, Device:
		return "address"
	}
	return ""
}

// turned reads a reference of bare numbers in an order.
func (o RefOrder) turned(ref Ref) Ref {
	switch {
	case slices.Contains(figureOrders(), o):
		return o.ofFigures(ref)
	case o == AddressLoop && ref.Loop != "" && ref.Panel == "":
		n, ok := wholeNumber(ref.Loop)
		if ok {
			return Ref{Loop: normalName(fmt.Sprint(ref.Address)), Address: n, Range: ref.Range}
		}
	case o == LoopAddressSub && ref.Panel != "":
		n, ok := wholeNumber(ref.Loop)
		if ok {
			return Ref{Loop: ref.Panel, Address: n, Range: ref.Range}
		}
	}
	return ref
}

// refOf reads the reference of a row as far as it can be read.
func (u *Understanding) refOf(row *Row) Ref {
	ref, err := ParseRef(u.cell(row, Point))
	if err != nil {
		ref.Address, _ = parseAddress(u.cell(row, Address))
	}
	ref = u.turn(ref)
	if ref.Loop == "" {
		ref.Loop = parseName(u.cell(row, Loop), 'L')
	}
	if ref.Panel == "" {
		ref.Panel = parseName(u.cell(row, Panel), 'P')
	}
	return ref
}

// settleOrderOfRefs weighs the orders in which the references of the point column can be read.
func (s *study) settleOrderOfRefs() {
	u, i := s.u, s.u.column(Point)
	if i < 0 {
		return
	}
	if given := u.profile.RefOrder; given != "" {
		u.refOrder = given
		return
	}
	if s.askFigures(i) {
		return
	}
	refs, bare := s.refsOf(i)
	if len(refs) == 0 || !bare {
		s.doubtStrangers(i, refs)
		return
	}
	said := u.lx.orderOfHeading(u.Columns[i].Heading)
	if said == "" && s.doubtParts(i, refs) {
		return
	}
	var all []weighed[RefOrder]
	for _, order := range []RefOrder{LoopAddress, AddressLoop, LoopAddressSub} {
		if w, possible := s.weighOrder(order, said, refs); possible && (order == LoopAddress || w.points > 0) {
			all = append(all, w)
		}
	}
	best, second := foremost(all)
	u.refOrder = best.of
	if best.of != LoopAddress {
		u.Columns[i].Why += "; its references are written " + string(best.of) + ": " + best.because()
	}
	if headed := s.matches[i].strength >= strengthNear; best.points < 0 || best.points == 0 && !headed {
		s.doubtRefs(i, best)
		return
	}
	if second.of == "" || best.points-second.points >= clearLead {
		return
	}
	u.askOnce(AskRefOrder, fmt.Sprintf("How are the references of column %q written, such as %s?", u.columnName(i), u.Columns[i].Samples[0]),
		s.orderChoice(best.of, i, refs[0]), s.orderChoice(second.of, i, refs[0]))
}

func (s *study) orderChoice(order RefOrder, i int, ref Ref) Choice {
	as := order.turned(ref)
	return Choice{string(order), fmt.Sprintf("as %s: %s is number %d on loop %s", order, s.u.Columns[i].Samples[0], as.Address, as.Loop)}
}

// refsOf reads the references of a column; bare: none has a label that says what its parts are.
func (s *study) refsOf(i int) (refs []Ref, bare bool) {
	bare = true
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || i >= len(r.Cells) {
			continue
		}
		cell := strings.TrimSpace(r.Cells[i])
		if _, ok := s.u.isSpan(cell); ok || isMangled(cell, r.kind(i)) {
			continue
		}
		if ref, rest := cutLead(cell); s.u.Columns[i].leads && rest != "" {
			refs, bare = append(refs, ref), false
		} else if ref, err := ParseRef(cell); err == nil && ref.Loop != "" {
			refs = append(refs, ref)
			bare = bare && isDigit(cell[0])
		}
	}
	return refs, bare
}

// weighOrder gives the points of an order; not possible: it changes nothing, or cannot be.
func (s *study) weighOrder(order, said RefOrder, refs []Ref) (w weighed[RefOrder], possible bool) {
	w.of = order
	known, onLoop, other := 0, 0, false
	for _, ref := range refs {
		as := order.turned(ref)
		other = other || !s.known.samePoint(as, ref)
		if s.known.holds(as) {
			known++
		}
		if s.known.hasLoop(as) {
			onLoop++
		}
	}
	if order == said {
		w.add(weightHeading, "its heading says so")
	} else if said != "" {
		w.add(-weightHeading, "its heading says otherwise")
	}
	if order == LoopAddress {
		w.add(weightUsual, "most lists have it so")
	}
	share := func(n int) float64 { return float64(n) / float64(len(refs)) }
	if s.known.hasPoints() && s.u.Kind == KindSchedule { // which may be of new points
		w.add(weightRegister*share(known), fmt.Sprintf("the register has %d of %d", known, len(refs)))
	} else if s.known.hasPoints() {
		w.add(weightRegister*(2*share(known)-1), fmt.Sprintf("the register has %d of %d", known, len(refs)))
	}
	if (!s.known.hasPoints() || s.u.Kind == KindSchedule) && s.known != nil && len(s.known.loops) > 0 {
		w.add(weightLoops*(2*share(onLoop)-1), fmt.Sprintf("%d of %d are on loops of the register", onLoop, len(refs)))
	}
	if padded := s.paddedRefs(); padded > 0 {
		w.add(weightShape*share(padded)*order.lastIsAddress(), fmt.Sprintf("%d end with a number of three digits, as addresses do", padded))
	}
	if order == AddressLoop {
		w.add(weightShape*share(s.paddedFirst()), "their first numbers have three digits, as addresses do")
	}
	loops, addresses := map[string]bool{}, map[int]bool{}
	written, points := map[Ref]bool{}, map[Ref]bool{}
	for _, ref := range refs {
		as := order.turned(ref)
		written[ref], points[as] = true, true
		loops[as.Loop], addresses[as.Address] = true, true
	}
	if lost := 1 - float64(len(points))/float64(len(written)); lost > 0 {
		w.add(-weightShape*lost, fmt.Sprintf("%d references would be of %d points", len(written), len(points)))
	}
	if len(refs) > 3 && len(loops) > len(addresses) {
		w.add(-weightShape, fmt.Sprintf("%d loops of %d numbers are not common", len(loops), len(addresses)))
	}
	return w, other || order == LoopAddress
}

// lastIsAddress is 1 for orders whose last part is the address, -1 for the others.
func (o RefOrder) lastIsAddress() float64 {
	if o == LoopAddress {
		return 1
	}
	return -1
}

// paddedRefs counts the references of the point column that end with a number of three digits with a zero in front.
func (s *study) paddedRefs() int {
	i, n := s.u.column(Point), 0
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || i >= len(r.Cells) {
			continue
		}
		cell := strings.TrimSpace(r.Cells[i])
		if at := len(cell) - 3; at > 0 && cell[at] == '0' && !isDigit(cell[at-1]) && isDigit(cell[at+1]) && isDigit(cell[at+2]) {
			n++
		}
	}
	return n
}

// doubtStrangers asks about references of which the register has few, though it has points: they may be numbers of
// another kind, such as those of a zone.
func (s *study) doubtStrangers(i int, refs []Ref) {
	const enough = 4
	u := s.u
	if len(refs) < enough || !s.known.hasPoints() || u.Kind == KindSchedule || u.Kind == KindTypes || u.profile.RefOrder != "" {
		return
	}
	known := 0
	for _, ref := range refs {
		if s.known.holds(u.refOrder.turned(ref)) {
			known++
		}
	}
	if 2*known >= len(refs) {
		return
	}
	u.askOnce(AskRefOrder, fmt.Sprintf("Column %q names %d points, such as %s, and the register has only %d. Are they loop and address?", u.columnName(i), len(refs), u.Columns[i].Samples[0], known),
		Choice{string(LoopAddress), "yes: rows of points that the register does not have are put aside"})
}

// paddedFirst counts the references of the point column that begin with a number of three digits with a zero in front.
func (s *study) paddedFirst() int {
	i, n := s.u.column(Point), 0
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || i >= len(r.Cells) {
			continue
		}
		if cell := strings.TrimSpace(r.Cells[i]); len(cell) > 4 && cell[0] == '0' && isDigit(cell[1]) && isDigit(cell[2]) && !isDigit(cell[3]) {
			n++
		}
	}
	return n
}

// doubtRefs asks about references for which nothing speaks that there is.
func (s *study) doubtRefs(i int, best weighed[RefOrder]) {
	s.u.askOnce(AskRefOrder, fmt.Sprintf("Column %q is written like references to points, such as %s, and what there is speaks against it: %s. Are they loop and address?",
		s.u.columnName(i), s.u.Columns[i].Samples[0], best.because()), Choice{string(LoopAddress), "yes, loop and address"})
}
