package main

import (
	"fmt"
	"slices"
	"strings"

	"sootline/internal/worlds/levels"
)

// goal is what the judge is meant to reach in every world.
type goal struct {
	says   string
	figure func(*scoredJudge) float64
	met    func(float64) bool
	digits int
}

func least(x float64) func(float64) bool { return func(y float64) bool { return y >= x } }
func most(x float64) func(float64) bool  { return func(y float64) bool { return y <= x } }

// goals are choices of ours, made before the judge was measured on these worlds.
func goals() []goal {
	return []goal{
		{"recall at least 0.82", func(j *scoredJudge) float64 { return j.all.All.Recall() }, least(0.82), 3},
		{"precision at least 0.78", func(j *scoredJudge) float64 { return j.all.All.Precision() }, least(0.78), 3},
		{"Brier at most 0.022", func(j *scoredJudge) float64 { return j.all.All.Brier() }, most(0.022), 4},
		{"share of scenarios whose days are covered as they should: all", shareCovered, least(1), 2},
		{"questions right at least 0.75", rightShare, least(0.75), 2},
		{"questions at most 8 a site of 250 points", askedOf250, most(8), 1},
		{"needless \"clean now\" or \"replace\" at most 0.3 per 100 healthy", func(j *scoredJudge) float64 { return needless(j.all) }, most(0.3), 2},
		{"left at most 2 per 1000 clearly outside", func(j *scoredJudge) float64 { return left(j.all) }, most(2), 1},
	}
}

func rightShare(j *scoredJudge) float64 {
	asked, right := j.all.AskedRight()
	return share(right, asked)
}

func askedOf250(j *scoredJudge) float64 {
	asked, _ := j.all.AskedRight()
	return 250 * share(asked, j.all.Points)
}

// faster lists the scenarios in which levels run away: those of acceleration.
var faster = []string{"accelerating", "dirt catches dirt", "squared", "doubling"}

// Days that are stated with 90 % are to cover so many of those that leave.
const (
	leastCovered       = 0.88
	mostCovered        = 0.94
	leastCoveredFaster = 0.85
)

// wellCovered reports whether the days of a scenario cover what they should.
func wellCovered(s *levels.Scored) bool {
	c := s.Result.All.Coverage()
	if slices.Contains(faster, s.Scenario) {
		return c >= leastCoveredFaster
	}
	return c >= leastCovered && c <= mostCovered
}

// shareCovered is the share of the scenarios with stated days that are covered as they should.
func shareCovered(j *scoredJudge) float64 {
	well, of := 0, 0
	for i := range j.scored {
		if j.scored[i].Result.All.Dated == 0 {
			continue
		}
		of++
		if wellCovered(&j.scored[i]) {
			well++
		}
	}
	return share(well, of)
}

// writeGoals holds ours against its goals, world by world.
func writeGoals(b *strings.Builder, all []scoredWorld) {
	fmt.Fprintf(b, `## The goals of the tool's own judge

In every world. Days are covered as they should where the share is from %.2f to %.2f, in scenarios of acceleration
(%s) at least %.2f.

`, leastCovered, mostCovered, strings.Join(faster, ", "), leastCoveredFaster)
	var heads []string
	for i := range all[1:] {
		heads = append(heads, all[i+1].name)
	}
	heading(b, "goal", all[0].name, heads...)
	for _, g := range goals() {
		var cells []string
		for i := range all {
			x := g.figure(&all[i].judges[0])
			said := figure(x, g.digits) + ", not met"
			if g.met(x) {
				said = figure(x, g.digits) + ", met"
			}
			cells = append(cells, said)
		}
		row(b, g.says, cells[0], cells[1:])
	}
}
