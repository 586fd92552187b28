package listing

import (
	"fmt"
	"strings"
)

// bareSchedule: a table without headings has a column of types beside whole numbers, and neither days nor what happened: it lists what is
// fitted.
func (s *study) bareSchedule() bool {
	if s.u.HeaderLine != 0 || len(s.wholeColumns()) < 2 {
		return false
	}
	typed := false
	for i, role := range s.roles {
		c := &s.content[i]
		if role == Date || role == What || role == Result || role == Time {
			return false
		}
		typed = typed || c.filled > 0 && (c.mostly(c.types) || c.mostly(c.devices))
	}
	return typed
}

// wholeColumns gives the columns of whole numbers that an address can be.
func (s *study) wholeColumns() (at []int) {
	const most = 4 // loop, address, zone and one more
	for i := range s.content {
		c := &s.content[i]
		if s.barred[i] != "" || c.filled == 0 || c.numbers < c.filled || c.low < 0 || c.high > 999 || c.lists > 0 {
			continue
		}
		whole := true
		for cell := range c.distinct {
			_, ok := wholeNumber(cell)
			whole = whole && ok
		}
		if whole {
			at = append(at, i)
		}
	}
	if len(at) > most {
		return nil
	}
	return at
}

// bareChoices offers the pairs of columns that can be loop and address: no two rows are the same point, no list has more loops than
// numbers, and the loops are those of the register where it has some.
func (s *study) bareChoices() (choices []Choice) {
	at := s.wholeColumns()
	for _, loop := range at {
		for _, address := range at {
			if loop == address || !s.canBeLoop(loop, address) {
				continue
			}
			answer := fmt.Sprintf("%s=%s,%s=%s", columnKey(loop), Loop, columnKey(address), Address)
			says := fmt.Sprintf("%s is the loop, %s the address", s.u.columnName(loop), s.u.columnName(address))
			for _, other := range at {
				if other != loop && other != address && len(at) == 3 {
					answer += fmt.Sprintf(",%s=%s", columnKey(other), Zone)
					says += fmt.Sprintf(", %s the zone", s.u.columnName(other))
				}
			}
			choices = append(choices, Choice{answer, says})
		}
	}
	return choices
}

func (s *study) canBeLoop(loop, address int) bool {
	seen, loops, numbers := map[[2]string]bool{}, map[string]bool{}, map[string]bool{}
	for _, r := range s.sample {
		if len(r.Cells) <= max(loop, address) {
			continue
		}
		l, a := normalName(strings.TrimSpace(r.Cells[loop])), normalName(strings.TrimSpace(r.Cells[address]))
		if l == "" || a == "" {
			continue
		}
		if seen[[2]string{l, a}] || s.known != nil && len(s.known.loops) > 0 && !s.known.hasLoop(Ref{Loop: l}) {
			return false
		}
		seen[[2]string{l, a}], loops[l], numbers[a] = true, true, true
	}
	return len(loops) <= len(numbers)
}
