package main

import (
	"math"
	"testing"

	"sootline"
	"sootline/internal/worlds/levels"
)

// knowing answers with the truth, and asks about each thing that the log does not tell of once.
func knowing(site *levels.Site) []levels.Answer {
	type event struct{ kind, day string }
	asked := map[event]bool{}
	var all []levels.Answer
	for _, p := range site.Points {
		a := levels.Answer{Point: p.Point, Outside: p.OutsideByNext, Earliest: p.Leaves, Likely: p.Leaves, Latest: p.Leaves, Action: p.Wants}
		if a.Outside {
			a.Chance = 1
		}
		if p.Leaves.IsZero() {
			a.Earliest = site.Ends()
		}
		for _, e := range p.Events {
			shared := e.Kind == levels.Rescaled || e.Kind == levels.Works || e.Kind == levels.InstrumentOffset
			name := event{e.Kind, e.Day.UTC().Truncate(24 * 60 * 60 * 1e9).String()}
			if e.Noted || shared && asked[name] {
				continue
			}
			asked[name] = true
			a.Questions = append(a.Questions, levels.Question{Kind: e.Kind, Day: e.Day})
		}
		all = append(all, a)
	}
	return all
}

// Whoever knows the truth of a site has a perfect score in every scenario of every world: no right answer counts
// as wrong. And every log says how far apart visits are meant to be, which no judge can know otherwise.
func TestTruthScoresPerfectly(t *testing.T) {
	for _, w := range worlds() {
		for _, scenario := range w.Scenarios() {
			site := w.Make(floorSeed, scenario)
			if visitMonths(&site) == 0 {
				t.Errorf("%s, %s: the log states no months from visit to visit", w.Name(), scenario)
			}
			r := levels.Score(&site, knowing(&site))
			for what, x := range map[string]float64{"recall": r.All.Recall(), "precision": r.All.Precision(), "covered": r.All.Coverage(), "one less Brier": 1 - r.All.Brier()} {
				if x != 1 && !math.IsNaN(x) {
					t.Errorf("%s, %s: %s is %v", w.Name(), scenario, what, x)
				}
			}
			if asked, right := r.AskedRight(); asked != right {
				t.Errorf("%s, %s: %d of %d questions are right", w.Name(), scenario, right, asked)
			}
			if r.Missing+r.Strange+r.ClearlyLeft > 0 || r.HealthyActions[levels.Leave] != r.Healthy {
				t.Errorf("%s, %s: missing %d, strange %d, left %d of clearly outside, %d of %d healthy left alone",
					w.Name(), scenario, r.Missing, r.Strange, r.ClearlyLeft, r.HealthyActions[levels.Leave], r.Healthy)
			}
			for kind, q := range r.Questions {
				if q.Found != q.Unwritten && kind != levels.Cleaned && kind != levels.HalfCleaned && kind != levels.Slip && kind != levels.Neighbour {
					t.Errorf("%s, %s: %d of %d of kind %s were found", w.Name(), scenario, q.Found, q.Unwritten, kind)
				}
			}
		}
	}
}

// visitMonths is what the first entry of a log says of them.
func visitMonths(site *levels.Site) int {
	for i := range site.Entries {
		if facts, so := site.Entries[i].Body.(sootline.Opened); so {
			return facts.Rules.VisitMonths
		}
	}
	return 0
}
