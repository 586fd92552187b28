package listing

import "fmt"

// holdNewSerial refuses a row that gives the serial number of a new unit and says of no replacement, or whose new unit the
// register has elsewhere.
func (r *rowReader) holdNewSerial(s *EventRow) {
	column := r.u.column(NewSerial)
	if r.u.lx.isVacant(s.Serial) {
		s.Serial = ""
	}
	if s.Serial == "" || r.err != nil {
		return
	}
	if s.What != Replaced {
		r.fail(column, "a new unit only where one was replaced", quoteShort(s.Serial)+" beside "+string(s.What), "")
		return
	}
	if of, ok := r.u.known.bySerial(s.Serial); ok && (of.Address != s.Ref.Address || otherThan(of.Loop, s.Ref.Loop) || otherThan(of.Panel, s.Ref.Panel)) {
		r.fail(column, "a unit that is nowhere else", fmt.Sprintf("%s, which the register has at number %d of loop %s", quoteShort(s.Serial), of.Address, of.Loop), "")
	}
}
