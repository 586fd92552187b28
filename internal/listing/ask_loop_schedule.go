package listing

import (
	"fmt"
	"slices"
	"strings"
)

// askForLoopOfSchedule asks on which loop the points of a schedule are that names none. On a site of one loop the register
// tells, where it has the row's types or places at these numbers, and none contradicts.
func (s *study) askForLoopOfSchedule(at int) {
	u := s.u
	if u.has(Loop) || u.context[Loop] != "" || u.profile.Constants[Loop] != "" || s.refsHaveLoops() || s.loopsStandBetween() {
		return
	}
	if loop, only := s.known.onlyLoop(); only && s.registerHas(at, loop) {
		u.context[Loop] = loop.Loop
		return
	}
	u.askOnce(AskLoop, fmt.Sprintf("On which loop are the numbers of column %q? The schedule names none.", u.columnName(at)), s.known.loopChoices()...)
}

// onlyLoop gives the loop of a site that has one.
func (k *Known) onlyLoop() (Ref, bool) {
	if k == nil || len(k.loops) != 1 {
		return Ref{}, false
	}
	for loop := range k.loops {
		return loop, true
	}
	return Ref{}, false
}

// registerHas: the register has what the rows say at their numbers on a loop, and nothing else.
func (s *study) registerHas(at int, loop Ref) bool {
	kind, agree := s.u.column(Type), 0
	for _, r := range s.sample {
		if r.Line <= s.u.HeaderLine || at >= len(r.Cells) || kind < 0 || kind >= len(r.Cells) {
			continue
		}
		ref, err := ParseRef(strings.TrimSpace(r.Cells[at]))
		if err != nil {
			continue
		}
		loop.Address = ref.Address
		switch has, known := s.known.points[loop]; {
		case !known:
		case typeKey(has) == typeKey(r.Cells[kind]):
			agree++
		default:
			return false
		}
	}
	return agree > 1
}

// loopsStandBetween: titles among the rows say the loop.
func (s *study) loopsStandBetween() bool {
	return slices.ContainsFunc(s.sample, func(r Row) bool {
		n := filledCells(r.Cells)
		return n > 0 && n <= 2 && s.u.lx.contextOf(strings.Join(r.Cells, " "))[Loop] != ""
	})
}
