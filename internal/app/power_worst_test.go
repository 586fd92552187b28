package app

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"sootline/internal/circuit"
)

// TestWorstIsTheVerdicts: what is called the worst single fault leaves no more than the state that the verdict found, whatever
// loads are mixed.
func TestWorstIsTheVerdicts(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 3))
	tried := 0
	for k := range 300 {
		file := mixedLoop(rng)
		p, err := FilePower(WhatIf{File: file}, Ask{})
		if err != nil {
			t.Fatal(err)
		}
		n := p.Stands.Nearest
		if n == nil || n.At.Starting || !p.Survey.Worst.Exists {
			continue
		}
		tried++
		if p.Survey.Worst.Margin > n.Margin+1e-9 {
			t.Errorf("loop %d: the worst leaves %v, and %s leaves %v", k, p.Survey.Worst.Margin, p.Circuit.Situation(&n.At), n.Margin)
		}
	}
	if tried < 100 {
		t.Errorf("only %d loops were tried", tried)
	}
}

// mixedLoop draws a loop of devices that draw constant currents, powers and through resistances.
func mixedLoop(rng *rand.Rand) *LoopFile {
	volts, most, least, source := 24.0, 1+rng.IntN(3), 15.0, 1.0
	file := &LoopFile{Out: circuit.DraftEnd{Volts: &volts, LowVolts: &volts, HighVolts: &volts, PlusOhms: &source, MinusOhms: &source, LimitMA: 2000}, Rules: []string{}, AlarmsAtOnce: &most}
	ohms := func() circuit.DraftCable {
		return circuit.DraftCable{PlusOhms: 1 + 9*rng.Float64(), MinusOhms: 1 + 9*rng.Float64()}
	}
	for i := range 4 + rng.IntN(6) {
		alarm := &circuit.DraftLoad{MA: 5 + 30*rng.Float64()}
		switch rng.IntN(3) {
		case 0:
			alarm = &circuit.DraftLoad{W: 0.1 + 0.7*rng.Float64()}
		case 1:
			alarm = &circuit.DraftLoad{Ohms: 600 + 2000*rng.Float64()}
		}
		file.Points = append(file.Points, circuit.DraftPoint{Name: fmt.Sprint(i + 1), DraftCable: ohms(), Rest: &circuit.DraftLoad{MA: 1}, Alarm: alarm, LeastVolts: &least})
	}
	file.Return = ohms()
	return file
}
