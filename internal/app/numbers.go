package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/store"
)

// NumberStyle is how loops are to be numbered.
type NumberStyle struct {
	By      string   // "cable", "zone" or "area"
	Spares  int      // numbers to be left free
	Percent int      // or a share of those in use
	Spread  bool     // between the devices, not at the end
	Each    bool     // so many after each block
	Afresh  bool     // do not keep the numbers that are there
	Pinned  []string // references of devices that must keep their number all the same
}

// NumberPlan is a proposal for one loop: what would change, and why.
type NumberPlan struct {
	Loop address.Loop
	address.Proposal
}

// LoopsOf makes the loops of a register ready for planning. How a type's
// number is set stands in its type sheet as the setting "address", for example
// "switches 7" or "dials 9".
// What a sheet says that nobody can read stands in the way of the types in use alone.
func LoopsOf(r *sootline.Register) ([]address.Loop, error) { return loopsOf(r, "") }

// loopsOf makes the loops ready, or the one that is named.
func loopsOf(r *sootline.Register, name string) ([]address.Loop, error) {
	rules := address.Rules{Setters: map[string]address.Setter{}}
	var bad []address.TypeHow
	for _, how := range address.TypeHows(r) {
		rules.Setters[sootline.TypeKey(how.Type)] = how.Setter
		if how.Err != nil && slices.ContainsFunc(how.Points, func(p *sootline.Point) bool { return name == "" || p.LoopID().String() == name }) {
			bad = append(bad, how)
		}
	}
	if len(bad) > 0 {
		return nil, unreadHow(bad)
	}
	loops := address.Loops(r, rules)
	if name != "" {
		loops = slices.DeleteFunc(loops, func(l address.Loop) bool { return l.Name != name })
	}
	return loops, nil
}

// unreadHow tells of every type whose sheet says in words that nobody can read how its
// number is set, and leads to where it is said.
func unreadHow(bad []address.TypeHow) error {
	texts := make([]string, len(bad))
	for i, how := range bad {
		texts[i] = how.Err.Error()
	}
	return sootline.Errorf(sootline.Invalid, "say how it is set", "%s", strings.Join(texts, "; ")).Do(sootline.SayHowSet, bad[0].Type)
}

// numberLoops gives the loops of a site, or the one that is named.
func (a *App) numberLoops(ctx context.Context, site sootline.ID, name string) (*sootline.Register, []address.Loop, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return nil, nil, err
	}
	loops, err := loopsOf(r, name)
	if err != nil || name == "" {
		return r, loops, err
	}
	if len(loops) == 0 {
		return nil, nil, sootline.Errorf(sootline.NotFound, "see which loops there are", "there is no loop %s with points", name).Do(sootline.ShowSite)
	}
	return r, loops, nil
}

// PlanNumbers proposes numbers for a site's loops, or for the one that is named;
// nothing is written down.
func (a *App) PlanNumbers(ctx context.Context, site sootline.ID, loop string, style NumberStyle) ([]NumberPlan, error) {
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
	grouping, ok := map[string]address.Grouping{"cable": address.AlongCable, "zone": address.ByZone, "area": address.ByArea}[style.By]
	if !ok {
		return nil, sootline.Errorf(sootline.Invalid, "say cable, zone or area", "numbers cannot be planned by %q", style.By)
	}
	r, loops, err := a.numberLoops(ctx, site, loop)
	if err != nil {
		return nil, err
	}
	if err := pinDevices(r, loops, style.Pinned); err != nil {
		return nil, err
	}
	proposals, err := address.PlanAll(ctx, loops, address.Style{
		By: grouping, Keep: !style.Afresh,
		Spares: address.Spares{Count: style.Spares, Percent: style.Percent, Spread: style.Spread, Each: style.Each},
	})
	if err != nil {
		return nil, err
	}
	plans := make([]NumberPlan, len(loops))
	for i, l := range loops {
		plans[i] = NumberPlan{l, proposals[i]}
	}
	return plans, nil
}

// RefsIn reads a list of references with commas or spaces between.
func RefsIn(text string) []string {
	return strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ';' || unicode.IsSpace(c) })
}

// pinDevices marks the devices that must keep their number.
func pinDevices(r *sootline.Register, loops []address.Loop, refs []string) error {
	for _, ref := range refs {
		p, err := PointNamed(r, ref)
		if err != nil {
			return err
		}
		found := false
		for _, l := range loops {
			for i := range l.Devices {
				if l.Devices[i].ID == p.ID {
					l.Devices[i].Pinned, found = true, true
				}
			}
		}
		if !found {
			return sootline.Errorf(sootline.Invalid, "plan the loop that it is on", "%s is not on the loop that is planned", ref)
		}
	}
	return nil
}

// AcceptNumbers writes the proposals down as the numbers that are wanted; how the
// devices stand is left as it is. All of it is one act, which [App.UndoPlan] takes back.
func (a *App) AcceptNumbers(ctx context.Context, site sootline.ID, plans []NumberPlan) (int, error) {
	var entries []sootline.Entry
	for _, plan := range plans {
		for _, change := range plan.Changes {
			e := a.entry(site, a.Now(), plan.Loop.Devices[change.Device].ID, sootline.Addressed{Wanted: change.To, Text: planned})
			if len(entries) > 0 {
				e.At, e.Noted = entries[0].At, entries[0].Noted
			}
			entries = append(entries, e)
		}
	}
	return len(entries), a.writeTo(ctx, site, func(tx *store.Tx) error { return a.append(tx, site, entries) })
}

// NumberOrder is the order in which to set the devices of one loop.
type NumberOrder struct {
	Loop  address.Loop
	Moves []address.Move
	address.Order
}

// OrderNumbers finds in which order to set the devices of a loop, from the
// numbers they were found at to those they should have.
func (a *App) OrderNumbers(ctx context.Context, site sootline.ID, loop string) ([]NumberOrder, error) {
	_, loops, err := a.numberLoops(ctx, site, loop)
	if err != nil {
		return nil, err
	}
	var orders []NumberOrder
	for _, l := range loops {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		moves := l.Moves(nil)
		order, err := address.ChangeOrder(l.Span, moves)
		if err != nil {
			return nil, fmt.Errorf("loop %s: %w", l.Name, err)
		}
		orders = append(orders, NumberOrder{l, moves, order})
	}
	return orders, nil
}
