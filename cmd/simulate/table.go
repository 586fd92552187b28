package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

const (
	ourBefore     = "before earliest"
	borrowedCover = "those: cover"
	borrowedWidth = "width to K's"
)

// columns are the heads of the table.
func columns() []string {
	return []string{
		"scenario", "visits", "K: covers", "K: before earliest", "K: no latest", "K: width", "K: bias",
		"covers", ourBefore, "no latest", "width", "bias", "borrow", borrowedCover, borrowedWidth, "both dated",
	}
}

// table writes the rows as Markdown.
func table(rows []row, seed uint64, sites int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Seed %d, %d sites a row, %d series a row.\n\n", seed, sites, rows[0].ours.n)
	b.WriteString("| " + strings.Join(columns(), " | ") + " |\n")
	b.WriteString("| --- " + strings.Repeat("| --: ", len(columns())-1) + "|\n")
	for i := range rows {
		r := &rows[i]
		cells := []string{r.scenario.name, strconv.Itoa(r.visits)}
		cells = append(append(cells, r.own.cells()...), r.ours.cells()...)
		both, n := bothDated(&r.borrowed, &r.ownWhere)
		cells = append(cells, figure(share(r.borrowed.n, r.ours.n), 2), figure(r.borrowed.coverage(), 3), figure(r.widthRatio(), 2))
		if n < fewestPairs {
			both = math.NaN()
		}
		cells = append(cells, figure(both, 2))
		b.WriteString("| " + strings.Join(cells, " | ") + " |\n")
	}
	return b.String()
}

// fewestPairs is the fewest series of which a ratio of medians is shown.
const fewestPairs = 30

// widthRatio is the median width of those that borrow beside that of K on the
// same series; 0 where K gives most of them no latest day at all.
func (r *row) widthRatio() float64 {
	if math.IsInf(r.borrowed.width(), 1) {
		return math.Inf(1)
	}
	return r.borrowed.width() / r.ownWhere.width()
}

func (s *score) cells() []string {
	return []string{figure(s.coverage(), 3), figure(s.early(), 3), figure(s.openEnded(), 2), figure(s.width(), 1), signed(s.bias())}
}

func figure(x float64, decimals int) string {
	if math.IsNaN(x) {
		return "-"
	}
	if math.IsInf(x, 0) {
		return "open"
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

func signed(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "open"
	}
	return fmt.Sprintf("%+.0f %%", 100*x)
}
