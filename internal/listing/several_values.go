package listing

import (
	"fmt"
	"slices"
	"strings"
)

// severalValues keeps several value columns as samples of one reading when their headings differ only
// in a running number, and asks otherwise.
func (s *study) severalValues() {
	if s.isWide() {
		return
	}
	var at []int
	same, bases := true, map[string]string{} // what is another quantity is no second candidate
	for i, c := range s.u.Columns {
		if m := s.matches[i]; c.Field == Value && m.strength != strengthProfile {
			at = append(at, i)
			if bases[m.quantity+string(m.apart)] == "" {
				bases[m.quantity+string(m.apart)] = m.base
			}
			first := bases[m.quantity+string(m.apart)]
			same = same && (m.base == first || isSlip(m.base, first)) && m.base != ""
		}
	}
	if len(at) < 2 || s.oneIsSure(at) {
		s.doubtPairsInCells(at)
		return
	}
	var choices []Choice
	var all []string
	for _, i := range at {
		c := &s.u.Columns[i]
		if same {
			c.Why += s.beside(at, i)
			continue
		}
		c.Field, c.Why = Unused, "several columns could be the value; "+s.whys[i]
		choices = append(choices, Choice{columnKey(i), s.u.columnName(i)})
		all = append(all, columnKey(i))
	}
	if !same {
		choices = append(choices, Choice{strings.Join(all, ","), "all of them: samples of one reading"})
		s.u.ask(AskValue, "Which column is the value?", choices...)
		return
	}
	s.askAlike(s.byHeadingAlone(at))
}

// beside says how a value column goes with the others.
func (s *study) beside(at []int, i int) string {
	for _, other := range at {
		if other != i && s.u.sameMeasure(other, i) {
			return ", one of several samples"
		}
	}
	return ", a reading by itself"
}

// sameMeasure reports whether two value columns hold samples of one thing.
func (u *Understanding) sameMeasure(a, b int) bool {
	return u.Columns[a].Quantity == u.Columns[b].Quantity && u.Columns[a].apart == u.Columns[b].apart && u.Columns[a].Unit == u.Columns[b].Unit
}

// oneIsSure keeps the one column that is headed as the value and nothing else, if there is just one.
func (s *study) oneIsSure(at []int) bool {
	sure := slices.DeleteFunc(slices.Clone(at), func(i int) bool { return s.matches[i].strength < strengthExact })
	if len(sure) != 1 {
		return false
	}
	for _, i := range at {
		if c := &s.u.Columns[i]; i != sure[0] {
			c.Field, c.Why = Unused, fmt.Sprintf("its heading has %q in it, but column %s is headed so alone", s.matches[i].word, s.u.columnName(sure[0]))
		}
	}
	return true
}
