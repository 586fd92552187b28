package app

import (
	"fmt"
	"slices"
	"strings"

	"sootline"
)

// Effect is something that a listing does to what the book knows already. It needs a yes of its own.
type Effect string

// The effects.
const (
	EffectReplace Effect = "replace" // another device of the same type at a known point
	EffectRetype  Effect = "retype"  // a device of another type at a known point
	EffectMove    Effect = "move"    // another zone, area, floor or place on the cable
	EffectRename  Effect = "rename"  // another location of a known point
	EffectRemove  Effect = "remove"  // nothing is fitted at a known point any more
	EffectSet     Effect = "set"     // another choice of a setting that is wanted of a known point
	EffectSheet   Effect = "sheet"   // other facts on the sheet of a known type
)

// Effects lists them.
func Effects() []Effect {
	return []Effect{EffectReplace, EffectRetype, EffectMove, EffectRename, EffectRemove, EffectSet, EffectSheet}
}

// Does says what is done to so many points or sheets, as in "the schedule renames 5 places".
func (e Effect) Does(n int) string {
	return fmt.Sprintf(map[Effect]string{
		EffectReplace: "replaces %s", EffectRetype: "changes the type of %s", EffectMove: "moves %s",
		EffectRename: "renames %s", EffectRemove: "removes %s", EffectSet: "changes the settings of %s", EffectSheet: "changes %s",
	}[e], e.counted(n))
}

// Ask asks whether it may be done, as in "rename 5 places?".
func (e Effect) Ask(n int) string {
	return fmt.Sprintf(map[Effect]string{
		EffectReplace: "replace %s?", EffectRetype: "change the type of %s?", EffectMove: "move %s?",
		EffectRename: "rename %s?", EffectRemove: "remove %s?", EffectSet: "change the settings of %s?", EffectSheet: "change %s?",
	}[e], e.counted(n))
}

// none says that nothing of the kind is done.
func (e Effect) none() string {
	if e == EffectRetype {
		return "changes the type of 0"
	}
	verb, _, _ := strings.Cut(e.Does(0), " ")
	return verb + " 0"
}

func (e Effect) counted(n int) string {
	switch e {
	case EffectReplace:
		return numbered(n, "device", "devices")
	case EffectRename:
		return numbered(n, "place", "places")
	case EffectSheet:
		return numbered(n, "type sheet", "type sheets")
	}
	return numbered(n, "point", "points")
}

// ParseEffects reads effects that are accepted.
func ParseEffects(names []string) ([]Effect, error) {
	var all []Effect
	for _, name := range names {
		if !slices.Contains(Effects(), Effect(name)) {
			return nil, sootline.Errorf(sootline.Invalid, "write "+effectNames(), "%q is nothing that a listing does to what is known", name)
		}
		all = append(all, Effect(name))
	}
	return all, nil
}

func effectNames() string {
	names := make([]string, len(Effects()))
	for i, e := range Effects() {
		names[i] = string(e)
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// EffectRows counts the rows that would have an effect.
type EffectRows struct {
	Rows int
	Says []Remark // what the register says and what the row says, of the first of them
	Held int      // how many of those were put aside, for want of a yes
}

// Where names the first of the rows.
func (u *EffectRows) Where() string {
	lines := make([]int, len(u.Says))
	for i, says := range u.Says {
		lines[i] = says.Line
	}
	if u.Rows > len(lines) {
		return fmt.Sprintf("%s and others, %d in all", rowsNamed(lines[:min(12, len(lines))]), u.Rows)
	}
	return rowsNamed(lines)
}

// effect notes that a row would undo something, and says why it is held where nobody accepted that.
func (t *taker) effect(o *TableOutcome, line int, e Effect, says string) (held string) {
	if o.Undoes == nil {
		o.Undoes = map[Effect]*EffectRows{}
	}
	u := o.Undoes[e]
	if u == nil {
		u = &EffectRows{}
		o.Undoes[e] = u
	}
	u.Rows++
	if len(u.Says) < shown {
		u.Says = append(u.Says, Remark{line, says})
	}
	if slices.Contains(t.opts.Allow, e) {
		return ""
	}
	u.Held++
	return fmt.Sprintf("%s; it is not done unasked: allow %s", says, e)
}

// Undone gives what the rows of all tables would do to what is known, by one effect.
func (o *Outcome) Undone(e Effect) EffectRows {
	var all EffectRows
	for _, t := range o.Tables {
		if u := t.Undoes[e]; u != nil {
			all.Rows += u.Rows
			all.Held += u.Held
			all.Says = append(all.Says, u.Says...)
		}
	}
	return all
}
