package main

import (
	"fmt"
	"slices"
	"strings"

	"sootline/internal/worlds/levels"
	"sootline/internal/worlds/levels/ducts"
)

// futures is how many of them are lived for each site to foresee it.
const futures = 20

// foresee scores whoever knows the state of each site of world ducts to the last grain of dust, and not its
// future. The largest sites are left out: they take long, and differ by their size alone.
func foresee(draw levels.Draw) []levels.Scored {
	w := ducts.World{}
	var all []levels.Scored
	for _, scenario := range w.Scenarios() {
		if scenario == "large" {
			continue
		}
		s := levels.Scored{Scenario: scenario, Result: levels.Total(nil)}
		for i := range draw.Seeds {
			seed := draw.First + uint64(i)
			site := w.Make(seed, scenario)
			s.Result.Add(levels.Score(&site, w.Foreseen(seed, scenario, futures)))
		}
		all = append(all, s)
	}
	return all
}

// writeCeiling says how far a judge could come there.
func writeCeiling(b *strings.Builder, scored []levels.Scored) {
	fmt.Fprintf(b, `
## What nobody can know

World ducts can say what somebody would answer who knows the state of each chamber and what each room is used for, but
not what comes: by the share of futures in which a detector is outside, called so from four in ten on. Who sees readings
alone knows less. The largest sites are left out. No days are told: %d futures are too few for their ends.

`, futures)
	heading(b, "scenario", "who", "recall", "precision", "Brier")
	for _, s := range append(slices.Clone(scored), levels.Scored{Scenario: "all", Result: levels.Total(scored)}) {
		row(b, s.Scenario, "foreseen", figures(s.Result)[:3])
	}
}
