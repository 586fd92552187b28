package shape

import "sootline/internal/app"

// BenchLook is what is to be said of what was typed.
type BenchLook struct {
	Number  int           `json:"number"`
	Last    int           `json:"last"`
	Value   BenchValue    `json:"value"`
	Remarks []BenchRemark `json:"remarks"`
}

// BenchValue is a look at a resting value.
type BenchValue struct {
	State    string   `json:"state"`
	Value    float64  `json:"value"`
	Spread   *float64 `json:"spread"`
	Low      *float64 `json:"low"`
	High     *float64 `json:"high"`
	Margin   *float64 `json:"margin"`
	Settling bool     `json:"settling"`
	Unsteady bool     `json:"unsteady"`
	Wait     float64  `json:"wait_seconds"`
}

// BenchRemark is one thing to say.
type BenchRemark struct {
	Code  string `json:"code"`
	Grave string `json:"grave"` // refused, asked or told
	Text  string `json:"text"`
}

// OfBenchLook shapes it.
func OfBenchLook(l *app.BenchLooked) BenchLook {
	shape := BenchLook{Number: l.Hand.Number, Last: l.Hand.Last, Value: BenchValue(l.Value), Remarks: []BenchRemark{}}
	for _, r := range l.Remarks {
		shape.Remarks = append(shape.Remarks, BenchRemark{string(r.Code), string(r.Grave), r.Text})
	}
	return shape
}

// BenchHand is what comes next at the bench, the answer of `bench next --json`: a place of the run, or the
// number of a new place.
type BenchHand struct {
	Run    string      `json:"run"`
	Place  *BenchPlace `json:"place"` // null: a new one
	Number int         `json:"number"`
	Last   int         `json:"last"`
	Type   string      `json:"type"`
	Card   string      `json:"card"`
	Steps  []string    `json:"steps"`
}

// OfBenchHand shapes it.
func OfBenchHand(b *app.BenchRun, h app.BenchHand) BenchHand {
	shape := BenchHand{Run: b.Title(), Number: h.Number, Last: h.Last, Type: h.Type, Card: app.CardText(&h.Card), Steps: append([]string{}, h.Steps...)}
	if h.Place == nil {
		return shape
	}
	for _, place := range OfBench(b, "", "").Places {
		if place.ID == h.Place.Point.ID.String() {
			shape.Place = &place
		}
	}
	return shape
}
