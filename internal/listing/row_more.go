package listing

import (
	"fmt"
	"strings"

	"sootline"
)

// ordered takes a heading of several parts for what it says of references.
func (s *study) ordered(i int, m match) match {
	if m.strength == strengthProfile {
		return m
	}
	switch order := s.u.lx.orderOfHeading(s.u.Columns[i].Heading); order {
	case "":
		return m
	case ZoneDevice:
		if s.u.profile.RefOrder.countsInZones() && s.known.hasPoints() {
			return match{field: Point, strength: strengthExact, word: string(order)}
		}
		s.barred[i] = fmt.Sprintf("the heading %q names a zone and a device within it, and the register has no such numbers", s.u.Columns[i].Heading)
		return match{strength: strengthExact}
	default:
		return match{field: Point, strength: strengthExact, word: string(order)}
	}
}

// cutRange takes the letter of a range off a number: 073m, M073.
func cutRange(s string) (rest string, of sootline.NumberRange) {
	if rest, of := sootline.CutRange(s); of != "" {
		return rest, of
	}
	return rangeInFront(s)
}

// rangeInFront takes the letter of a range off the front of the address of a reference: M073, L2D073.
func rangeInFront(s string) (rest string, of sootline.NumberRange) {
	const mostDigits = 3
	at := len(s)
	for at > 0 && isDigit(s[at-1]) {
		at--
	}
	if at == 0 || at == len(s) || len(s)-at > mostDigits || at > 1 && isLetter(s[at-2]) {
		return s, ""
	}
	switch letter := sootline.NumberRange(strings.ToLower(s[at-1 : at])); letter {
	case sootline.DetectorRange, sootline.ModuleRange:
		head := s[:at-1]
		if head != "" && isDigit(head[len(head)-1]) {
			head += "/"
		}
		return head + s[at:], letter
	}
	return s, ""
}

// bySerial finds the point of a unit.
func (r *rowReader) bySerial(cell string) (Ref, int, bool) {
	ref, ok := r.u.known.bySerial(cell)
	if !ok {
		r.fail(r.serial.column, "the serial number of one unit of the register", quoteShort(cell), "take in its schedule first, or name the point")
	}
	return ref, r.serial.column, ok
}

// holdAgainstSerial refuses a row whose serial number is that of the unit of another point. In a schedule it tells of
// a device that was exchanged, and is looked at there.
func (r *rowReader) holdAgainstSerial(ref Ref) {
	cell, _ := r.get(r.serial)
	if cell == "" || r.u.Kind == KindSchedule {
		return
	}
	of, ok := r.u.known.bySerial(cell)
	if ok && (of.Address != ref.Address || otherThan(of.Loop, ref.Loop) || otherThan(of.Panel, ref.Panel)) {
		r.fail(r.serial.column, fmt.Sprintf("the unit at number %d, as the row says", ref.Address), fmt.Sprintf("%s, which the register has at number %d of loop %s", quoteShort(cell), of.Address, of.Loop), "")
	}
}

// agrees holds the columns that name a point against each other.
func (r *rowReader) agrees(ref Ref) bool {
	if cell, _ := r.get(r.address); cell != "" && r.address.column >= 0 {
		if n, err := parseAddress(cell); err == nil && n != ref.Address {
			r.fail(r.point.column, fmt.Sprintf("address %d, as its own column says", n), fmt.Sprintf("address %d", ref.Address), "")
			return false
		}
	}
	return true
}

// readFound reads at which number a device was found.
func (r *rowReader) readFound() *FoundRow {
	s := &r.found
	*s = FoundRow{Ref: r.ref(), When: r.when(false)}
	for _, slot := range r.rest {
		cell, _ := r.get(slot)
		switch slot.field {
		case Found:
			n, err := parseAddress(cell)
			if s.Number = n; err != nil || n == 0 {
				r.fail(slot.column, "the number at which it was found", quoteShort(cell), "")
			}
		case By:
			s.By = cell
		case Remark:
			s.Remark = cell
		}
	}
	return s
}

// namedSettings adds the settings that have a column each, by the names of their headings.
func (r *rowReader) namedSettings(s *ScheduleRow) {
	for i, c := range r.u.Columns {
		cell, _ := r.get(slot{column: i, field: Setting})
		if c.Field != Setting || cell == "" || r.u.lx.isVacant(cell) {
			continue
		}
		if s.Settings != "" {
			s.Settings += "; "
		}
		s.Settings += strings.TrimSpace(c.Heading) + "=" + cell
	}
}
