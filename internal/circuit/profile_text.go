package circuit

import (
	"fmt"
	"math"
	"strings"
)

// Text draws the profile for a terminal, columns wide. The first series is drawn with o, the next with x, + and *;
// least working volts with a dash. Where two fall on one place the later series stays.
func (pr *Profile) Text(columns int) string {
	const rows, margin = 14, 9
	width := max(columns-margin, 16)
	low, high := pr.span()
	grid := make([][]byte, rows)
	for i := range grid {
		grid[i] = []byte(strings.Repeat(" ", width))
	}
	put := func(m Mark, sign byte) {
		x := int(math.Round(float64(m.Metres/pr.Length) * float64(width-1)))
		y := int(math.Round(float64((high-m.Volts)/(high-low)) * float64(rows-1)))
		grid[min(max(y, 0), rows-1)][min(max(x, 0), width-1)] = sign
	}
	for _, m := range pr.Least {
		put(m, '-')
	}
	for i, series := range pr.Series {
		for _, m := range series.Marks {
			put(m, signs(i))
		}
	}
	var out strings.Builder
	line := func(text string) { out.WriteString(strings.TrimRight(text, " ") + "\n") }
	line(pr.Title)
	for i, row := range grid {
		volts := float64(high) - float64(high-low)*float64(i)/float64(rows-1)
		line(fmt.Sprintf("%6.2f V|%s", volts, row))
	}
	line(strings.Repeat(" ", margin-1) + "+" + strings.Repeat("-", width))
	right := "IN " + pr.Length.String()
	line(strings.Repeat(" ", margin) + "OUT 0 m" + strings.Repeat(" ", max(width-7-len(right), 1)) + right)
	for i, series := range pr.Series {
		note := ""
		if len(series.Marks) == 0 {
			note = " (no operating point, nothing to draw)"
		}
		line(fmt.Sprintf("%*c %s%s", margin, signs(i), series.Name, note))
	}
	if len(pr.Least) > 0 {
		line(fmt.Sprintf("%*c least working volts of each device", margin, '-'))
	}
	return out.String()
}

func signs(i int) byte { return "ox+*"[i%4] }

// span gives the lowest and highest volts to draw, never the same.
func (pr *Profile) span() (low, high Volts) {
	low, high = Volts(math.Inf(1)), Volts(math.Inf(-1))
	include := func(marks []Mark) {
		for _, m := range marks {
			low, high = min(low, m.Volts), max(high, m.Volts)
		}
	}
	include(pr.Least)
	for _, series := range pr.Series {
		include(series.Marks)
	}
	if low > high {
		low, high = 0, 1
	}
	if high-low < 0.01 {
		low, high = low-0.005, high+0.005
	}
	return low, high
}
