package listing

import (
	"cmp"
	"strings"
)

// NothingFitted is why rows of a schedule are passed over that say so of their number.
const NothingFitted = "numbers at which nothing is fitted"

// isVacantRow: a row of a schedule says that nothing is fitted at its number.
func (u *Understanding) isVacantRow(row *Row) bool {
	if u.Kind != KindSchedule {
		return false
	}
	if _, not := u.saysNotFitted(row); not {
		return true
	}
	if status, _ := u.statusOf(row); strings.Trim(status, "-–— ") != "" && u.lx.isAbsent(status) {
		return true
	}
	kind, place := u.cell(row, Type), u.cell(row, Location)
	if kind == "" {
		return strings.Trim(place, "-–— ") != "" && u.lx.isAbsent(place)
	}
	return u.lx.isAbsent(kind) && !u.known.isType(kind)
}

// saysVacant gives the words that say so.
func (u *Understanding) saysVacant(row *Row) string {
	if cell, not := u.saysNotFitted(row); not {
		return strings.Clone(u.columnName(u.fittedMarks) + ": " + cell)
	}
	if status, _ := u.statusOf(row); u.lx.isAbsent(status) {
		return strings.Clone(status)
	}
	return strings.Clone(cmp.Or(u.cell(row, Type), u.cell(row, Location)))
}

// cell gives the trimmed cell of a field, empty where the table has none.
func (u *Understanding) cell(row *Row, f Field) string {
	cell, _ := slot{column: u.column(f), field: f}.get(row)
	return cell
}

// isFitted: the register has a device at the number of a row.
func (u *Understanding) isFitted(ref Ref) bool {
	if u.known == nil {
		return false
	}
	for loop := range u.known.loops {
		if otherThan(ref.Panel, loop.Panel) || ref.Loop != loop.Loop {
			continue
		}
		loop.Address = ref.Address
		if _, ok := u.known.points[loop]; ok {
			return true
		}
	}
	return false
}

// noted cuts "41 dirty" into the number and the words behind it.
func noted(cell string) (number, words string) {
	number, words, found := strings.Cut(strings.TrimSpace(cell), " ")
	words = strings.TrimSpace(words)
	if !found || words == "" || strings.ContainsAny(words, "0123456789<>=?~±") || !isDigit(number[len(number)-1]) {
		return "", ""
	}
	if _, ok := anyNumber(number); !ok || isUnit(words) {
		return "", ""
	}
	return number, strings.Trim(words, "()[]*,; ")
}
