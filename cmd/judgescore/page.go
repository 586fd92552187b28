package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"sootline/internal/worlds/levels"
)

// published is where the figures stand, and how many sites of each scenario they are of.
const (
	pagePath       = "docs/methods/score-levels.md"
	publishedFirst = 1
	publishedSeeds = 5
)

// scoredWorld is what came of all judges on one world.
type scoredWorld struct {
	name   string
	judges []scoredJudge
}

type scoredJudge struct {
	name   string
	scored []levels.Scored // by scenario, in the order of the world
	all    *levels.Result
}

// playAll has everybody judge the same sites of every world.
func playAll(draw levels.Draw, progress io.Writer) []scoredWorld {
	var answer []levels.Judge
	for _, j := range judges() {
		answer = append(answer, j.answer)
	}
	var all []scoredWorld
	for _, w := range worlds() {
		began := time.Now()
		one := scoredWorld{name: w.Name()}
		for i, scored := range levels.PlayAll(w, draw, answer) {
			one.judges = append(one.judges, scoredJudge{judges()[i].name, scored, levels.Total(scored)})
		}
		fmt.Fprintf(progress, "%s: %.0f s\n", w.Name(), time.Since(began).Seconds())
		all = append(all, one)
	}
	return all
}

const pageHead = `# How well levels are judged in worlds that were not made for it

Written by ` + "`go run ./cmd/judgescore -write`" + ` on %s. Seeds %d to %d of every scenario of every world; the same
command gives the same figures, but for the day. A short form of it runs with the tests and fails when a figure of the
tool's own judge falls below its floor.

The worlds (internal/worlds/levels) draw sites with their log and keep the truth: the level of each detector free of
noise, when it leaves its band if nobody does anything, what happened to it and whether the log tells of it, and what
somebody who knew all that would do. Three were written by minds that had not seen the judge; the fourth, harbour, is
the site of docs/demo.md, for which the judge was first written. All are invented, and say nothing of how well anything
does on real sites. What each draws stands at the head of its package.

The judge has no constant fitted to these worlds by a program, but some of its own choices (docs/methods/judging.md, Limits)
were settled by hand while the same worlds were played with other seeds, 1001 to 6002. So what stands here is free of
the seeds, and not of the worlds: another world may find it worse.

Everybody sees the same logs, and is told when somebody comes next:

- ours: the judge of this program (docs/methods/judging.md);
- limits: the last reading since the last reset against the printed limits, and nothing else;
- leastsquares: a line by least squares through the readings since the last reset, with Student's t and Fieller's days;
- theilsen: a line by the median of slopes, with Sen's interval;
- hierarchical: levels and drifts by type, area and run, fitted to each site by itself with MixedLM of statsmodels,
  after values far outside the band were thrown away.

The rules by which the last four choose an action, and what they do with few readings, stand at the head of each one's
file in cmd/judgescore. None of the four asks anything.

Recall and precision are of the verdict "outside now or by the next visit"; the chance of that is scored by Brier
(1950), where none is stated as one half. Days: "covered" is the share of detectors inside now that leave their band
between the earliest and the latest day that was stated, nominally 0.9; "width" is the median of years between them.
Questions are right where something of the kind happened that the log does not tell of, at about that time. "Needless"
is how many of 100 healthy detectors are to be cleaned now or replaced; "left" how many of 1000 clearly outside are to
be left. A dash means that there was nothing to count.

`

// page writes what is published.
func page(all []scoredWorld, ceiling []levels.Scored, draw levels.Draw, day time.Time) string {
	var b strings.Builder
	fmt.Fprintf(&b, pageHead, day.Format(time.DateOnly), draw.First, draw.First+uint64(draw.Seeds)-1)
	writeGoals(&b, all)
	b.WriteString("\n## All scenarios of a world together\n\n")
	for i := range all {
		for k := range all[i].judges {
			j := &all[i].judges[k]
			if i+k == 0 {
				heading(&b, "world", "judge", figureHeads()...)
			}
			row(&b, all[i].name, j.name, figures(j.all))
		}
	}
	writeCeiling(&b, ceiling)
	for i := range all {
		writeWorld(&b, &all[i])
	}
	return b.String()
}

func writeWorld(b *strings.Builder, w *scoredWorld) {
	all := w.judges[0].all
	fmt.Fprintf(b, "\n## World %s\n\n%d sites, %d detectors, %d of them healthy. By scenario:\n\n", w.name, all.Sites, all.Points, all.Healthy)
	heading(b, "scenario", "judge", figureHeads()...)
	for i := range w.judges[0].scored {
		for _, j := range w.judges {
			row(b, j.scored[i].Scenario, j.name, figures(j.scored[i].Result))
		}
	}
	b.WriteString("\nBy number of readings since the last reset:\n\n")
	heading(b, "readings", "judge", "detectors", "recall", "precision", "Brier", "no chance", "covered", "width", "no day")
	for i := range levels.ReadingBins {
		for _, j := range w.judges {
			row(b, levels.ReadingsLabel(i), j.name, tallied(&j.all.ByReadings[i]))
		}
	}
	writeCalibration(b, w)
	writeQuestions(b, w)
}

// writeCalibration holds the chances that were stated, in tenths, against what happened.
func writeCalibration(b *strings.Builder, w *scoredWorld) {
	b.WriteString("\nChances that were stated, in tenths: how often, their mean, and the share that came true.\n\n")
	var heads []string
	for _, j := range w.judges[1:] {
		heads = append(heads, j.name)
	}
	heading(b, "chance", w.judges[0].name, heads...)
	for i := range w.judges[0].all.Calibration {
		var cells []string
		for _, j := range w.judges {
			bin := j.all.Calibration[i]
			cells = append(cells, fmt.Sprintf("%d: %s, %s", bin.Points, figure(bin.Stated/float64(bin.Points), 2), figure(share(bin.Happened, bin.Points), 2)))
		}
		row(b, fmt.Sprintf("%.1f to %.1f", float64(i)/10, float64(i+1)/10), cells[0], cells[1:])
	}
}

// writeQuestions says what ours asked.
func writeQuestions(b *strings.Builder, w *scoredWorld) {
	b.WriteString("\nWhat ours asked, and what the log does not tell of:\n\n")
	heading(b, "kind", "asked", "right", "happened untold", "found")
	questions := w.judges[0].all.Questions
	for _, kind := range levels.Kinds() {
		if q := questions[kind]; q != nil {
			row(b, kind, strconv.Itoa(q.Asked), []string{figure(share(q.Right, q.Asked), 2), strconv.Itoa(q.Unwritten), figure(share(q.Found, q.Unwritten), 2)})
		}
	}
}

func figureHeads() []string {
	return []string{"recall", "precision", "Brier", "covered", "width", "questions a site", "of 250 points", "right", "look again", "clean", "needless", "left"}
}

// figures gives what figureHeads names.
func figures(r *levels.Result) []string {
	asked, right := r.AskedRight()
	return []string{
		figure(r.All.Recall(), 3), figure(r.All.Precision(), 3), figure(r.All.Brier(), 4), figure(r.All.Coverage(), 3), figure(r.All.Width(), 1),
		figure(share(asked, r.Sites), 1), figure(250*share(asked, r.Points), 1), figure(share(right, asked), 2),
		figure(100*share(r.HealthyActions[levels.LookAgain], r.Healthy), 1), figure(100*share(r.HealthyActions[levels.Clean], r.Healthy), 1),
		figure(needless(r), 2), figure(left(r), 1),
	}
}

func tallied(t *levels.Tally) []string {
	return []string{
		strconv.Itoa(t.Points), figure(t.Recall(), 3), figure(t.Precision(), 3), figure(t.Brier(), 4), strconv.Itoa(t.Unstated),
		figure(t.Coverage(), 3), figure(t.Width(), 1), strconv.Itoa(t.Undated),
	}
}

// needless is how many of 100 healthy points are to be cleaned now or replaced.
func needless(r *levels.Result) float64 {
	return 100 * share(r.HealthyActions[levels.CleanNow]+r.HealthyActions[levels.Replace], r.Healthy)
}

// left is how many of 1000 points clearly outside are to be left.
func left(r *levels.Result) float64 { return 1000 * share(r.ClearlyLeft, r.ClearlyOutside) }

func share(part, whole int) float64 {
	if whole == 0 {
		return math.NaN()
	}
	return float64(part) / float64(whole)
}

func figure(x float64, decimals int) string {
	if math.IsNaN(x) {
		return "-"
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

func heading(b *strings.Builder, first, second string, more ...string) {
	row(b, first, second, more)
	fmt.Fprintf(b, "| --- | --- %s|\n", strings.Repeat("| --: ", len(more)))
}

func row(b *strings.Builder, first, second string, more []string) {
	b.WriteString("| " + strings.Join(append([]string{first, second}, more...), " | ") + " |\n")
}
