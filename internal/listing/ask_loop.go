package listing

import (
	"fmt"
	"slices"
)

// askForLoop asks on which loop the numbers of a list are that names none, where the site has several.
func (s *study) askForLoop() {
	u := s.u
	at := max(u.column(Point), u.column(Address))
	if u.Kind == KindSchedule && at >= 0 {
		s.askForLoopOfSchedule(at)
		return
	}
	if u.Kind == KindTypes || at < 0 || s.known == nil || len(s.known.loops) < 2 {
		return
	}
	if u.has(Loop) || u.context[Loop] != "" || u.profile.Constants[Loop] != "" || s.refsHaveLoops() || at == u.column(Point) && len(s.tagsOf(at)) > 0 {
		return
	}
	choices := s.known.loopChoices()
	u.askOnce(AskLoop, fmt.Sprintf("On which loop are the numbers of column %q? The site has %d.", u.columnName(at), len(choices)), choices...)
}

// loopChoices are the loops of the register, with their panels where there are several.
func (k *Known) loopChoices() []Choice {
	if k == nil {
		return nil
	}
	var choices []Choice
	for loop := range k.loops {
		name := loop.Loop
		if len(k.panels) > 1 {
			name = loop.Panel + "." + name
		}
		choices = append(choices, Choice{name, "loop " + name})
	}
	slices.SortFunc(choices, func(a, b Choice) int { return compareNames(a.Value, b.Value) })
	return choices
}

func compareNames(a, b string) int {
	if len(a) != len(b) {
		return len(a) - len(b)
	}
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
