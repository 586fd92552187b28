package main

import (
	"time"

	"sootline"
)

// The shapes of --json, as docs/formats/json.md describes them. They are kept
// apart from the program's own types, so that those can change.

type checkShape struct {
	Site     string         `json:"site"`
	On       string         `json:"on"`
	Points   int            `json:"points"`
	Findings []findingShape `json:"findings"`
}

type findingShape struct {
	Code    string   `json:"code"`
	Weight  string   `json:"weight"`
	Loop    string   `json:"loop,omitempty"`
	Points  []string `json:"points"`
	IDs     []string `json:"point_ids"`
	Reason  string   `json:"reason"`
	WayOut  string   `json:"way_out,omitempty"`
	Entries []string `json:"entries"`
}

func checkJSON(r *sootline.Register, on time.Time, findings []sootline.Finding) checkShape {
	shape := checkShape{Site: r.Site.Name, On: instant(on), Points: len(r.Points()), Findings: []findingShape{}}
	for _, f := range findings {
		loop := ""
		if f.Loop != (sootline.LoopID{}) {
			loop = f.Loop.String()
		}
		shape.Findings = append(shape.Findings, findingShape{
			Code: f.Code, Weight: f.Weight.String(), Loop: loop, Points: refs(f.Points), IDs: pointIDs(f.Points),
			Reason: f.Reason, WayOut: f.WayOut, Entries: ids(f.Entries),
		})
	}
	return shape
}

func pointIDs(points []*sootline.Point) []string {
	texts := make([]string, len(points))
	for i, p := range points {
		texts[i] = p.ID.String()
	}
	return texts
}

func ids(entries []sootline.ID) []string {
	texts := make([]string, len(entries))
	for i, id := range entries {
		texts[i] = id.String()
	}
	return texts
}

func instant(t time.Time) string { return t.UTC().Format(time.RFC3339) }
