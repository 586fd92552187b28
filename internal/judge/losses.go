package judge

// Losses say what it costs to be wrong, each as a share of the first: a detector that stands outside its band from
// one visit to the next.
type Losses struct {
	Missed  float64 `json:"missed"`  // it is outside, and nothing is done until the next visit
	Trip    float64 `json:"trip"`    // it is cleaned now, and was not outside
	Clean   float64 `json:"clean"`   // it is cleaned at a visit, and would have lasted until the one after
	Replace float64 `json:"replace"` // a unit is replaced that would have lasted
}

// UsualLosses are those where a firm chose no others. To go for nothing costs twice what it costs that one is outside
// until somebody comes anyway; a needless cleaning at a visit is much cheaper, since somebody stands there; to throw a
// good unit away costs most. Ours, no source.
func UsualLosses() Losses { return Losses{Missed: 1, Trip: 2, Clean: 0.65, Replace: 3} }

// from is the chance from which acting is cheaper than waiting, where acting for nothing costs so much.
func (l Losses) from(needless float64) float64 { return needless / (needless + l.Missed) }

// TooLikely is the chance of being outside by the next visit from which a point counts as leaving its band: a little less than
// even.
const TooLikely = 0.4
