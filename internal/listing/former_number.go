package listing

import "fmt"

// settleFormer finds, in a schedule of which a person said which column has the numbers, what tells that those are new numbers of
// devices that the register has: a column of their old ones, and a heading of wanted ones.
func (s *study) settleFormer() {
	u := s.u
	u.former, u.headedWanted = -1, false
	at := max(u.column(Point), u.column(Address))
	if u.Kind != KindSchedule || at < 0 || !s.known.hasPoints() {
		return
	}
	u.headedWanted = u.lx.heading(u.Columns[at].Heading).field == Wanted
	for i, c := range u.Columns {
		if c.Field == Unused && u.lx.heading(c.Heading).field == standing {
			u.former = i
		}
	}
}

// holdFormer refuses a row that would fit a device of the register a second time, at the number that it shall have.
func (r *rowReader) holdFormer(ref Ref) {
	if r.u.former < 0 && !r.u.headedWanted || r.u.profile.Numbers == NumbersWanted || r.u.known.holds(ref) {
		return
	}
	var of Ref
	known := false
	if cell, _ := r.get(slot{column: r.u.former}); cell != "" {
		if was, ok := numberOfPoint(cell); ok && !otherThan(was.Loop, ref.Loop) {
			of = Ref{Panel: ref.Panel, Loop: ref.Loop, Address: was.Address}
			known = r.u.known.holds(of)
		}
	}
	if !known && r.u.headedWanted {
		of, known = r.unitElsewhere()
	}
	if known {
		r.fail(-1, "the number at which the register has the device", fmt.Sprintf("%d; the register has it at %d, and it would stand there twice", ref.Address, of.Address),
			`a column of new numbers is mapped as "wanted number", beside the one of the old as "address"`)
	}
}

// unitElsewhere gives the point that the register has for the serial number or the place of a row.
func (r *rowReader) unitElsewhere() (Ref, bool) {
	if cell, _ := r.get(r.u.slot(Serial)); cell != "" {
		if of, ok := r.u.known.bySerial(cell); ok {
			return of, true
		}
	}
	cell, _ := r.get(r.u.slot(Location))
	of := r.u.known.placeAt[fold(cell)]
	return of, cell != "" && of.Loop != ""
}
