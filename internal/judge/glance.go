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
	Outside int      // outside now
	Leaving int      // inside now, and more likely than not outside at the next visit
	Share   float64  // of Outside and Leaving among Points
	Margin  *float64 // median margin, as in Judgement; nil when no band has two ends
}

// TypeState is how the points of one type drift.
type TypeState struct {
	Type    string
	Points  int     // with a drift
	Falling int     // of them with one below zero
	Drift   float64 // median drift a year, below zero
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
		case j.Verdict != Inside:
			s.Outside++
		case j.ChanceOutside != nil && *j.ChanceOutside > TooLikely:
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

func orInf(x *float64) float64 {
	if x == nil {
		return math.Inf(1)
	}
	return *x
}

// ageing lists the types of which more points fall than up and down alike would
// make likely, by the sign test; the error rate is shared out over the types.
func ageing(judgements []Judgement) []TypeState {
	drifts, states := map[string][]float64{}, map[string]*TypeState{}
	for i := range judgements {
		j := &judgements[i]
		key := sootline.TypeKey(j.Point.Type)
		if j.DriftPerYear == nil || key == "" || j.Quantity != "" {
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
// band. The band is that of the point's type and settings now.
func halves(r *sootline.Register) []Half {
	counts := map[int64]*Half{}
	bands := map[string]*sootline.TypeSheet{}
	for _, p := range r.Points() {
		sheet, known := bands[p.Type]
		if !known {
			sheet = r.Sheet(p.Type)
			bands[p.Type] = sheet
		}
		if sheet == nil || len(p.Readings) == 0 {
			continue
		}
		if band := sheet.Band(p.Settings()); band != nil && (band.Low != nil || band.High != nil) {
			countHalves(counts, p, band)
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

func countHalves(counts map[int64]*Half, p *sootline.Point, band *sootline.Band) {
	readings := ownQuantity(p.Readings)
	for i := range readings {
		from := halfOf(readings[i].At)
		if i+1 < len(readings) && halfOf(readings[i+1].At).Equal(from) {
			continue // a later look in the same half-year counts
		}
		value, ok := robust.Median(readings[i].Samples)
		if !ok {
			continue
		}
		h := counts[from.Unix()]
		if h == nil {
			h = &Half{From: from}
			counts[from.Unix()] = h
		}
		h.Points++
		if (band.High == nil || value <= *band.High) && (band.Low == nil || value >= *band.Low) {
			h.Inside++
		}
	}
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
