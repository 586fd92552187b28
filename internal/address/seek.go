package address

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
)

// How much is tried: of so many differences, so many sets are kept at a time,
// and so many steps from each.
const (
	fewTraces            = 60
	keptOfFew, triedOf   = 6, 12
	keptOfMany, triedOne = 1, 2
)

// trail is a set of mistakes in the making: those of several devices, taken one
// after another, and what they leave, explained one by one.
type trail struct {
	on     *board
	traces []Trace
	taken  []Explanation
	odds   odds // of those taken
	left   []Explanation
	all    odds // with those left
}

func (s *scene) newTrail(from belief, taken ...Explanation) *trail {
	t := &trail{on: s.newBoard(from), taken: taken}
	t.traces = t.on.all()
	for _, e := range taken {
		t.odds += e.odds
	}
	var left odds
	t.left, left = t.on.singly(t.traces)
	t.all = t.odds + left
	return t
}

// with is the trail with one more mistake taken.
func (t *trail) with(e Explanation) *trail {
	return t.on.newTrail(t.on.after(e), append(slices.Clip(t.taken), e)...)
}

// key is the same for the same mistakes in any order.
func (t *trail) key() string {
	var keys []string
	for _, e := range t.taken {
		keys = append(keys, fmt.Sprint(e.Kind, e.Moved))
	}
	slices.Sort(keys)
	return strings.Join(keys, ";")
}

// seek looks for the likeliest set: from each of the sets kept, the mistakes of
// several devices that promise most are tried, as long as one of them makes a
// set likelier. It gives the others that were kept on the way too.
func (s *scene) seek(ctx context.Context, root *trail) (best *trail, others []*trail, err error) {
	best = root
	kept := []*trail{root}
	width, tries := keptOfFew, triedOf
	if len(root.traces) > fewTraces {
		width, tries = keptOfMany, triedOne
	}
	for len(kept) > 0 {
		var next []*trail
		seen := map[string]bool{}
		for _, t := range kept {
			if err := ctx.Err(); err != nil {
				return nil, nil, err
			}
			for _, e := range t.promising(tries) {
				longer := t.with(e)
				if key := longer.key(); longer.all < t.all && !seen[key] {
					seen[key] = true
					next = append(next, longer)
				}
			}
		}
		slices.SortStableFunc(next, func(a, b *trail) int { return cmp.Compare(a.all, b.all) })
		others = append(others, kept...)
		kept = next[:min(len(next), width)]
		if len(kept) > 0 && kept[0].all < best.all {
			best = kept[0]
		}
	}
	return best, others, nil
}

// promising lists mistakes of several devices that account for some trace, those
// that with an estimate of what they leave are likeliest first.
func (t *trail) promising(most int) []Explanation {
	type guess struct {
		Explanation
		all odds
	}
	var all []guess
	for _, e := range t.on.ofSeveral(t.traces) {
		e = t.on.rate(e)
		var left odds
		if e.Clears, left = t.on.try(e); e.Clears > 0 {
			all = append(all, guess{e, e.odds + left})
		}
	}
	slices.SortStableFunc(all, func(a, b guess) int {
		return cmp.Or(cmp.Compare(a.all, b.all), cmp.Compare(len(a.Moved), len(b.Moved)), cmp.Compare(a.Number, b.Number))
	})
	var first []Explanation
	for _, g := range all[:min(len(all), most)] {
		first = append(first, g.Explanation)
	}
	return first
}

// ofSeveral lists every mistake of several devices that is tried.
func (b *board) ofSeveral(traces []Trace) []Explanation {
	by := sorted(traces)
	return slices.Concat(b.unset(by), b.misSetBySerial(by), b.exchanged(by), b.rings(by), b.shifted(by), b.lost(by), b.allMisread())
}

// whole lists the mistakes of a trail, that which accounts for most first.
func (t *trail) whole() []Explanation {
	all := slices.Clone(t.taken)
	for _, e := range t.left {
		e.Clears = e.traces
		all = append(all, e)
	}
	slices.SortStableFunc(all, func(a, b Explanation) int {
		return cmp.Or(cmp.Compare(b.Clears, a.Clears), cmp.Compare(a.odds, b.odds), cmp.Compare(a.Number, b.Number))
	})
	return all
}
