package app

import (
	"context"
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/demo"
	"sootline/internal/judge"
)

var update = flag.Bool("update", false, "write docs/methods/score.md instead of comparing")

// scored is how well one kind of planted truth was found, over several sites.
type scored struct {
	kind                        demo.TruthKind
	by                          string
	found, missed, wrong        int
	leastRecall, leastPrecision float64
}

func (s *scored) recall() float64    { return share(s.found, s.missed) }
func (s *scored) precision() float64 { return share(s.found, s.wrong) }

func share(a, b int) float64 {
	if a+b == 0 {
		return 1
	}
	return float64(a) / float64(a+b)
}

// rules say by what each kind of truth is found, in this order of the page.
func rules() []*scored {
	return []*scored{
		{kind: demo.DuplicateNumber, by: "check: number-twice", leastRecall: 1, leastPrecision: 1},
		{kind: demo.UnsetNumber, by: "check: number-unset", leastRecall: 1, leastPrecision: 1},
		{kind: demo.Forgotten, by: "check: disabled-forgotten", leastRecall: 1, leastPrecision: 1},
		{kind: demo.NeverRead, by: "check: never-read", leastRecall: 1, leastPrecision: 0},
		{kind: demo.NoBand, by: "judge: verdict `no band`", leastRecall: 1, leastPrecision: 1},
		{kind: demo.AgeingCell, by: "judge: action `replace`", leastRecall: 1, leastPrecision: 0},
		{kind: demo.Noisy, by: "judge: unsteady", leastRecall: 0.9, leastPrecision: 0},
		{kind: demo.Stuck, by: "judge: action `look again`", leastRecall: 0.9, leastPrecision: 0},
		{kind: demo.Outside, by: "judge: outside now, or by the next visit with a chance of four in ten", leastRecall: 0.98, leastPrecision: 0},
		{kind: demo.Leaving, by: "the same", leastRecall: 0.70, leastPrecision: 0},
		{kind: outsideSoon, by: "the same", leastRecall: 0.80, leastPrecision: 0.83},
	}
}

// outsideSoon is the two truths about leaving a band as one.
const outsideSoon demo.TruthKind = "outside now or by the next visit"

// The published table is of many sites; the test tries a few others each time.
// None of these seeds was used while anything was tuned (1 to 100 were).
const (
	scoreSeeds, scoreFirst   = 200, 5000
	checkedSeeds, checkFirst = 20, 7000
)

// TestScore takes in the listings of invented sites, from the first file to the
// last judgement, and counts how many of their planted truths are found.
// docs/methods/score.md shows it for many sites.
func TestScore(t *testing.T) {
	sums(t)
	if *update {
		page := scorePage(score(t, scoreSeeds, scoreFirst))
		if err := os.WriteFile("../../docs/methods/score.md", []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	for _, s := range score(t, checkedSeeds, checkFirst) {
		if s.recall() < s.leastRecall || s.precision() < s.leastPrecision {
			t.Errorf("%s: recall %.3f and precision %.3f, want at least %v and %v", s.kind, s.recall(), s.precision(), s.leastRecall, s.leastPrecision)
		}
	}
}

func score(t *testing.T, seeds, first uint64) []*scored {
	table := rules()
	for seed := range seeds {
		scenario := demo.Make(first+seed, today.Truncate(24*time.Hour))
		said := judged(t, scenario)
		soon := truths(scenario, demo.Outside)
		maps.Copy(soon, truths(scenario, demo.Leaving))
		for _, s := range table {
			if s.kind == outsideSoon {
				s.count(soon, said[demo.Outside])
				continue
			}
			s.count(truths(scenario, s.kind), said[s.kind])
		}
	}
	return table
}

func (s *scored) count(truth, said map[string]bool) {
	for point := range truth {
		if said[point] {
			s.found++
		} else {
			s.missed++
		}
	}
	for point := range said {
		if !truth[point] {
			s.wrong++
		}
	}
}

func truths(scenario demo.Scenario, kind demo.TruthKind) map[string]bool {
	points := map[string]bool{}
	for _, truth := range scenario.Of(kind) {
		for _, point := range truth.Points {
			points[point] = true
		}
	}
	return points
}

// judged gives what the tool says of a scenario's listings, by kind of truth.
func judged(t *testing.T, scenario demo.Scenario) map[demo.TruthKind]map[string]bool {
	t.Helper()
	a := newApp(t, "laptop")
	ctx := context.Background()
	d, err := a.makeDemo(ctx, t.TempDir(), scenario)
	if err != nil {
		t.Fatal(err)
	}
	site, err := a.Site(ctx, d.Site)
	if err != nil {
		t.Fatal(err)
	}
	said := map[demo.TruthKind]map[string]bool{}
	say := func(kind demo.TruthKind, point string) {
		if said[kind] == nil {
			said[kind] = map[string]bool{}
		}
		said[kind][point] = true
	}
	_, findings, err := a.Check(ctx, site.ID, today)
	if err != nil {
		t.Fatal(err)
	}
	byCode := map[string]demo.TruthKind{
		"number-twice": demo.DuplicateNumber, "number-unset": demo.UnsetNumber,
		"disabled-forgotten": demo.Forgotten, "never-read": demo.NeverRead,
	}
	for _, f := range findings {
		for _, p := range f.Points {
			if kind, ok := byCode[f.Code]; ok {
				say(kind, p.Ref().String())
			}
		}
	}
	survey, err := a.Survey(ctx, site.ID, today)
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range survey.Judged().Judgements {
		sayOf(j, func(kind demo.TruthKind) { say(kind, j.Point.Ref().String()) })
	}
	return said
}

func sayOf(j Judgement, say func(demo.TruthKind)) {
	if j.Verdict == "no band" {
		say(demo.NoBand)
	}
	if j.Action == "replace" {
		say(demo.AgeingCell)
	}
	if j.Unsteady {
		say(demo.Noisy)
	}
	if j.Action == "look again" {
		say(demo.Stuck)
	}
	if j.Verdict == "above" || j.Verdict == "below" || j.ChanceOutside != nil && *j.ChanceOutside >= judge.TooLikely {
		say(demo.Outside)
		say(demo.Leaving)
	}
}

func scorePage(table []*scored) string {
	var b strings.Builder
	fmt.Fprintf(&b, `# How well the planted truths are found

Written by `+"`go test ./internal/app -run 'Score$' -update`"+`; the same test without -update tries %d other sites each time and
fails when a figure falls below its least. %d invented sites, seeds %d to %d, which nothing was tuned on (1 to 100 were):
their listings are taken in as files, and what `+"`take`, `check` and `judge`"+` say is held against what was planted
(docs/demo.md). A point counts as found when the rule names it; precision is the share of the points
named by the rule that carry that truth, so a rule that several troubles can set off (look again,
replace, unsteady) has a precision below one without being wrong.

| truth | found by | planted | found | recall | precision | least recall | least precision |
| --- | --- | --: | --: | --: | --: | --: | --: |
`, checkedSeeds, scoreSeeds, scoreFirst, scoreFirst+scoreSeeds-1)
	for _, s := range table {
		fmt.Fprintf(&b, "| %s | %s | %d | %d | %.3f | %.3f | %.2f | %.2f |\n", s.kind, s.by, s.found+s.missed, s.found, s.recall(), s.precision(), s.leastRecall, s.leastPrecision)
	}
	b.WriteString(`
Cleanings and swaps that nobody wrote down, values that never move and dusty rooms have a page of their own,
score-unwritten.md. What an ideal judge would reach on the same sites, one that knows everything but the draws, stands in
score-ideal.md: noise of one count hides which side of the next visit a level leaves its band on. The chance from which a
point is named, four in ten, is a little less than even. How the judge does in worlds that were not made for it stands in
score-levels.md. The typing slip is a row that ` + "`take`" + ` leaves, which another test looks at.
`)
	return b.String()
}

// The demo as people see it takes in whole, and check and judge name its site.
func TestDemoIsTakenWhole(t *testing.T) {
	a := newApp(t, "laptop")
	d, err := a.MakeDemo(context.Background(), t.TempDir(), 2026, today.Truncate(24*time.Hour))
	if err != nil {
		t.Fatal(err)
	}
	left := 0
	kinds := map[sootline.Kind]bool{}
	for _, table := range d.Outcome.Tables {
		left += table.Left
		for _, trouble := range table.Troubles {
			if !strings.Contains(trouble.Text, "looks 10 times too large") {
				t.Errorf("%s, row %d: %s", table.Table.Path, trouble.Line, trouble.Text)
			}
		}
		for kind := range table.Added {
			kinds[kind] = true
		}
	}
	if left != 1 || len(d.Outcome.Skipped) > 0 {
		t.Errorf("%d rows left, want the one typing slip; %d tables skipped", left, len(d.Outcome.Skipped))
	}
	for _, kind := range []sootline.Kind{sootline.SheetKind, sootline.FittedKind, sootline.ReadKind, sootline.CleanedKind, sootline.DisabledKind} {
		if !kinds[kind] {
			t.Errorf("no entry of kind %s; there are %v", kind, slices.Sorted(maps.Keys(kinds)))
		}
	}
}
