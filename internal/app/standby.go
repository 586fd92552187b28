package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sootline"
	"sootline/internal/circuit"
)

// Battery is a battery to be sized.
type Battery struct {
	Drains  []Drain
	Under   Conditions
	OfLoops bool // Drains hold what stands on loops of the register
	Guessed bool // what some of them draw
	Beside  bool // and what was added by hand: the panel itself, auxiliaries
	Rule    int  // number of the rule set that its load list names; 0: none
	Kept    *sootline.KeptLoads
}

// With gives the battery behind what stands on loops of the register and what was added by hand.
func (b Battery) With(loops, added []Drain) Battery {
	b.OfLoops, b.Beside = len(loops) > 0, len(added) > 0
	b.Drains = slices.Concat(loops, added)
	return b
}

// Lacks says what the load list does not hold; empty where somebody listed what hangs on the panel.
func (b *Battery) Lacks() string {
	if b.Kept != nil && !slices.ContainsFunc(b.Drains, func(d Drain) bool { return strings.EqualFold(d.Name, sootline.OwnDraw) }) {
		return "The panel's own draw is not in the list: the battery is at least this, and needs more."
	}
	if b.OfLoops && !b.Beside {
		return "The panel's own draw and whatever else hangs on it are not in the list: the battery is at least this, and needs more."
	}
	return ""
}

// Heading says which battery a sizing comes to, and at least which where the list lacks something.
func (b *Battery) Heading(size *Sizing) string {
	least := ""
	switch {
	case b.Guessed: // more or less
		least = " as guessed"
	case b.Lacks() != "":
		least = " at least"
	}
	if size.Chosen == 0 && size.Largest > 0 {
		return fmt.Sprintf("Needed:%s %v, and the panel takes %v at most: no size up to that is enough", least, size.Required, size.Largest)
	}
	if size.Chosen == 0 {
		return fmt.Sprintf("Needed:%s %v; no usual size is that large", least, size.Required)
	}
	return fmt.Sprintf("Battery:%s %v (needed:%s %v)", least, size.Chosen, least, size.Required)
}

// StandbyRules lists the rule sets, by whose place in the list they are named.
func StandbyRules() []circuit.StandbyRule { return circuit.StandbyRules() }

// RuleFor gives a rule set, numbered from 1, with the site's own hours and factor.
func (b *Battery) RuleFor(rule int) circuit.StandbyRule {
	return b.Under.Owned(circuit.StandbyRules()[rule-1])
}

// Size sizes the battery by one rule set, numbered from 1.
func (b Battery) Size(rule int) (*Sizing, error) {
	rules := circuit.StandbyRules()
	if rule < 1 || rule > len(rules) {
		return nil, sootline.Errorf(sootline.Invalid, "see which there are", "there is no rule set %d", rule).Do(sootline.ListStandbyRules)
	}
	return circuit.Size(b.Drains, &rules[rule-1], b.Under)
}

// LoopDrains makes the lines of one loop, with what was assumed.
func LoopDrains(r *sootline.Register, id sootline.LoopID) ([]Drain, []circuit.Gap) {
	var drains []Drain
	d := &drafted{r: r, draft: &circuit.Draft{Default: assumed(sootline.Supply{})}}
	for _, p := range r.Points() {
		if p.LoopID() != id {
			continue
		}
		name := cmp.Or(p.Type, "without a type") + ", loop " + id.String()
		i := slices.IndexFunc(drains, func(drain Drain) bool { return drain.Name == name })
		if i < 0 {
			i = len(drains)
			drains = append(drains, d.drain(name, p))
		}
		drains[i].Count++
	}
	supply := r.Supply(id)
	if supply == nil || supply.AlarmsAtOnce == nil {
		d.miss("", fmt.Sprintf("how many devices of loop %s may be in alarm at once is", id), "all of them")
		return drains, d.gaps
	}
	return atOnce(drains, *supply.AlarmsAtOnce), d.gaps
}

// drain begins the line of a type.
func (d *drafted) drain(name string, p *sootline.Point) Drain {
	draft := d.device(name, p.Type)
	one := 1.0
	draft.Metres, draft.MM2, draft.Celsius, draft.LeastVolts = &one, &one, &one, &one // of no matter to a battery
	device, gaps := d.draft.Fill(&draft)
	d.gaps = append(d.gaps, gaps...)
	return Drain{Name: name, Rest: circuit.Amps(device.Rest.Value), Alarm: circuit.Amps(device.Alarm.Value)}
}

// atOnce leaves so many devices in alarm, those that draw most more than at rest.
func atOnce(drains []Drain, most int) []Drain {
	slices.SortStableFunc(drains, func(a, b Drain) int { return cmp.Compare(b.Alarm-b.Rest, a.Alarm-a.Rest) })
	var list []Drain
	for _, one := range drains {
		loud := min(one.Count, most)
		most -= loud
		quiet := one
		quiet.Count -= loud
		quiet.Alarm = quiet.Rest
		if one.Count = loud; loud > 0 {
			list = append(list, one)
		}
		if quiet.Count > 0 {
			quiet.Name += ", not in alarm"
			list = append(list, quiet)
		}
	}
	return list
}
