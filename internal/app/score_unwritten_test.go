package app

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/demo"
	"sootline/internal/judge"
)

// The sites that the questions are scored on; their thresholds were tried on
// seeds 1 to 40 only.
const (
	unwrittenFrom  = 1000
	unwrittenSeeds = 40
)

// asked counts how well one kind of event that nobody wrote down is asked about.
type asked struct {
	what                        string
	planted, found, wrong       int
	leastRecall, leastPrecision float64
}

func (s *asked) recall() float64    { return share(s.found, s.planted-s.found) }
func (s *asked) precision() float64 { return share(s.found, s.wrong) }

// unwrittenScore is the table of the page.
type unwrittenScore struct {
	swapped, cleaned, stuck, device, typed, unstable, dusty asked
	sites                                                   int
}

func (s *unwrittenScore) rows() []*asked {
	return []*asked{&s.swapped, &s.cleaned, &s.stuck, &s.device, &s.typed, &s.unstable, &s.dusty}
}

// TestScoreUnwritten holds the questions about what nobody wrote down against
// the demo's planted truths, and publishes docs/methods/score-unwritten.md.
func TestScoreUnwritten(t *testing.T) {
	sums(t)
	score := scoreUnwritten(t, unwrittenFrom, unwrittenSeeds)
	for _, s := range score.rows() {
		if s.recall() < s.leastRecall || s.precision() < s.leastPrecision {
			t.Errorf("%s: recall %.3f and precision %.3f, want at least %v and %v", s.what, s.recall(), s.precision(), s.leastRecall, s.leastPrecision)
		}
	}
	page := score.page(unwrittenFrom, unwrittenSeeds)
	const path = "../../docs/methods/score-unwritten.md"
	if *update {
		if err := os.WriteFile(path, []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if was, err := os.ReadFile(path); err != nil || string(was) != page {
		t.Errorf("%s is out of date (go test ./internal/app -run ScoreUnwritten -update): %v", path, err)
	}
}

func scoreUnwritten(t *testing.T, from, seeds uint64) *unwrittenScore {
	t.Helper()
	score := &unwrittenScore{
		swapped:  asked{what: "two devices changed places, 5 noise sd or more apart", leastRecall: 0.6, leastPrecision: 0.9},
		cleaned:  asked{what: "a cleaning that nobody wrote down, 6 noise sd or more", leastRecall: 0.9, leastPrecision: 0.75},
		stuck:    asked{what: "a value that never moves", leastRecall: 0.9, leastPrecision: 0.7},
		device:   asked{what: "another device fitted (none is planted)"},
		typed:    asked{what: "a reading typed wrongly (none is left in the book)"},
		unstable: asked{what: "unsteady (not planted by itself)"},
		dusty:    asked{what: "a dusty room, by its smoke detectors", leastRecall: 0.9},
	}
	for seed := range seeds {
		scenario := demo.Make(from+seed, today.Truncate(24*time.Hour))
		score.count(t, scenario, registerOf(t, scenario))
	}
	return score
}

// registerOf takes in the scenario's listings and gives the register.
func registerOf(t *testing.T, scenario demo.Scenario) *sootline.Register {
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
	entries, err := a.Book.Entries(ctx, site.ID)
	if err != nil {
		t.Fatal(err)
	}
	return sootline.Fold(entries, today)
}

func (s *unwrittenScore) count(t *testing.T, scenario demo.Scenario, r *sootline.Register) {
	t.Helper()
	s.sites++
	questions := judge.Unwritten(r)
	s.swapped.hold(questions, scenario.Of(demo.Swapped), judge.AskChangedPlaces)
	s.cleaned.hold(questions, scenario.Of(demo.CleanedUnrecorded), judge.AskCleaned)
	s.stuck.hold(questions, scenario.Of(demo.Stuck), judge.AskNeverMoves)
	s.device.hold(questions, nil, judge.AskOtherDevice)
	s.typed.hold(questions, nil, judge.AskFactorTen, judge.AskTransposed, judge.AskNeighbour)
	s.unstable.hold(questions, nil, judge.AskUnsteady)
	s.countDusty(scenario, judge.Peers(r, judge.Site(r, today)))
}

// hold counts a question as right when its points are those of a truth and it
// names the time, and a truth as found when a question is right about it.
func (s *asked) hold(questions []judge.Question, truths []demo.Truth, kinds ...judge.QuestionKind) {
	found := make([]bool, len(truths))
	s.planted += len(truths)
	for i := range questions {
		q := &questions[i]
		if !slices.Contains(kinds, q.Kind) {
			continue
		}
		at := slices.IndexFunc(truths, func(truth demo.Truth) bool { return rightly(q, truth) })
		if at < 0 || found[at] {
			s.wrong++
			continue
		}
		found[at] = true
		s.found++
	}
}

func rightly(q *judge.Question, truth demo.Truth) bool {
	points := make([]string, len(q.Points))
	for i, p := range q.Points {
		points[i] = p.Ref().String()
	}
	slices.Sort(points)
	return slices.Equal(points, slices.Sorted(slices.Values(truth.Points))) &&
		(truth.Kind == demo.Stuck || !truth.At.Before(q.From) && !truth.At.After(q.To))
}

// countDusty counts a room as found when its smoke detectors are said to stand
// in a dusty room, and any other room with smoke detectors of which that is said
// as wrong.
func (s *unwrittenScore) countDusty(scenario demo.Scenario, peers map[*sootline.Point]judge.Peer) {
	said := map[string]bool{}
	rooms := map[string]string{}
	for p, peer := range peers {
		rooms[p.Ref().String()] = p.Area
		if peer.Room == judge.RoomRaised && sootline.TypeKey(p.Type) == "plimbow" {
			said[p.Area] = true
		}
	}
	planted := map[string]bool{}
	for _, truth := range scenario.Of(demo.DustyRoom) {
		for _, point := range truth.Points {
			if room := rooms[point]; room != "" {
				planted[room] = true
			}
		}
	}
	s.dusty.planted += len(scenario.Of(demo.DustyRoom))
	for room := range said {
		if planted[room] {
			s.dusty.found++
		} else {
			s.dusty.wrong++
		}
	}
}

func (s *unwrittenScore) page(from, seeds int) string {
	var b strings.Builder
	fmt.Fprintf(&b, `# How well what nobody wrote down is asked about

Written by a test (`+"`go test ./internal/app -run ScoreUnwritten -update`"+`), which also fails when a figure
falls below its least. %d invented sites, seeds %d to %d, which nothing was tuned on (seeds 1 to 40 were): their
listings are taken in as files, and the questions are held against what was planted (docs/demo.md). A
question is right when it names exactly the points of a truth and the visits around its time; any other of its kind is
wrong. The method is in judging.md.

| what | planted | asked rightly | asked wrongly | recall | precision | least recall | least precision |
| --- | --: | --: | --: | --: | --: | --: | --: |
`, seeds, from, from+seeds-1)
	for _, row := range s.rows() {
		recall, precision := fmt.Sprintf("%.3f", row.recall()), fmt.Sprintf("%.3f", row.precision())
		if row.planted == 0 {
			recall, precision = "", ""
		}
		fmt.Fprintf(&b, "| %s | %d | %d | %d | %s | %s | %s | %s |\n", row.what, row.planted, row.found, row.wrong,
			recall, precision, least(row.leastRecall), least(row.leastPrecision))
	}
	b.WriteString(`
The demo plants swaps and cleanings of at least seven standard deviations of the noise of one sample; smaller ones are
measured. Rooms count as planted from 1.5 counts a year;
the plant room, at 1.1, rises by six counts and more in six years, and counts as wrong here though it is dusty.
`)
	return b.String()
}

func least(x float64) string {
	if x == 0 {
		return ""
	}
	return fmt.Sprintf("%.2f", x)
}
