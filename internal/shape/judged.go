package shape

import (
	"math"
	"time"

	"sootline"
	"sootline/internal/app"
)

// Judged is what the resting values of a site come to.
type Judged struct {
	Site   string  `json:"site"`
	On     string  `json:"on"`
	Points []Point `json:"points"`
}

// Point is what the readings of one point come to.
type Point struct {
	Point              string      `json:"point"`
	Panel              string      `json:"panel"`
	Loop               string      `json:"loop"`
	Address            int         `json:"address"`
	Type               string      `json:"type"`
	Location           string      `json:"location"`
	Zone               string      `json:"zone"`
	Area               string      `json:"area"`
	Quantity           string      `json:"quantity"`
	Unit               string      `json:"unit"`
	Value              *float64    `json:"value"`
	Spread             *float64    `json:"spread"`
	ReadAt             *string     `json:"read_at"`
	Band               [2]*float64 `json:"band"`
	Verdict            string      `json:"verdict"`
	Margin             *float64    `json:"margin"`
	Unsteady           bool        `json:"unsteady"`
	Course             string      `json:"course"`
	DriftPerYear       *float64    `json:"drift_per_year"`
	DriftLow           *float64    `json:"drift_low"`
	DriftHigh          *float64    `json:"drift_high"`
	DriftReal          string      `json:"drift_real"`
	LeavesEarliest     *string     `json:"leaves_earliest"`
	LeavesLikely       *string     `json:"leaves_likely"`
	LeavesLatest       *string     `json:"leaves_latest"`
	ChanceOutside      *float64    `json:"chance_outside"`
	ChanceBy           *string     `json:"chance_by"`
	ReadingsSinceReset int         `json:"readings_since_reset"`
	ResetAt            *string     `json:"reset_at"`
	Borrowed           *float64    `json:"borrowed"`
	Curved             bool        `json:"curved"`
	AlarmShare         *float64    `json:"alarm_share"`
	Action             string      `json:"action"`
	Reasons            []string    `json:"reasons"`
	Entries            []string    `json:"entries"`
	Others             []Point     `json:"others"`
}

// OfJudged gives the shape of a site's judgements.
func OfJudged(r *sootline.Register, on time.Time, judgements []app.Judgement) Judged {
	shape := Judged{Site: r.Site.Name, On: instant(on), Points: []Point{}}
	for _, j := range judgements {
		shape.Points = append(shape.Points, OfPoint(j))
	}
	return shape
}

// OfPoint gives the shape of one judgement.
func OfPoint(j app.Judgement) Point {
	ref := j.Point.Ref()
	p := Point{
		Point: ref.String(), Panel: ref.Panel, Loop: ref.Loop, Address: ref.Number,
		Type: j.Point.Type, Location: j.Point.Location, Zone: j.Point.Zone, Area: j.Point.Area,
		Spread: rounded(j.Spread), Verdict: string(j.Verdict), Margin: rounded(j.Margin), Unsteady: j.Unsteady,
		Quantity: j.Quantity, Course: string(j.Course), Others: []Point{},
		DriftPerYear: rounded(j.DriftPerYear), DriftLow: rounded(j.DriftLow), DriftHigh: rounded(j.DriftHigh),
		DriftReal:      string(j.DriftReal),
		LeavesEarliest: dateOf(j.LeavesEarliest), LeavesLikely: dateOf(j.LeavesLikely), LeavesLatest: dateOf(j.LeavesLatest),
		ChanceOutside: rounded(j.ChanceOutside), ChanceBy: dateOf(j.ChanceBy), ReadingsSinceReset: j.ReadingsSinceReset,
		Borrowed: rounded(j.Borrowed), Curved: j.Curved, AlarmShare: rounded(j.AlarmShare),
		Action: string(j.Action), Reasons: j.Sentences(), Entries: ids(j.Entries()),
	}
	if j.Sheet != nil {
		p.Unit = j.Sheet.Unit
	}
	for _, other := range j.Others {
		p.Others = append(p.Others, OfPoint(other))
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
	s := t.Format(time.DateOnly) // of the site, as the reasons have it
	return &s
}
