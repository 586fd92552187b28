package loops

import (
	"slices"
	"testing"
)

// TestShortcutsAreCaught: an engine that leaves something out is found unsound in some of few loops.
func TestShortcutsAreCaught(t *testing.T) {
	for name, c := range map[string]struct {
		taste Taste
		leave func(*Loop)
	}{
		"currents of the ends":   {Taste{}, func(l *Loop) { l.Supply.Limit = 0 }},
		"what a fault takes":     {Taste{}, func(l *Loop) { l.Rules = nil }},
		"source ohms":            {Taste{NoRules: true}, func(l *Loop) { l.Supply.Source = 0 }},
		"the heat of the cable":  {Taste{NoRules: true}, (*Loop).cool},
		"constant power":         {Taste{NoRules: true}, (*Loop).steady},
		"isolators' ohms":        {Taste{NoRules: true}, func(l *Loop) { l.Missing = []Fact{{Kind: IsolatorOhms}} }},
		"the highest supply":     {Taste{NoRules: true, Range: true}, func(l *Loop) { l.Supply.High = l.Supply.Low }},
		"facts that are missing": {Taste{Missing: true}, func(l *Loop) { *l = *l.Settled(l.Missing) }},
		"isolators that trip":    {Taste{NoRules: true, Bounds: true}, func(l *Loop) { l.unbound(func(b *Bounds) { b.Opens = 0 }) }},
		"isolators that hold":    {Taste{NoRules: true, Bounds: true}, func(l *Loop) { l.unbound(func(b *Bounds) { b.Holds = 0 }) }},
		"isolators that close":   {Taste{NoRules: true, Bounds: true, Stepwise: true}, func(l *Loop) { l.unbound(func(b *Bounds) { b.Closes = 0 }) }},
		"what isolators carry":   {Taste{NoRules: true, Bounds: true}, func(l *Loop) { l.unbound(func(b *Bounds) { b.Carries = 0 }) }},
		"how many are in alarm":  {Taste{NoRules: true}, func(l *Loop) { l.AtOnce = min(max(l.AtOnce, 0), 1) }},
		"the start's stages":     {Taste{NoRules: true, Stepwise: true}, func(l *Loop) { l.Start = StartWhole }},
	} {
		caught := 0
		for seed := range 6 * seeds(t) {
			l := Draw(seed, c.taste)
			left := *l
			left.Points = slices.Clone(l.Points)
			c.leave(&left)
			if len(left.Missing) > 0 && !c.taste.Missing {
				left = *left.Settled(left.Missing)
			}
			truth, said := Judge(l), Judge(&left)
			if said.Says == Shown && !Score(l, truth, Claim{Says: Shown}).Sound {
				caught++
				break
			}
		}
		if caught == 0 {
			t.Errorf("an engine that leaves out %s is not caught", name)
		}
	}
}

func (l *Loop) cool() {
	for i := range l.Points {
		l.Points[i].Cable.Celsius = 20
	}
	l.Return.Celsius = 20
}

// steady takes every load for the current that it draws at the supply.
func (l *Loop) steady() {
	for i := range l.Points {
		for _, load := range []*Load{&l.Points[i].Rest, &l.Points[i].Alarm} {
			amps, _ := load.draw(l.Supply.Low)
			*load = Load{Amps, amps}
		}
	}
}

func (l *Loop) unbound(leave func(*Bounds)) {
	for i := range l.Points {
		leave(&l.Points[i].Bounds)
	}
}

// TestOneCoreIsHardlyWorse: no break of one core takes volts where no other state does, and none asks more than a
// hundredth more of an end. Of constant currents it is no worse at all, by the ladder: in the whole core a device loses
// at most what it loses there from either end alone, and so it does in the broken one. Constant resistances draw a
// little more for the volts that the whole core leaves them.
func TestOneCoreIsHardlyWorse(t *testing.T) {
	for seed := range 2 * seeds(t) {
		l := Draw(seed, Taste{OneCore: true, Range: true})
		truth := Judge(l)
		l.OneCore = false
		if truth.Near || Judge(l).Says == truth.Says {
			continue
		}
		for _, f := range truth.Failing {
			if f.Limit != OutLimit && f.Limit != InLimit || f.By > l.Supply.Limit/100 {
				t.Errorf("%d: %+v", seed, f)
			}
		}
	}
}
