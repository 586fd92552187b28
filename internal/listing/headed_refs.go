package listing

// findHeadedRefs finds the column of the points under a heading that is of another thing: one of panels or loops whose cells are
// whole references that the register has, and one of days in front of days of visits, which heads its own row.
func (s *study) findHeadedRefs() {
	if s.found(Point, Address, Wanted, standing, setNumber) {
		return
	}
	visits := 0
	for _, c := range s.u.Columns {
		if s.u.lx.visitDate(c.Heading) != "" {
			visits++
		}
	}
	for i := range s.matches {
		m, c := &s.matches[i], &s.content[i]
		part := (m.field == Panel || m.field == Loop) && c.mostly(c.held)
		corner := m.field == Date && visits > 1 && c.dates == 0 && c.mostly(c.refs+c.weak)
		if m.strength != strengthProfile && (part || corner) {
			m.field, m.strength = Point, max(m.strength, strengthNear)
			return
		}
	}
}

// isMangled: a cell of a point is a day, which a program made of 1-1 or the like: one kept as a day, or written with its year.
func isMangled(cell string, kind cellKind) bool {
	if kind&cellDate != 0 {
		return true
	}
	const shortest = len("1-1-2026")
	if len(cell) < shortest || len(cell) > len("2026-01-01 00:00:00") || !isDigit(cell[0]) {
		return false
	}
	raw, ok := splitDate(cell)
	return ok && raw.possible() && hasFullYear(cell)
}

// hasFullYear: a year of four digits begins or ends the day in a text.
func hasFullYear(text string) bool {
	digits := 0
	for at := 0; at <= len(text); at++ {
		if at < len(text) && isDigit(text[at]) {
			digits++
			continue
		}
		if n, ok := wholeNumber(text[at-digits : at]); ok && digits == 4 && n >= 1900 && n < 2100 {
			return true
		}
		digits = 0
	}
	return false
}
