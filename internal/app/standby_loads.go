package app

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/circuit"
)

// PanelBattery is the battery of a panel, with what was assumed: what stands on
// its loops, its load list as it is kept, and what was typed beside it. Of a name
// that both have, the typed line counts; so does each condition that was typed.
func (a *App) PanelBattery(ctx context.Context, site sootline.ID, on time.Time, panel string, typed Battery) (Battery, []string, error) {
	r, err := a.Register(ctx, site, on)
	if err != nil {
		return Battery{}, nil, err
	}
	return PanelBattery(r, panel, typed)
}

// PanelBattery is the same of a register.
func PanelBattery(r *sootline.Register, panel string, typed Battery) (Battery, []string, error) {
	kept := r.Loads(panel)
	loops, gaps := panelDrains(r, panel)
	beside := typed.Drains
	if kept != nil {
		beside = besideTyped(kept, typed.Drains)
	}
	radials, untold := radialDrains(r, panel, beside)
	loops = append(loops, radials...)
	if len(loops) == 0 && kept == nil {
		return Battery{}, nil, sootline.Errorf(sootline.NotFound, "see which loops there are", "no device stands on the loops of panel %s, and it has no load list", panel).Do(sootline.ShowSite)
	}
	assumed := append(circuit.CountGaps(gaps), untold...)
	if kept == nil {
		return typed.With(loops, typed.Drains), assumed, nil
	}
	battery := typed.With(loops, beside)
	battery.Kept = kept
	battery.Under = underKept(kept, typed.Under)
	if kept.Rule != "" {
		battery.Rule = 1 + slices.IndexFunc(circuit.StandbyRules(), func(r circuit.StandbyRule) bool { return r.Name == kept.Rule })
		if battery.Rule == 0 {
			return Battery{}, nil, unknownRule(kept.Rule).Do(sootline.StateLoads, panel)
		}
	}
	return battery, append(assumed, unlisted(kept, r.Radials(panel))...), nil
}

func unknownRule(name string) *sootline.Error {
	return sootline.Errorf(sootline.Invalid, "choose one of those that there are", "the rule set %q of the load list is not known", name)
}

// panelDrains makes the lines of all loops of a panel: a line for each loop and
// type, and, where the loop says how many devices may be in alarm at once, one for
// those in alarm, the hungriest first, and one for the others.
func panelDrains(r *sootline.Register, panel string) (drains []Drain, gaps []circuit.Gap) {
	for _, loop := range r.Loops() {
		if loop.Panel != panel {
			continue
		}
		if more, missing := LoopDrains(r, loop.LoopID); len(more) > 0 {
			drains, gaps = append(drains, more...), append(gaps, missing...)
		}
	}
	return drains, gaps
}

// besideTyped gives the lines of the kept list, then those that were typed; a typed
// line takes the place of a kept one of its name.
func besideTyped(kept *sootline.KeptLoads, typed []Drain) []Drain {
	var lines []Drain
	if kept.OwnRestMA != nil {
		lines = append(lines, drainOf(sootline.OwnDraw, 1, *kept.OwnRestMA, *kept.OwnAlarmMA))
	}
	for _, load := range kept.Loads {
		lines = append(lines, drainOf(load.Name, load.Count, load.RestMA, load.AlarmMA))
	}
	lines = slices.DeleteFunc(lines, func(line Drain) bool {
		return slices.ContainsFunc(typed, func(t Drain) bool { return strings.EqualFold(t.Name, line.Name) })
	})
	return append(lines, typed...)
}

func drainOf(name string, count int, restMA, alarmMA float64) Drain {
	return Drain{Name: name, Count: count, Rest: circuit.Amps(restMA / 1000), Alarm: circuit.Amps(alarmMA / 1000)}
}

// underKept lays the conditions that were typed over those that are kept.
func underKept(kept *sootline.KeptLoads, typed Conditions) Conditions {
	under := typed
	if kept.Coldest != nil && under.Coldest == nil {
		celsius := circuit.Celsius(*kept.Coldest)
		under.Coldest = &celsius
	}
	under.Standby = cmp.Or(under.Standby, circuit.Hours(kept.StandbyHours))
	under.Alarm = cmp.Or(under.Alarm, circuit.Hours(kept.AlarmHours))
	under.Margin = cmp.Or(under.Margin, kept.Margin)
	under.Design = cmp.Or(under.Design, kept.Design)
	under.Ageing = cmp.Or(under.Ageing, kept.Ageing)
	under.Charger = cmp.Or(under.Charger, circuit.Amps(kept.ChargerMA/1000))
	under.Accepts = cmp.Or(under.Accepts, kept.Accepts)
	under.Largest = cmp.Or(under.Largest, circuit.AmpHours(kept.LargestAh))
	return under
}

// unlisted says of which parts the kept list holds no line, and no radial circuit stands in its place.
func unlisted(kept *sootline.KeptLoads, radials []*sootline.KeptRadial) []string {
	var none []string
	for _, part := range sootline.LoadParts() {
		stands := func(c *sootline.KeptRadial) bool {
			return part == sootline.SounderLoads && (c.Serves == sootline.SounderCircuit || c.Serves == "") || part == sootline.OutputLoads && c.Serves == sootline.OutputCircuit
		}
		if !slices.ContainsFunc(radials, stands) && !slices.ContainsFunc(kept.Loads, func(l sootline.PanelLoad) bool { return l.Part == part }) {
			none = append(none, string(part))
		}
	}
	if len(none) == 0 {
		return nil
	}
	return []string{"the load list of panel " + kept.Panel + " has no line of " + strings.Join(none, " or ") + ": taken as none"}
}

// SetLoads writes the load list of a panel down, in place of the one before.
func (a *App) SetLoads(ctx context.Context, site sootline.ID, list sootline.LoadList) error {
	if list.Rule != "" && !slices.ContainsFunc(circuit.StandbyRules(), func(r circuit.StandbyRule) bool { return r.Name == list.Rule }) {
		return unknownRule(list.Rule).Do(sootline.ListStandbyRules)
	}
	return a.state(ctx, site, list, func(r *sootline.Register) bool { return r.Loads(list.Panel) != nil })
}

// UndoLoads takes the load list of a panel that holds back by an entry, so that the
// one before it holds again, and gives that one; nil where there was none.
func (a *App) UndoLoads(ctx context.Context, site sootline.ID, panel string) (*sootline.KeptLoads, error) {
	r, err := a.Register(ctx, site, a.Now())
	if err != nil {
		return nil, err
	}
	kept := r.Loads(panel)
	if kept == nil {
		return nil, sootline.Errorf(sootline.NotFound, "write one down", "panel %s has no load list", panel).Do(sootline.StateLoads, panel)
	}
	if _, err := a.Withdraw(ctx, site, Amendment{Entry: kept.Entry, Why: "taken back whole"}); err != nil {
		return nil, err
	}
	if r, err = a.Register(ctx, site, a.Now()); err != nil {
		return nil, err
	}
	return r.Loads(panel), nil
}
