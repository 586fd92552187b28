package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"sootline"
	"sootline/internal/address"
	"sootline/internal/store"
)

// NumberStyle is how loops are to be numbered.
type NumberStyle struct {
	By      string // "cable", "zone" or "area"
	Spares  int    // numbers to be left free
	Percent int    // or a share of those in use
	Spread  bool   // between the devices, not at the end
	Afresh  bool   // do not keep the numbers that are there
}

// NumberPlan is a proposal for one loop: what would change, and why.
type NumberPlan struct {
	Loop address.Loop
	address.Proposal
}

// howNumbered is the setting of a type sheet that says how a number is set on it, and
// is none that a device has.
const howNumbered = "address"

// LoopsOf makes the loops of a register ready for planning. How a type's
// number is set stands in its type sheet as the setting "address", for example
// "switches 7" or "dials 9".
func LoopsOf(r *sootline.Register) ([]address.Loop, error) {
	rules := address.Rules{Setters: map[string]address.Setter{}}
	for _, sheet := range r.Sheets() {
		text, ok := sheet.Settings[howNumbered]
		if !ok {
			continue
		}
		setter, err := address.ParseSetter(text)
		if err != nil {
			return nil, sootline.Errorf(sootline.Invalid, "", "type sheet of %s: %w", sheet.Name, err)
		}
		rules.Setters[sootline.TypeKey(sheet.Name)] = setter
	}
	return address.Loops(r, rules), nil
}

// numberLoops gives the loops of a site, or the one that is named.
func (a *App) numberLoops(ctx context.Context, site sootline.ID, name string) (*sootline.Register, []address.Loop, error) {
	r, err := a.Register(ctx, site, time.Time{})
	if err != nil {
		return nil, nil, err
	}
	loops, err := LoopsOf(r)
	if err != nil || name == "" {
		return r, loops, err
	}
	loops = slices.DeleteFunc(loops, func(l address.Loop) bool { return l.Name != name })
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
	_, loops, err := a.numberLoops(ctx, site, loop)
	if err != nil {
		return nil, err
	}
	proposals, err := address.PlanAll(ctx, loops, address.Style{
		By: grouping, Keep: !style.Afresh,
		Spares: address.Spares{Count: style.Spares, Percent: style.Percent, Spread: style.Spread},
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

// NumberCards draws the setting cards of a site, of one loop, or of one point,
// in the order of the walk.
func (a *App) NumberCards(ctx context.Context, site sootline.ID, loop, point string) ([]address.Card, error) {
	r, loops, err := a.numberLoops(ctx, site, loop)
	if err != nil {
		return nil, err
	}
	var cards []address.Card
	if point == "" {
		for _, l := range loops {
			cards = append(cards, address.Cards(l)...)
		}
		return cards, nil
	}
	p, err := PointNamed(r, point)
	if err != nil {
		return nil, err
	}
	for _, l := range loops {
		for _, d := range l.Devices {
			if d.ID == p.ID {
				cards = append(cards, address.NewCard(d, l.Span))
			}
		}
	}
	return cards, nil
}

// Card draws the setting card of a point; nil where it is on no loop.
func (s *Survey) Card(p *sootline.Point) (*address.Card, error) {
	loops, err := LoopsOf(s.Register)
	if err != nil {
		return nil, err
	}
	for _, l := range loops {
		for _, d := range l.Devices {
			if d.ID == p.ID {
				card := address.NewCard(d, l.Span)
				return &card, nil
			}
		}
	}
	return nil, nil
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

// NumberCard is a setting card.
type NumberCard = address.Card
