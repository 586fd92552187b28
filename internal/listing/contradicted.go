package listing

import (
	"fmt"
	"slices"
	"strings"
)

// ContraryMeant is how rows are meant that say other things of a point than the register.
type ContraryMeant string

// What becomes of such rows.
const (
	ContraryByPoint ContraryMeant = "point" // they are of the point that they name
	ContraryLeft    ContraryMeant = "left"  // they are put aside
)

// claim is a column that is not taken, and says of the row's point what the register says too.
type claim slot

// told is what a register says of one point.
type told struct {
	place, zone string // folded
	shared      bool   // several points carry the number
}

// note keeps what a point is told by.
func (k *Known) note(ref Ref, row ScheduleRow) {
	place, zone := fold(row.Location), normalName(strings.TrimSpace(row.Zone))
	if before, twice := k.told[ref]; twice && (before.place != place || before.zone != zone || typeKey(k.points[ref]) != typeKey(row.Type)) {
		k.told[ref] = told{shared: true}
	} else if !twice {
		k.told[ref] = told{place: place, zone: zone}
	}
	if at, twice := k.placeAt[place]; twice && at != ref {
		ref = Ref{}
	}
	k.placeAt[place] = ref
}

// whole gives the one point that a reference names, with its panel and loop; false: none, or several.
func (k *Known) whole(ref Ref) (Ref, bool) {
	found, n := Ref{}, 0
	for loop := range k.loops {
		if otherThan(ref.Panel, loop.Panel) || otherThan(ref.Loop, loop.Loop) {
			continue
		}
		loop.Address = ref.Address
		if _, ok := k.points[loop]; ok {
			found, n = loop, n+1
		}
	}
	return found, n == 1 && !k.told[found].shared
}

// contrary tells how the register contradicts what a cell says of a point; same: it says the same. Neither: it does not
// say, or knows no such thing.
func (k *Known) contrary(ref Ref, f Field, cell string) (has string, same bool) {
	of, ok := k.whole(ref)
	if !ok || cell == "" {
		return "", false
	}
	told := k.told[of]
	switch f {
	case Location:
		at := k.placeAt[fold(cell)]
		if at.Loop != "" && at != of && told.place != "" {
			return fmt.Sprintf("which the register has at number %d of loop %s", at.Address, at.Loop), false
		}
		return "", at == of || told.place != "" && shareWord(told.place, fold(cell))
	case Type:
		fitted := k.points[of]
		if fitted != "" && k.isType(cell) && typeKey(cell) != typeKey(fitted) {
			return "where the register has " + fitted, false
		}
		return "", fitted != "" && typeKey(cell) == typeKey(fitted)
	case Zone:
		zone := parseName(cell, 'Z')
		if told.zone != "" && zone != told.zone {
			return "where the register has zone " + told.zone, false
		}
		return "", told.zone != ""
	}
	return "", false
}

// settleClaims finds the columns that say of a point what the register says too, and asks where one mostly contradicts it.
func (s *study) settleClaims() {
	u := s.u
	if u.Kind != KindUnknown && u.Kind != KindTypes {
		s.doubtTitleLoop()
	}
	s.doubtTitleZone()
	if u.Kind == KindUnknown || u.Kind == KindSchedule || u.Kind == KindTypes || !s.known.hasPoints() || u.profile.Contrary == ContraryByPoint {
		return
	}
	for i, m := range s.matches {
		if c := u.Columns[i]; c.Field == Unused && m.strength >= strengthNear && s.barred[i] == "" && slices.Contains([]Field{Location, Type, Zone}, m.field) {
			u.claims = append(u.claims, claim{column: i, field: m.field})
			u.Columns[i].Why += refusesRows(m.field)
		}
	}
	if u.profile.Contrary == "" && u.profile.RefOrder == "" {
		for _, c := range u.claims {
			s.doubtClaim(c)
		}
	}
	s.doubtAreas()
}

// doubtClaim asks about a column of which the register contradicts more cells than it bears out.
func (s *study) doubtClaim(c claim) {
	const fewest = 2
	u, example := s.u, ""
	contrary, same := 0, 0
	if c.field == Location {
		contrary, example = s.strangePlaces(c)
	}
	for _, row := range s.sample {
		if row.Line <= u.HeaderLine || c.column >= len(row.Cells) || u.saysReplaced(&row, c) {
			continue
		}
		cell := strings.TrimSpace(row.Cells[c.column])
		ref := u.refOf(&row)
		has, agrees := s.known.contrary(ref, c.field, cell)
		switch {
		case has != "":
			if contrary++; example == "" {
				example = fmt.Sprintf("row %d says %q of number %d, %s", row.Line, cell, ref.Address, has)
			}
		case agrees:
			same++
		}
	}
	if contrary < fewest || contrary <= same {
		return
	}
	u.askContrary(fmt.Sprintf("Column %q says otherwise than the register in %d of %d rows: %s.", u.columnName(c.column), contrary, contrary+same, example))
}

func (u *Understanding) askContrary(says string) {
	u.askOnce(AskContrary, says+" Are the rows of the points that they name?",
		Choice{string(ContraryByPoint), "yes, whatever else they say"}, Choice{string(ContraryLeft), "no: put such rows aside"})
}

// saysReplaced: a row says that the device was replaced, and may name the type of the new one.
func (u *Understanding) saysReplaced(row *Row, c claim) bool {
	if u.Kind != KindEvents || c.field != Type {
		return false
	}
	what, _ := u.lx.event(u.cell(row, What))
	return what == Replaced
}

// holdAgainstRegister refuses a row that says of its point what the register says of another one.
func (r *rowReader) holdAgainstRegister(ref Ref) {
	if zone := r.u.titleZone; zone != "" {
		if has, _ := r.u.known.contrary(ref, Zone, zone); has != "" {
			r.fail(-1, "a point of zone "+zone+", as the title says", fmt.Sprintf("number %d, %s", ref.Address, has), "")
			return
		}
	}
	if otherThan(ref.Loop, r.u.titleLoop) {
		r.fail(r.loop.column, "loop "+r.u.titleLoop+", as the title says", "loop "+ref.Loop, "")
		return
	}
	r.holdArea()
	for _, c := range r.u.claims {
		cell, _ := r.get(slot(c))
		if has, _ := r.u.known.contrary(ref, c.field, cell); has != "" && !r.u.saysReplaced(r.row, c) {
			r.fail(c.column, fmt.Sprintf("what the register has at number %d, as the row says", ref.Address), quoteShort(cell)+", "+has, "")
			return
		}
		if place := r.u.placeLeft(c, ref, cell); place != "" {
			r.fail(c.column, fmt.Sprintf("%q, as the register has at number %d", place, ref.Address), quoteShort(cell), "it was put aside, as was answered")
			return
		}
	}
}

// countsBesidePlaces: a column headed as mere numbers counts the rows, for the places beside it are at other numbers.
func (s *study) countsBesidePlaces(i int) bool {
	if s.matches[i].field != number || !s.content[i].counts() || !s.known.hasPoints() {
		return false
	}
	for j, m := range s.matches {
		if m.field != Location || m.strength < strengthNear {
			continue
		}
		like, unlike := 0, 0
		for _, row := range s.sample {
			if row.Line <= s.u.HeaderLine || len(row.Cells) <= max(i, j) {
				continue
			}
			at := s.known.placeAt[fold(row.Cells[j])]
			n, err := parseAddress(row.Cells[i])
			switch {
			case err != nil || at.Loop == "":
			case n == at.Address:
				like++
			default:
				unlike++
			}
		}
		if unlike > like {
			return true
		}
	}
	return false
}
