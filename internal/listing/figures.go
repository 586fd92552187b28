package listing

import (
	"fmt"
	"strconv"
	"strings"
)

// Tags of four to six figures may have the loop in front of an address of three figures: 201001. How they are made up differs
// from panel to panel, so that it is asked; where the register bears out some of the ways, with those alone.

// Orders of figures that stand without a mark between them; the last three are the address.
const (
	FiguresLoop      RefOrder = "figures: loop, address"
	FiguresPanelLoop RefOrder = "figures: panel, loop, address" // the loop has two
	FiguresLoopZone  RefOrder = "figures: loop, zone, address"  // the zone has two, and is left out
)

// figureOrders gives them.
func figureOrders() []RefOrder { return []RefOrder{FiguresLoop, FiguresPanelLoop, FiguresLoopZone} }

const fewestFigures = 4

// ofFigures reads a number of four figures and more in an order of figures.
func (o RefOrder) ofFigures(ref Ref) Ref {
	const address, loop = 1000, 100
	front, n := ref.Address/address, ref.Address%address
	if ref.Loop != "" || front == 0 {
		return ref
	}
	as := Ref{Loop: strconv.Itoa(front), Address: n, Range: ref.Range}
	switch o {
	case FiguresPanelLoop:
		as.Loop = strconv.Itoa(front % loop)
		if front >= loop {
			as.Panel = strconv.Itoa(front / loop)
		}
	case FiguresLoopZone:
		as.Loop = strconv.Itoa(front / loop)
	}
	return as
}

// askFigures asks how tags of figures alone are made up, where the list says no loop besides.
func (s *study) askFigures(i int) bool {
	u := s.u
	refs := s.tagsOf(i)
	if len(refs) == 0 || u.has(Loop) || u.context[Loop] != "" || u.said[Loop] != "" || u.profile.Constants[Loop] != "" {
		return false
	}
	var choices, borneOut []Choice
	for _, order := range figureOrders() {
		as := order.turned(refs[0])
		if as.Loop == "0" || order != FiguresLoop && refs[0].Address < 100_000 {
			continue
		}
		on := "loop " + as.Loop
		if as.Panel != "" {
			on += " of panel " + as.Panel
		}
		choice := Choice{string(order), fmt.Sprintf("%s: %d is number %d on %s", order, refs[0].Address, as.Address, on)}
		choices = append(choices, choice)
		if held := s.heldAs(refs, order); 2*held >= len(refs) {
			choice.Text += fmt.Sprintf("; the register has %d of %d so", held, len(refs))
			borneOut = append(borneOut, choice)
		}
	}
	if len(borneOut) > 0 {
		choices = borneOut
	}
	u.askOnce(AskRefOrder, fmt.Sprintf("The numbers of column %q have more figures than addresses have, such as %d. How are they made up?", u.columnName(i), refs[0].Address), choices...)
	return true
}

// tagsOf gives the cells of a column as numbers, where all of them have four to six figures; else nil.
func (s *study) tagsOf(i int) (refs []Ref) {
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || i >= len(r.Cells) {
			continue
		}
		cell := strings.TrimSpace(r.Cells[i])
		n, whole := wholeNumber(cell)
		switch {
		case cell == "":
		case !whole || len(cell) < fewestFigures:
			return nil
		default:
			refs = append(refs, Ref{Address: n})
		}
	}
	return refs
}

// heldAs counts the references that the register has when they are read in an order.
func (s *study) heldAs(refs []Ref, order RefOrder) (n int) {
	for _, ref := range refs {
		if s.known.holds(order.turned(ref)) {
			n++
		}
	}
	return n
}
