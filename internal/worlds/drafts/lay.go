package drafts

import (
	"fmt"
	"slices"

	"sootline/internal/worlds/loops"
)

// Equipment is what is to be fitted, and what feeds it.
type Equipment struct {
	Supply   loops.Supply
	Rest     map[Sort]loops.Load
	Alarm    map[Sort]loops.Load
	Least    float64 // volts
	Isolator float64 // ohms of a base, both its sides together
	Celsius  float64
	AtOnce   int
	Rules    []loops.Rule
}

// Usual gives an equipment of the usual size: common practice, no source.
func Usual() Equipment {
	return Equipment{
		Supply:   loops.Supply{Low: 24, High: 28, Source: 0.5, Limit: 0.5},
		Rest:     map[Sort]loops.Load{Detector: {Kind: loops.Amps, Value: 0.0003}, CallPoint: {Kind: loops.Amps, Value: 0.0002}, Sounder: {Kind: loops.Amps, Value: 0.0004}},
		Alarm:    map[Sort]loops.Load{Detector: {Kind: loops.Ohms, Value: 8000}, CallPoint: {Kind: loops.Amps, Value: 0.003}, Sounder: {Kind: loops.Watts, Value: 0.1}},
		Least:    17,
		Isolator: 0.2,
		Celsius:  30,
		AtOnce:   -1,
		Rules:    []loops.Rule{loops.Rule32, loops.RuleArea, loops.RuleFloors},
	}
}

// Lay gives a loop of a design as a circuit.
func Lay(b Building, d Design, loop int, e Equipment) *loops.Loop {
	places := b.Places()
	metres := Stretches(b, places, d.Loops[loop])
	l := &loops.Loop{Supply: e.Supply, AtOnce: e.AtOnce, Start: loops.StartWhole, Rules: e.Rules}
	cable := func(m float64) loops.Cable {
		return loops.Cable{Metres: m, OhmsPerKm: loops.OhmsPerKm[d.MM2], Celsius: e.Celsius}
	}
	for i, k := range d.Loops[loop] {
		p := places[k]
		a := b.Areas[p.Area]
		point := loops.Point{
			Name: fmt.Sprint(k), Cable: cable(metres[i]), Spur: -1, Rest: e.Rest[p.Sort], Alarm: e.Alarm[p.Sort], LeastVolts: e.Least,
			Zone: a.Name, Floor: p.Floor, Counted: p.Sort != Sounder,
		}
		if p.Sort == Detector {
			point.M2 = a.W * a.H / float64(a.Detectors)
		}
		if slices.Contains(d.Isolators, k) {
			side := loops.Side{Opens: true, Ohm: e.Isolator / 2}
			point.Before, point.After = side, side
		}
		l.Points = append(l.Points, point)
	}
	l.Return = cable(metres[len(metres)-1])
	return l
}

// fails says what fails on a loop, as far as a search finds it; the rules are gone through whole.
func fails(l *loops.Loop) string {
	if of := l.Breaches(); len(of) > 0 {
		return fmt.Sprintf("%s: over by %.3g with %s of stretch %d", of[0].Rule, of[0].By, of[0].State.Fault, of[0].State.Stretch)
	}
	if worst := loops.Hunt(l, 4, 1); worst.By > 0 {
		return fmt.Sprintf("%s, by %.3g with %s of stretch %d", worst.Limit, worst.By, worst.State.Fault, worst.State.Stretch)
	}
	return ""
}
