package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

type judgeShape struct {
	Site   string       `json:"site"`
	On     string       `json:"on"`
	Points []pointShape `json:"points"`
}

type pointShape struct {
	Point              string      `json:"point"`
	Panel              string      `json:"panel"`
	Loop               string      `json:"loop"`
	Address            int         `json:"address"`
	Type               string      `json:"type"`
	Location           string      `json:"location"`
	Zone               string      `json:"zone"`
	Area               string      `json:"area"`
	Value              *float64    `json:"value"`
	Spread             *float64    `json:"spread"`
	ReadAt             *string     `json:"read_at"`
	Band               [2]*float64 `json:"band"`
	Verdict            string      `json:"verdict"`
	Margin             *float64    `json:"margin"`
	Unsteady           bool        `json:"unsteady"`
	DriftPerYear       *float64    `json:"drift_per_year"`
	DriftLow           *float64    `json:"drift_low"`
	DriftHigh          *float64    `json:"drift_high"`
	DriftReal          string      `json:"drift_real"`
	LeavesEarliest     *string     `json:"leaves_earliest"`
	LeavesLikely       *string     `json:"leaves_likely"`
	LeavesLatest       *string     `json:"leaves_latest"`
	ChanceOutside      *float64    `json:"chance_outside"`
	ReadingsSinceReset int         `json:"readings_since_reset"`
	ResetAt            *string     `json:"reset_at"`
	Action             string      `json:"action"`
	Reasons            []string    `json:"reasons"`
	Entries            []string    `json:"entries"`
}

func judgeJSON(r *sootline.Register, on time.Time, judgements []app.Judgement) judgeShape {
	shape := judgeShape{Site: r.Site.Name, On: instant(on), Points: []pointShape{}}
	for _, j := range judgements {
		shape.Points = append(shape.Points, shapePoint(j))
	}
	return shape
}

func shapePoint(j app.Judgement) pointShape {
	ref := j.Point.Ref()
	p := pointShape{
		Point: ref.String(), Panel: ref.Panel, Loop: ref.Loop, Address: ref.Number,
		Type: j.Point.Type, Location: j.Point.Location, Zone: j.Point.Zone, Area: j.Point.Area,
		Spread: rounded(j.Spread), Verdict: string(j.Verdict), Margin: rounded(j.Margin), Unsteady: j.Unsteady,
		DriftPerYear: rounded(j.DriftPerYear), DriftLow: rounded(j.DriftLow), DriftHigh: rounded(j.DriftHigh),
		DriftReal:      string(j.DriftReal),
		LeavesEarliest: dateOf(j.LeavesEarliest), LeavesLikely: dateOf(j.LeavesLikely), LeavesLatest: dateOf(j.LeavesLatest),
		ChanceOutside: rounded(j.ChanceOutside), ReadingsSinceReset: j.ReadingsSinceReset,
		Action: string(j.Action), Reasons: j.Reasons, Entries: ids(j.Entries()),
	}
	if !j.ReadAt.IsZero() {
		value, at := j.Value, instant(j.ReadAt)
		p.Value, p.ReadAt = &value, &at
	}
	if j.Band != nil {
		p.Band = [2]*float64{j.Band.Low, j.Band.High}
	}
	if j.ResetAt.After(sootline.LongAgo) {
		at := instant(j.ResetAt)
		p.ResetAt = &at
	}
	if p.Reasons == nil {
		p.Reasons = []string{}
	}
	return p
}

// rounded keeps six decimals: enough for any use, and the same on every
// machine.
func rounded(x *float64) *float64 {
	if x == nil {
		return nil
	}
	r := math.Round(*x*1e6) / 1e6
	return &r
}

func dateOf(t *time.Time) *string {
	if t == nil {
		return nil
	}
	s := t.UTC().Format(time.DateOnly)
	return &s
}

var judgeHead = []string{
	"point", "type", "zone", "area", "location", "value", "spread", "read_at", "low", "high", "verdict", "margin",
	"unsteady", "drift_per_year", "drift_low", "drift_high", "drift_real", "leaves_earliest", "leaves_likely", "leaves_latest",
	"chance_outside", "readings_since_reset", "reset_at", "action", "reasons",
}

// judgeRows gives the cells of judgeHead.
func judgeRows(judgements []app.Judgement) [][]string {
	var rows [][]string
	for _, j := range judgements {
		p := shapePoint(j)
		rows = append(rows, []string{
			p.Point, p.Type, p.Zone, p.Area, p.Location, number(p.Value), number(p.Spread), text(p.ReadAt),
			number(p.Band[0]), number(p.Band[1]), p.Verdict, number(p.Margin), strconv.FormatBool(p.Unsteady),
			number(p.DriftPerYear), number(p.DriftLow), number(p.DriftHigh), p.DriftReal,
			text(p.LeavesEarliest), text(p.LeavesLikely), text(p.LeavesLatest), number(p.ChanceOutside),
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
