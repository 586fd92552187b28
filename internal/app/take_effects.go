package app

import (
	"fmt"

	"sootline"
)

// Effect is something that a listing does to what the book knows already. It needs a yes of its own.
type Effect string

// The effects.
const (
	EffectReplace Effect = "replace" // another device at a known point
	EffectMove    Effect = "move"    // another zone, area or place on the loop
	EffectRename  Effect = "rename"  // another location of a known point
)

// Effects lists them.
func Effects() []Effect { return []Effect{EffectReplace, EffectMove, EffectRename} }

// ParseEffects reads effects that are accepted.
func ParseEffects(names []string) ([]Effect, error) {
	var all []Effect
	for _, name := range names {
		switch e := Effect(name); e {
		case EffectReplace, EffectMove, EffectRename:
			all = append(all, e)
		default:
			return nil, sootline.Errorf(sootline.Invalid, "write replace, move or rename", "%q is nothing that a listing does to what is known", name)
		}
	}
	return all, nil
}

// EffectRows counts the rows that would have an effect, with the first of them.
type EffectRows struct {
	Rows  int
	First []int
	Held  int // how many of those were put aside, for want of a yes
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
	if len(u.First) < shown {
		u.First = append(u.First, line)
	}
	for _, allowed := range t.opts.Allow {
		if allowed == e {
			return ""
		}
	}
	u.Held++
	return fmt.Sprintf("%s; it is not done unasked: allow %s", says, e)
}

// Held counts the rows that are held for want of a yes to an effect.
func (o *Outcome) Held(e Effect) int {
	n := 0
	for _, t := range o.Tables {
		if u := t.Undoes[e]; u != nil {
			n += u.Held
		}
	}
	return n
}
