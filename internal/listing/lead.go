package listing

import (
	"fmt"
	"strings"
)

// Prints of events have the point in front of its text, in one column: "L1 D001 Weighbridge office".

// cutLead takes a reference with its loop off the front of a text; rest is empty where there is none, or nothing behind it.
func cutLead(cell string) (ref Ref, rest string) {
	const most = 4 // words of a reference, "Loop 1 Addr 073"
	words := strings.Fields(cell)
	for n := min(most, len(words)-1); n > 0; n-- {
		found, err := ParseRef(strings.Join(words[:n], " "))
		if err == nil && found.Loop != "" && isLetter(words[n][0]) {
			return found, strings.Join(words[n:], " ")
		}
	}
	return Ref{}, ""
}

// findLeads takes a column of a table without headings for the points where most of its cells have one in front of words, and
// where the register has points, most of these.
func (s *study) findLeads() {
	if s.u.HeaderLine > 0 {
		return
	}
	for i := range s.content {
		c := &s.content[i]
		if s.roles[i] != Text || c.filled < 2 {
			continue
		}
		leads, bare, held := 0, 0, 0
		for cell := range c.distinct {
			ref, rest := cutLead(cell)
			switch alone, err := ParseRef(cell); {
			case rest != "":
				leads++
			case err == nil && alone.Loop != "":
				ref, bare = alone, bare+1
			default:
				continue
			}
			if s.known.holds(ref) {
				held++
			}
		}
		if leads == 0 || leads+bare < len(c.distinct) || s.known.hasPoints() && 2*held < leads+bare {
			continue
		}
		s.roles[i], s.whys[i] = Point, fmt.Sprintf("its %d different cells begin with a reference to a point", len(c.distinct))
		s.u.Columns[i].leads = true
		return
	}
}

// cutLead takes the words behind the reference of a cell off it, and keeps them for the row.
func (r *rowReader) cutLead(cell string) string {
	if r.point.column < 0 || !r.u.Columns[r.point.column].leads {
		return cell
	}
	_, r.behind = cutLead(cell)
	return strings.TrimSpace(strings.TrimSuffix(strings.Join(strings.Fields(cell), " "), r.behind))
}
