package main

import (
	"fmt"
	"strconv"
	"strings"

	"sootline/internal/app"
	"sootline/internal/shape"
)

var judgeHead = []string{
	"point", "type", "zone", "area", "location", "value", "spread", "read_at", "low", "high", "verdict", "margin",
	"unsteady", "drift_per_year", "drift_low", "drift_high", "drift_real", "leaves_earliest", "leaves_likely", "leaves_latest",
	"chance_outside", "chance_by", "readings_since_reset", "reset_at", "action", "reasons",
}

// judgeRows gives the cells of judgeHead.
func judgeRows(judgements []app.Judgement) [][]string {
	var rows [][]string
	for _, j := range judgements {
		p := shape.OfPoint(j)
		rows = append(rows, []string{
			p.Point, p.Type, p.Zone, p.Area, p.Location, number(p.Value), number(p.Spread), text(p.ReadAt),
			number(p.Band[0]), number(p.Band[1]), p.Verdict, number(p.Margin), strconv.FormatBool(p.Unsteady),
			number(p.DriftPerYear), number(p.DriftLow), number(p.DriftHigh), p.DriftReal,
			text(p.LeavesEarliest), text(p.LeavesLikely), text(p.LeavesLatest), number(p.ChanceOutside), text(p.ChanceBy),
			fmt.Sprint(p.ReadingsSinceReset), text(p.ResetAt), p.Action, strings.Join(p.Reasons, "; "),
		})
	}
	return rows
}

func text(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}
