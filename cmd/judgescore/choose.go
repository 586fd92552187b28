package main

import (
	"fmt"
	"slices"
	"strings"

	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/ducts"
	"sootline/internal/worlds/levels/harbour"
	"sootline/internal/worlds/levels/instruments"
	"sootline/internal/worlds/levels/materials"
)

// worlds lists the worlds, in the order of the published page.
func worlds() []levels.World {
	return []levels.World{ducts.World{}, instruments.World{}, materials.World{}, harbour.World{}}
}

// worldsNamed gives the world of a name, or all of them; those that have the scenario, where one is named.
func worldsNamed(name, scenario string) ([]levels.World, error) {
	var chosen []levels.World
	var known []string
	for _, w := range worlds() {
		known = append(known, w.Name())
		if (name == "" || name == w.Name()) && (scenario == "" || slices.Contains(w.Scenarios(), scenario)) {
			chosen = append(chosen, w)
		}
	}
	if len(chosen) == 0 {
		return nil, fmt.Errorf("no world %q with a scenario %q; worlds are %s", name, scenario, strings.Join(known, ", "))
	}
	return chosen, nil
}

// oursName is the tool's own judge among the judges.
const oursName = "ours"

// judge is one that is scored.
type judge struct {
	name   string
	answer levels.Judge
	ready  func() error // why it cannot be asked; nil: it always can
}

// judges lists who is scored, in the order of the published page.
func judges() []judge {
	return []judge{
		{name: oursName, answer: ours},
		{name: "limits", answer: limits},
		{name: "leastsquares", answer: leastSquares},
		{name: "theilsen", answer: theilSen},
		{name: "hierarchical", answer: hierarchical, ready: library.ready},
	}
}

func judgeNames() string {
	var names []string
	for _, j := range judges() {
		names = append(names, j.name)
	}
	return strings.Join(names, ", ")
}

// judgeNamed gives a judge that can be asked.
func judgeNamed(name string) (levels.Judge, error) {
	for _, j := range judges() {
		if j.name == name {
			return j.answer, j.canAnswer()
		}
	}
	return nil, fmt.Errorf("nobody called %q judges; there are %s", name, judgeNames())
}

func (j *judge) canAnswer() error {
	if j.ready == nil {
		return nil
	}
	return j.ready()
}
