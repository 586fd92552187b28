package shape

import (
	"time"

	"sootline"
)

// Check is what is wrong on a site's register.
type Check struct {
	Site     string    `json:"site"`
	On       string    `json:"on"`
	Points   int       `json:"points"`
	Findings []Finding `json:"findings"`
}

// Finding is one thing that is wrong.
type Finding struct {
	Code    string   `json:"code"`
	Weight  string   `json:"weight"`
	Loop    string   `json:"loop,omitempty"`
	Points  []string `json:"points"`
	IDs     []string `json:"point_ids"`
	Reason  string   `json:"reason"`
	WayOut  string   `json:"way_out,omitempty"`
	Ways    []Way    `json:"ways,omitempty"`
	Entries []string `json:"entries"`
}

// OfCheck gives the shape of what a check of a register found.
func OfCheck(r *sootline.Register, on time.Time, findings []sootline.Finding) Check {
	shape := Check{Site: r.Site.Name, On: instant(on), Points: len(r.Points()), Findings: []Finding{}}
	for _, f := range findings {
		loop := ""
		if f.Loop != (sootline.LoopID{}) {
			loop = f.Loop.String()
		}
		shape.Findings = append(shape.Findings, Finding{
			Code: f.Code, Weight: f.Weight.String(), Loop: loop, Points: Refs(f.Points), IDs: pointIDs(f.Points),
			Reason: f.Reason, WayOut: f.WayOut.String(), Ways: OfWays(f.WayOut), Entries: ids(f.Entries),
		})
	}
	return shape
}

// Refs writes the references of points.
func Refs(points []*sootline.Point) []string {
	texts := make([]string, len(points))
	for i, p := range points {
		texts[i] = p.Ref().String()
	}
	return texts
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
