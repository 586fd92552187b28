package app

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/chart"
	"sootline/internal/judge"
	"sootline/internal/robust"
)

// Ring draws a loop in cable order; address gives where a point's page is, or
// nothing.
func (s *Survey) Ring(loop sootline.LoopID, address func(*sootline.Point) string) *chart.Picture {
	var on []*sootline.Point
	for _, p := range s.Register.Points() {
		if p.LoopID() == loop {
			on = append(on, p)
		}
	}
	slices.SortStableFunc(on, func(x, y *sootline.Point) int { return x.Order - y.Order })
	ring := chart.Ring{Title: "Loop " + loop.String(), Points: make([]chart.RingPoint, len(on))}
	for i, p := range on {
		ring.Points[i] = s.ringPoint(p)
		ring.Points[i].Href = address(p)
	}
	return ring.Picture()
}

func (s *Survey) ringPoint(p *sootline.Point) chart.RingPoint {
	ref := p.Ref().String()
	point := chart.RingPoint{
		Label: ref[strings.LastIndexByte(ref, '.')+1:], Kind: chart.Other, Standing: chart.StandsGood, Isolator: !slices.Contains([]string{"", "none"}, s.Register.IsolatorAt(p)),
	}
	told := []string{ref, p.Location, p.Type}
	if sheet := s.Register.Sheet(p.Type); sheet != nil && sheet.Kind != "" {
		point.Kind = chart.Kind(sheet.Kind)
	}
	if j := s.Judgement(p); j != nil {
		point.Standing = standing(j)
		told = append(told, string(j.Verdict), string(j.Action))
	}
	if p.Disabled != nil {
		told = append(told, "disabled")
	}
	point.Title = strings.Join(slices.DeleteFunc(told, func(word string) bool { return word == "" }), ", ")
	return point
}

// standing tells how pressing a judgement is.
func standing(j *Judgement) chart.Standing {
	switch {
	case j.Verdict == judge.Above || j.Verdict == judge.Below || j.Action == judge.CleanNow || j.Action == judge.Replace:
		return chart.StandsOut
	case j.Verdict == judge.NoBand || j.Verdict == judge.NoReading:
		return chart.StandsUnknown
	case j.Action != judge.Leave:
		return chart.StandsSoon
	}
	return chart.StandsGood
}

// History draws the readings of a point.
func (s *Survey) History(p *sootline.Point) *chart.Picture {
	h := chart.History{Point: p.Ref().String(), Zone: s.Zone, AsOf: s.On, Resets: resetsOf(p), Events: eventsOf(p)}
	var aside []sootline.ID
	quantity := ""
	if j := s.Judgement(p); j != nil {
		quantity = j.Quantity
		if j.Sheet != nil {
			h.Unit = j.Sheet.Unit
		}
		h.Bands, h.Forecast = bandAndForecast(j)
		if h.Forecast != nil {
			h.Forecast.Say = s.DayAhead
		}
		if h.Forecast != nil && quantity == "" {
			h.Forecast.Fan = fan(s.Judged().Path(p, pathEnd(j, s.On)))
		}
		aside = s.Judged().SetAside(p)
	}
	for _, r := range p.Readings {
		value, ok := robust.Median(r.Samples)
		if !ok || r.Quantity != quantity {
			continue
		}
		_, spread, _ := robust.Moments(r.Samples)
		leftOut := r.Entry != nil && slices.Contains(aside, r.Entry.ID)
		h.Readings = append(h.Readings, chart.Reading{At: r.At, Value: value, Spread: spread, LeftOut: leftOut})
	}
	return h.Picture()
}

// DayAhead writes a day that is foretold no finer than it can be known.
func (s *Survey) DayAhead(at time.Time) string { return sootline.DayAhead(at, s.On, s.Zone) }

// farAhead is how many years ahead a forecast is drawn at the most.
const farAhead = 3

// pathEnd is the day up to which a forecast is drawn: a little beyond the latest
// day of leaving where there is one, else beyond the likely or the earliest.
func pathEnd(j *Judgement, on time.Time) time.Time {
	end := on.AddDate(1, 0, 0)
	for _, day := range []*time.Time{j.LeavesEarliest, j.LeavesLikely, j.LeavesLatest} {
		if day != nil && day.After(end) {
			end = day.AddDate(0, 2, 0)
		}
	}
	if most := on.AddDate(farAhead, 0, 0); end.After(most) {
		return most
	}
	return end
}

func fan(path []judge.PathAt) []chart.FanAt {
	all := make([]chart.FanAt, len(path))
	for i, at := range path {
		all[i] = chart.FanAt(at)
	}
	return all
}

// bandAndForecast gives a band, which may have one end alone, and the days on which it is left.
func bandAndForecast(j *Judgement) ([]chart.Span, *chart.Forecast) {
	if j.Band == nil || j.Band.Low == nil && j.Band.High == nil {
		return nil, nil
	}
	band := chart.Span{Low: math.Inf(-1), High: math.Inf(1)}
	if j.Band.Low != nil {
		band.Low = *j.Band.Low
	}
	if j.Band.High != nil {
		band.High = *j.Band.High
	}
	bands := []chart.Span{band}
	limit := band.High
	if j.Leaves == judge.LowLimit {
		limit = band.Low
	}
	if j.LeavesEarliest == nil || math.IsInf(limit, 0) {
		return bands, nil
	}
	forecast := &chart.Forecast{Limit: limit, Earliest: *j.LeavesEarliest}
	if j.LeavesLikely != nil {
		forecast.Likely = *j.LeavesLikely
	}
	if j.LeavesLatest != nil {
		forecast.Latest = *j.LeavesLatest
	}
	return bands, forecast
}

func resetsOf(p *sootline.Point) []chart.Happened {
	letters := map[string]string{"cleaned": chart.Cleaned, "replaced": chart.Replaced, "fitted": chart.Fitted, "rebased": chart.Rebased}
	var happened []chart.Happened
	for _, r := range p.Resets {
		if r.At.After(sootline.LongAgo) {
			happened = append(happened, chart.Happened{At: r.At, Letter: letters[r.Why], Words: r.Why})
		}
	}
	return happened
}

// eventsOf lists what happened to a point beside readings and resets. Tests that
// were passed are left out: there is one at nearly every visit.
func eventsOf(p *sootline.Point) []chart.Happened {
	var happened []chart.Happened
	for _, e := range p.Events {
		switch {
		case e.Kind == sootline.CleanedKind || e.Kind == sootline.ReplacedKind || e.Kind == sootline.RebasedKind:
		case e.Kind == sootline.TestedKind && !e.Failed:
		default:
			words := string(e.Kind)
			if e.Cause != "" {
				words += ", " + e.Cause
			}
			happened = append(happened, chart.Happened{At: e.At, Words: words})
		}
	}
	return happened
}

// Inside draws how many points were inside their band, by half-year.
func (s *Survey) Inside() *chart.Picture {
	shares := chart.Shares{Title: "Points inside their band", Zone: s.Zone, Names: []string{"inside", "outside"}}
	for _, half := range s.Judged().Overview.Halves {
		end := half.From.AddDate(0, 6, 0).Add(-time.Second)
		if on := s.Register.AsOf; on.Before(end) { // of the half-year that runs nobody knows the end
			end = on
		}
		shares.At = append(shares.At, chart.SharesAt{At: end, Parts: []int{half.Inside, half.Points - half.Inside}})
	}
	return shares.Picture()
}

// LoopNamed finds a loop of the register by panel and name.
func (s *Survey) LoopNamed(name string) (sootline.LoopID, error) {
	for _, loop := range s.Register.Loops() {
		if loop.String() == name {
			return loop.LoopID, nil
		}
	}
	return sootline.LoopID{}, sootline.Errorf(sootline.NotFound, fmt.Sprintf("the loops are listed under %s", s.Register.Site.Name), "there is no loop %q", name)
}
