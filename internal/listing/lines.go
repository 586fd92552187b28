package listing

import (
	"fmt"
	"strings"
)

// refuseTellingLines refuses lines without columns that say something of points: they are no mere words, and to leave
// them alone would lose it. XML is such lines too.
func (s *study) refuseTellingLines() {
	telling, lines := 0, 0
	for i, r := range s.sample {
		first, _ := firstFilled(r.Cells)
		if first < 0 {
			continue
		}
		line := strings.TrimSpace(r.Cells[first])
		if i == 0 && strings.HasPrefix(line, "<") {
			s.u.KindWhy, s.u.Refused = "it is written in XML, which is not read; save it as CSV or XLSX where it comes from", true
			return
		}
		lines++
		if isTelling(line) {
			telling++
		}
	}
	if telling > 0 && 2*telling >= lines {
		s.u.Refused = true
		s.u.KindWhy = fmt.Sprintf("%d of its %d lines name a point or end in a value, but nothing parts them into columns; put a comma, a semicolon or a tab between what stands in them", telling, lines)
	}
}

// isTelling: a line begins with a reference to a point, or has words before a number at its end.
func isTelling(line string) bool {
	words := strings.Fields(line)
	if len(words) < 2 {
		return false
	}
	if ref, err := ParseRef(words[0]); err == nil && ref.Loop != "" {
		return true
	}
	before, last := words[len(words)-2], words[len(words)-1]
	_, number := anyNumber(last)
	return number && strings.HasSuffix(before, ":")
}

// columnsTell: the cells of a column are mostly numbers, days or references, and there are several.
func (s *study) columnsTell() bool {
	for i := range s.content {
		if c := &s.content[i]; c.filled > 1 && c.half(c.numbers+c.dates+c.refs+c.weak) {
			return true
		}
	}
	return false
}
