package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"sootline"
	"sootline/internal/robust"
)

// Overview is a site at a glance.
type Overview struct {
	Areas  []AreaState // those with a point outside or leaving its band, worst first
	Ageing []TypeState // types whose values fall, the most certain first
	Halves []Half      // half-years in order of time, those without a reading left out
	Course SiteCourse  // whether the share inside goes up or down
	Reason string      // why, in a sentence
}

// AreaState is what the points of one area come to.
type AreaState struct {
	Area    string
	Points  int      // with a verdict against a band
	Outside int      // outside now, by its resting value or another quantity, and not doubted
	Leaving int      // not so, but to be cleaned, or not left alone and likely outside at the next visit
	Share   float64  // of Outside and Leaving among Points
	Margin  *float64 // median margin, as in Judgement; nil when no band has two ends
}

// TypeState is how the points of one type drift.
type TypeState struct {
	Type    string
	Points  int     // whose own visits show a drift, up or down
	Falling int     // of them with one below zero
	Drift   float64 // their median drift a year, below zero
	Unit    string
	Chance  float64 // that so many fall by chance, if up and down were alike
}

// Half is half a calendar year, in the zone of the register.
type Half struct {
	From   time.Time // 1 January or 1 July
	Points int       // read in it, with a band
	Inside int       // of them inside their band at the last reading in it
	Share  float64
}

// SiteCourse says where a site is going.
type SiteCourse string

// The courses of a site.
const (
	SiteBetter   SiteCourse = "better"
	SiteWorse    SiteCourse = "worse"
	SiteNoChange SiteCourse = "no clear change"
	SiteTooFew   SiteCourse = "too few to tell"
	leastHalves             = 4 // below them no order of shares is rare enough to show a course
)

// Glance sums up a site from the judgements of [Site] for the same register.
// Methods and limits are in docs/methods/judging.md.
func Glance(r *sootline.Register, judgements []Judgement) Overview {
	o := Overview{Areas: areaStates(judgements), Ageing: ageing(judgements), Halves: halves(r)}
	o.Course, o.Reason = course(o.Halves)
	return o
}

func areaStates(judgements []Judgement) []AreaState {
	states, margins := map[string]*AreaState{}, map[string][]float64{}
	for i := range judgements {
		j := &judgements[i]
		if j.Verdict == NoBand || j.Verdict == NoReading {
			continue
		}
		area := j.Point.Area
		if states[area] == nil {
			states[area] = &AreaState{Area: area}
		}
		s := states[area]
		s.Points++
		switch {
		case j.reads(outsideBand):
			s.Outside++
		case j.Action != Leave && j.reads(leavingBand):
			s.Leaving++
		}
		if j.Margin != nil {
			margins[area] = append(margins[area], *j.Margin)
		}
	}
	var worst []AreaState
	for area, s := range states {
		if s.Outside+s.Leaving == 0 {
			continue
		}
		s.Share = float64(s.Outside+s.Leaving) / float64(s.Points)
		if m, ok := robust.MedianInPlace(margins[area]); ok {
			s.Margin = given(m)
		}
		worst = append(worst, *s)
	}
	slices.SortFunc(worst, func(a, b AreaState) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(orInf(a.Margin), orInf(b.Margin)), cmp.Compare(a.Area, b.Area))
	})
	return worst
}

// reads reports whether something holds of the resting value or of another quantity of the point.
func (j *Judgement) reads(so func(*Judgement) bool) bool {
	if so(j) {
		return true
	}
	for i := range j.Others {
		if so(&j.Others[i]) {
			return true
		}
	}
	return false
}

// outsideBand holds for what was read outside its band and is not doubted.
func outsideBand(j *Judgement) bool {
	return (j.Verdict == Above || j.Verdict == Below) && (j.ChanceNow == nil || *j.ChanceNow >= likelySo)
}

func leavingBand(j *Judgement) bool {
	return j.Action == CleanNow || j.Action == CleanAtVisit || j.ChanceOutside != nil && *j.ChanceOutside > TooLikely
}

func orInf(x *float64) float64 {
	if x == nil {
		return math.Inf(1)
	}
	return *x
}

// ageing lists the types of which more points fall than up and down alike would
// make likely, by the sign test; the error rate is shared out over the types. A
// point counts whose own visits show a drift; where dirt makes a type fall, a fall is no ageing.
func ageing(judgements []Judgement) []TypeState {
	drifts, states := map[string][]float64{}, map[string]*TypeState{}
	for i := range judgements {
		j := &judgements[i]
		key := sootline.TypeKey(j.Point.Type)
		if j.DriftPerYear == nil || j.DriftReal != Yes || key == "" || j.Quantity != "" || dirtSide(j.Sheet) == LowLimit {
			continue
		}
		if states[key] == nil {
			states[key] = &TypeState{Type: j.Point.Type}
			if j.Sheet != nil {
				states[key].Unit = j.Sheet.Unit
			}
		}
		states[key].Points++
		if *j.DriftPerYear < 0 {
			states[key].Falling++
		}
		drifts[key] = append(drifts[key], *j.DriftPerYear)
	}
	var all []TypeState
	for key, s := range states {
		s.Chance = atLeast(s.Falling, s.Points)
		median, ok := robust.MedianInPlace(drifts[key])
		s.Drift = median
		if ok && s.Drift < 0 && s.Chance < significance/float64(len(states)) {
			all = append(all, *s)
		}
	}
	slices.SortFunc(all, func(a, b TypeState) int {
		return cmp.Or(cmp.Compare(a.Chance, b.Chance), cmp.Compare(a.Type, b.Type))
	})
	return all
}

// atLeast is the chance of at least k heads in n throws of a fair coin, the
// sign test (binomial tail, by logarithms).
func atLeast(k, n int) float64 {
	all, _ := math.Lgamma(float64(n + 1))
	chance := 0.0
	for i := k; i <= n; i++ {
		a, _ := math.Lgamma(float64(i + 1))
		b, _ := math.Lgamma(float64(n - i + 1))
		chance += math.Exp(all - a - b - float64(n)*math.Ln2)
	}
	return min(1, chance)
}

// halves counts, half-year by half-year, the points that were inside their
// bands. The bands are those of the point's type and settings now; where several quantities were read, the
// point was inside with all of them.
func halves(r *sootline.Register) []Half {
	counts := map[int64]*Half{}
	sheets := map[string]*sootline.TypeSheet{}
	for _, p := range r.Points() {
		sheet, known := sheets[p.Type]
		if !known {
			sheet = r.Sheet(p.Type)
			sheets[p.Type] = sheet
		}
		if sheet != nil && len(p.Readings) > 0 {
			countHalves(counts, p, sheet)
		}
	}
	all := make([]Half, 0, len(counts))
	for _, h := range counts {
		h.Share = float64(h.Inside) / float64(h.Points)
		all = append(all, *h)
	}
	slices.SortFunc(all, func(a, b Half) int { return a.From.Compare(b.From) })
	return all
}

// countHalves counts one point: of each quantity the last look in a half-year.
func countHalves(counts map[int64]*Half, p *sootline.Point, sheet *sootline.TypeSheet) {
	inside := map[quantityIn]bool{}
	for i := range p.Readings {
		reading := &p.Readings[i]
		band := bandOf(sheet, p, reading.Quantity)
		if band == nil || band.Low == nil && band.High == nil {
			continue
		}
		if value, ok := robust.Median(reading.Samples); ok {
			inside[quantityIn{halfOf(reading.At).Unix(), reading.Quantity}] = (band.High == nil || value <= *band.High) && (band.Low == nil || value >= *band.Low)
		}
	}
	whole := map[int64]bool{}
	for key, so := range inside {
		all, seen := whole[key.half]
		whole[key.half] = so && (all || !seen)
	}
	for half, so := range whole {
		h := counts[half]
		if h == nil {
			h = &Half{From: time.Unix(half, 0).In(p.Readings[0].At.Location())}
			counts[half] = h
		}
		if h.Points++; so {
			h.Inside++
		}
	}
}

// quantityIn is a quantity of a point in the half-year that begins at an instant.
type quantityIn struct {
	half     int64
	quantity string
}

// bandOf is the band of a quantity of a point; empty: the type's own.
func bandOf(sheet *sootline.TypeSheet, p *sootline.Point, quantity string) *sootline.Band {
	if quantity == "" {
		return sheet.Band(p.Settings())
	}
	return sheetOf(sheet, quantity, p.Type).Band(p.Settings())
}

func halfOf(at time.Time) time.Time {
	year, month, _ := at.Date()
	first := time.January
	if month > time.June {
		first = time.July
	}
	return time.Date(year, first, 1, 0, 0, 0, 0, at.Location())
}

// course tells by Mann-Kendall whether the shares go up or down, one-sided at
// 5 % each way.
func course(halves []Half) (SiteCourse, string) {
	n := len(halves)
	if n < leastHalves {
		return SiteTooFew, fmt.Sprintf("too few to tell: half-years with readings: %d, and %d are needed", n, leastHalves)
	}
	t, y := make([]float64, n), make([]float64, n)
	for i, h := range halves {
		t[i], y[i] = float64(h.From.Unix())/yearMillis, h.Share
	}
	first, last := &halves[0], &halves[n-1]
	span := fmt.Sprintf("%s of points inside their band in the half-year from %s, %s in that from %s; over %d half-years",
		share(first), date(first.From), share(last), date(last.From), n)
	order, err := robust.MannKendall(t, y)
	switch {
	case err != nil || order.S == 0 || order.P/2 > significance:
		return SiteNoChange, span + " no clear change"
	case order.S > 0:
		return SiteBetter, span + " the share goes up, more than chance"
	}
	return SiteWorse, span + " the share goes down, more than chance"
}

func share(h *Half) string {
	return fmt.Sprintf("%d of %d (%.0f %%)", h.Inside, h.Points, 100*h.Share)
}
