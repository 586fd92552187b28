package main

import (
	"strings"
	"testing"

	"sootline/internal/worlds/levels"
)

// scenarioOf is one of 100 detectors inside their band, of which so many leave on a stated day.
func scenarioOf(name string, covered int) levels.Scored {
	s := levels.Scored{Scenario: name, Result: levels.Total(nil)}
	s.Result.Sites, s.Result.Points = 1, 250
	s.Result.All = levels.Tally{Points: 250, Hits: 82, Misses: 18, FalseAlarms: 18, SquaredError: 5.5, Dated: 100, Covered: covered}
	return s
}

// Days are covered as they should from 88 to 94 in a hundred, and where levels run away from 85 on.
func TestCoveredAsTheyShould(t *testing.T) {
	for _, x := range []struct {
		name    string
		covered int
		well    bool
	}{{"offices", 87, false}, {"offices", 88, true}, {"offices", 94, true}, {"offices", 95, false}, {"squared", 84, false}, {"squared", 85, true}, {"squared", 99, true}} {
		if s := scenarioOf(x.name, x.covered); wellCovered(&s) != x.well {
			t.Errorf("%s, %d of 100 covered: %v", x.name, x.covered, !x.well)
		}
	}
	j := scoredJudge{scored: []levels.Scored{scenarioOf("offices", 90), scenarioOf("lumps", 80), {Scenario: "young", Result: levels.Total(nil)}}}
	if got := shareCovered(&j); got != 0.5 {
		t.Errorf("%v of two scenarios with days are covered", got)
	}
}

// A goal is met at its figure, and nothing counted meets none.
func TestGoalsAreHeldAgainstFigures(t *testing.T) {
	scored := []levels.Scored{scenarioOf("offices", 90)}
	r := scored[0].Result
	r.Questions[levels.Stuck] = &levels.Asked{Asked: 8, Right: 6}
	r.Healthy, r.HealthyActions[levels.CleanNow] = 1000, 4
	var b strings.Builder
	writeGoals(&b, []scoredWorld{{name: "planted", judges: []scoredJudge{{oursName, scored, r}}}})
	for _, want := range []string{
		"recall at least 0.82 | 0.820, met", "precision at least 0.78 | 0.820, met", "Brier at most 0.022 | 0.0220, met",
		"all | 1.00, met", "right at least 0.75 | 0.75, met", "a site of 250 points | 8.0, met",
		"per 100 healthy | 0.40, not met", "per 1000 clearly outside | -, not met",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("not said: %s\n%s", want, b.String())
		}
	}
}

// What is asked for that is not there is refused with what there is.
func TestRefusals(t *testing.T) {
	for _, args := range [][]string{{"-world", "nowhere"}, {"-scenario", "nothing"}, {"-judge", "nobody"}, {"-seeds", "0"}, {"-world", "ducts", "-scenario", "cells of glass"}} {
		if err := run(args, new(strings.Builder)); err == nil {
			t.Errorf("%v is taken", args)
		}
	}
	var out strings.Builder
	if err := run([]string{"-world", "ducts", "-scenario", "small", "-judge", "limits", "-first", "51", "-seeds", "1"}, &out); err != nil || !strings.Contains(out.String(), "World ducts: 1 sites") {
		t.Error(err, out.String())
	}
}
