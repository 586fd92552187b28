package app

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sootline"
)

// resets says why a row is held that gives settings of a known point another choice. What only adds a setting needs no yes.
func (s *scheduler) resets(line int, p *sootline.Point, wanted map[string]string) (held []string) {
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(wanted)) {
		if was, known := p.Wants[name]; known && was != wanted[name] {
			parts = append(parts, fmt.Sprintf("%s %s, and the row %s", name, was, wanted[name]))
		}
	}
	if len(parts) == 0 {
		return nil
	}
	if why := s.effect(s.o, line, EffectSet, fmt.Sprintf("at %s is wanted %s", p.Ref(), strings.Join(parts, "; "))); why != "" {
		held = append(held, why)
	}
	return held
}

// allWanted reports whether all that is wanted is wanted already.
func allWanted(wanted, already map[string]string) bool {
	for name, choice := range wanted {
		if was, known := already[name]; !known || was != choice {
			return false
		}
	}
	return true
}
