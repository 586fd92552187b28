package levels

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"text/tabwriter"
)

// Scored is the result of one scenario, for a report.
type Scored struct {
	Scenario string
	Result   *Result
}

// Report writes what came of the scenarios of a world, and of all of them together, as tables of text. A
// figure of which there is nothing to count is written NaN.
func Report(w io.Writer, world string, scored []Scored) error {
	out := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	all := Total(scored)
	fmt.Fprintf(out, "World %s: %d sites, %d points, %d without an answer, %d strange answers\n\n", world, all.Sites, all.Points, all.Missing, all.Strange)
	reportTallies(out, "scenario", scored, &all.All)
	reportReadings(out, all)
	reportCalibration(out, all)
	reportQuestions(out, scored, all)
	reportActions(out, scored, all)
	return out.Flush()
}

// Total adds the results of scenarios.
func Total(scored []Scored) *Result {
	all := &Result{Questions: map[string]*Asked{}, Actions: map[Advice]int{}, HealthyActions: map[string]int{}}
	for _, s := range scored {
		all.Add(s.Result)
	}
	return all
}

const tallyHead = "\tpoints\trecall\tprecision\tBrier\tno chance\tcoverage\tleft before\tleft after\twidth, years\tno date\n"

func reportTallies(w io.Writer, group string, scored []Scored, all *Tally) {
	fmt.Fprint(w, group+tallyHead)
	for _, s := range scored {
		reportTally(w, s.Scenario, &s.Result.All)
	}
	reportTally(w, "all", all)
}

func reportReadings(w io.Writer, all *Result) {
	fmt.Fprint(w, "\nreadings"+tallyHead)
	for i := range all.ByReadings {
		reportTally(w, ReadingsLabel(i), &all.ByReadings[i])
	}
}

func reportTally(w io.Writer, label string, t *Tally) {
	fmt.Fprintf(w, "%s\t%d\t%.3f\t%.3f\t%.4f\t%d\t%.3f\t%.3f\t%.3f\t%.2f\t%d\n", label, t.Points, t.Recall(), t.Precision(), t.Brier(), t.Unstated,
		t.Coverage(), share(t.TooLate, t.Dated), share(t.TooEarly, t.Dated), t.Width(), t.Undated)
}

func reportCalibration(w io.Writer, all *Result) {
	fmt.Fprint(w, "\nchance\tpoints\tstated\thappened\n")
	for i, bin := range all.Calibration {
		fmt.Fprintf(w, "%.1f to %.1f\t%d\t%.3f\t%.3f\n", float64(i)/10, float64(i+1)/10, bin.Points, bin.Stated/float64(bin.Points), share(bin.Happened, bin.Points))
	}
}

func reportQuestions(w io.Writer, scored []Scored, all *Result) {
	fmt.Fprint(w, "\nquestions\tasked\tright\tunwritten\tfound\n")
	for _, kind := range askedKinds(all) {
		if q := all.Questions[kind]; q != nil {
			fmt.Fprintf(w, "%s\t%d\t%.3f\t%d\t%.3f\n", kind, q.Asked, share(q.Right, q.Asked), q.Unwritten, share(q.Found, q.Unwritten))
		}
	}
	fmt.Fprint(w, "\nquestions\ta site\ta site of 250 points\tright\n")
	for _, s := range append(slices.Clone(scored), Scored{"all", all}) {
		asked, right := s.Result.AskedRight()
		fmt.Fprintf(w, "%s\t%.1f\t%.1f\t%.3f\n", s.Scenario, float64(asked)/float64(s.Result.Sites), 250*float64(asked)/float64(s.Result.Points), share(right, asked))
	}
}

// askedKinds lists the kinds that can happen, then what else was asked about.
func askedKinds(all *Result) []string {
	kinds := Kinds()
	for _, kind := range slices.Sorted(maps.Keys(all.Questions)) {
		if !slices.Contains(kinds, kind) {
			kinds = append(kinds, kind)
		}
	}
	return kinds
}

// AskedRight gives how many questions were asked, and how many were right.
func (r *Result) AskedRight() (asked, right int) {
	for _, q := range r.Questions {
		asked, right = asked+q.Asked, right+q.Right
	}
	return asked, right
}

func reportActions(w io.Writer, scored []Scored, all *Result) {
	fmt.Fprint(w, "\nactions per 100 healthy\thealthy\tlook again\tclean\tclean now\treplace\tclearly outside\tof these left, per 1000\n")
	for _, s := range append(slices.Clone(scored), Scored{"all", all}) {
		r := s.Result
		fmt.Fprintf(w, "%s\t%d", s.Scenario, r.Healthy)
		for _, action := range Actions()[1:] {
			fmt.Fprintf(w, "\t%.2f", 100*share(r.HealthyActions[action], r.Healthy))
		}
		fmt.Fprintf(w, "\t%d\t%.1f\n", r.ClearlyOutside, 1000*share(r.ClearlyLeft, r.ClearlyOutside))
	}
	fmt.Fprint(w, "\nwants, and was given\tleave\tlook again\tclean\tclean now\treplace\n")
	for _, wants := range Actions() {
		fmt.Fprint(w, wants)
		for _, given := range Actions() {
			fmt.Fprintf(w, "\t%d", all.Actions[Advice{wants, given}])
		}
		fmt.Fprintln(w)
	}
}
