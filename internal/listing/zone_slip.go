package listing

import "fmt"

// A heading of four letters is too short for one letter to tell that it is a slip: "Zoen" may be a name. What stands below it may
// bear it out: the zones of the register, or numbers that come again and again, as zones do.

// findZoneSlip takes a column of a schedule for the zone whose heading is a slip away from that word.
func (s *study) findZoneSlip() {
	u := s.u
	if u.Kind != KindSchedule || u.has(Zone) || u.HeaderLine == 0 {
		return
	}
	for i, c := range u.Columns {
		if c.Field != Unused || s.barred[i] != "" || s.matches[i].field != "" || s.matches[i].strength == strengthProfile {
			continue
		}
		word, exchanged := s.u.lx.zoneSlip(c.Heading)
		if word == "" {
			continue
		}
		agree, contrary := s.zonesAgree(i)
		switch held := &s.content[i]; {
		case contrary > 0 || agree == 0 && !exchanged:
			continue
		case agree > 0:
			u.Columns[i].Why = fmt.Sprintf("the heading %q is a slip away from %q, and %d rows have the zone of the register", c.Heading, word, agree)
		case held.mostly(held.numbers) && len(held.distinct) < held.filled:
			u.Columns[i].Why = fmt.Sprintf("the heading %q is %q with two letters exchanged, and its numbers come again as zones do", c.Heading, word)
		default:
			continue
		}
		u.Columns[i].Field = Zone
		return
	}
}

// zoneSlip gives the word for a zone that a heading of one word is a slip away from; exchanged: by two letters.
func (lx *lexicon) zoneSlip(heading string) (word string, exchanged bool) {
	said := withoutNumberWord(fold(heading))
	const shortest = 4
	if len(said) < shortest || lx.headings[said] != "" {
		return "", false
	}
	for known, field := range lx.headings {
		if field != Zone || len(known) < shortest || !isSlip(said, known) || word != "" && word <= known {
			continue
		}
		word, exchanged = known, len(said) == len(known) && sameLetters(said, known)
	}
	return word, exchanged
}

// sameLetters: two words have the same letters, in whatever order.
func sameLetters(a, b string) bool {
	var count [256]int
	for i := range len(a) {
		count[a[i]]++
		count[b[i]]--
	}
	return count == [256]int{}
}

// zonesAgree counts the rows whose cell is, and is not, the zone that the register has of their point.
func (s *study) zonesAgree(column int) (agree, contrary int) {
	for _, row := range s.sample {
		cell := trimmedAt(row.Cells, column)
		if row.Line <= s.u.HeaderLine || cell == "" || !s.known.hasPoints() {
			continue
		}
		switch has, same := s.known.contrary(s.u.refOf(&row), Zone, cell); {
		case has != "":
			contrary++
		case same:
			agree++
		}
	}
	return agree, contrary
}
