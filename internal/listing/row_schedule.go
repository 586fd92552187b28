package listing

import (
	"cmp"
)

func (r *rowReader) readSchedule() *ScheduleRow {
	s := &r.schedule
	*s = ScheduleRow{Ref: r.ref(), Fitted: r.when(false)}
	r.holdFormer(s.Ref)
	r.wantedNumber(s)
	if r.u.isVacantRow(r.row) {
		s.Vacant = r.u.saysVacant(r.row)
		return s
	}
	r.holdFitted()
	r.holdMark()
	r.holdPlace()
	r.holdRemoved()
	for _, slot := range r.rest {
		cell, kind := r.get(slot)
		if r.u.lx.isVacant(cell) && slot.field != Settings {
			continue
		}
		switch slot.field {
		case Type:
			if isDay := isWholeDate(cell); isDay {
				r.fail(slot.column, "a type of device", "the day "+cell, "")
			}
			s.Type = cell
		case Zone:
			s.Zone = cell
		case Area:
			s.Area = cell
		case Floor:
			s.Floor = cell
		case Location:
			s.Location = cell
		case Serial:
			s.Serial = cell
		case Settings:
			s.Settings = cell
		case Metres:
			s.Metres = r.metres(slot, cell, kind)
		case Spur:
			s.Spur = r.spur(slot, cell, s.Ref)
		}
	}
	r.namedSettings(s)
	s.Location = cmp.Or(s.Location, r.behind)
	return s
}

// wantedNumber reads the number that the device shall have: alone, or as a reference
// that gives the loop too.
func (r *rowReader) wantedNumber(s *ScheduleRow) {
	if r.wanted.column < 0 && r.u.profile.Numbers == NumbersWanted {
		s.Wanted, s.Ref.Address = s.Ref.Address, 0
		return
	}
	cell, _ := r.get(r.wanted)
	if cell == "" || cell == "-" || cell == "–" {
		return
	}
	ref, err := ParseRef(cell)
	if n, plain := parseAddress(cell); plain == nil {
		ref, err = Ref{Address: n}, nil
	}
	if err != nil || otherThan(ref.Loop, s.Ref.Loop) || otherThan(ref.Panel, s.Ref.Panel) {
		r.fail(r.wanted.column, "the number that the device shall have, on its own loop", quoteShort(cell), "")
		return
	}
	s.Wanted, s.Ref.Loop, s.Ref.Panel = ref.Address, cmp.Or(s.Ref.Loop, ref.Loop), cmp.Or(s.Ref.Panel, ref.Panel)
}

// spur reads the point that a spur hangs from: an address of the row's own loop, or a reference to it.
func (r *rowReader) spur(slot slot, cell string, own Ref) int {
	if cell == "" || cell == "-" {
		return 0
	}
	ref, err := ParseRef(cell)
	if err != nil || ref.Address < 1 || otherThan(ref.Loop, own.Loop) || otherThan(ref.Panel, own.Panel) {
		r.fail(slot.column, "the address of the point on the same loop that the spur hangs from", quoteShort(cell), "leave it empty for a point on the ring")
		return 0
	}
	return ref.Address
}
