package bench

import (
	"math"
	"slices"
	"strconv"

	"sootline"
	"sootline/internal/robust"
)

// Judgements of ours, without source; docs/methods/bench.md says what they come to.
const (
	lookSeconds  = 180  // a look lasts up to three minutes (common practice, no source)
	leastTrend   = 5    // samples below which nothing shows that a value is settling
	trendZ       = 1.96 // two-sided 5 % of the normal distribution
	leastPeers   = 8    // devices of the box below which none is called unlike them
	nearNoises   = 2.33 // a second look lies on the other side of a limit in more than 1 of 20 cases
	dirtyHalf    = 0.5  // the share of the way from a clean unit's value to the limit
	leastSpreads = 3    // samples below which their spread says nothing
	unlikeFar    = 2.58 // how many spreads from the others is far: see [unlike]
	unlikeFew    = 27   // and how many more, divided by how many others there are
)

// LookRules are the figures of the rules by which a value is judged, for whoever
// judges it by the same rules elsewhere.
type LookRules struct {
	LookSeconds  float64 `json:"look_seconds"`
	LeastTrend   int     `json:"least_trend"`
	TrendZ       float64 `json:"trend_z"`
	LeastPeers   int     `json:"least_peers"`
	NearNoises   float64 `json:"near_noises"`
	DirtyHalf    float64 `json:"dirty_half"`
	LeastSpreads int     `json:"least_spreads"`
	UnlikeFar    float64 `json:"unlike_far"`
	UnlikeFew    float64 `json:"unlike_few"`
}

// RuleFigures gives them.
func RuleFigures() LookRules {
	return LookRules{lookSeconds, leastTrend, trendZ, leastPeers, nearNoises, dirtyHalf, leastSpreads, unlikeFar, unlikeFew}
}

// Place of a value beside its band.
const (
	ValueNone   = "no value"
	ValueNoBand = "no band"
	ValueInside = "inside"
	ValueMargin = "margin" // inside, and so near to a limit that another look may lie outside
	ValueBelow  = "below"
	ValueAbove  = "above"
)

// Value is a look at a resting value, judged as far as it has come.
type Value struct {
	State     string
	Value     float64  // median of the samples
	Spread    *float64 // their standard deviation (n-1); nil below two
	Low, High *float64 // the band
	Margin    *float64 // distance to the nearest limit, as a share of the band's width; nil where it has not two ends
	Settling  bool     // it still moves one way
	Unsteady  bool     // its samples spread more than its type allows
	Wait      float64  // seconds left of a three-minute look; 0: it is over, or its clock is unknown
}

// lookAtValue judges the samples as they come.
func (run *Run) lookAtValue(g Given, l *Looked, t *Type, say sayer) Value {
	v := Value{State: ValueNone}
	median, ok := robust.Median(g.Samples)
	if !ok {
		return v
	}
	v.Value, v.Wait = median, 0
	if g.Seconds > 0 {
		v.Wait = max(0, lookSeconds-g.Seconds)
	}
	if _, sd, ok := robust.Moments(g.Samples); ok {
		v.Spread = &sd
	}
	v.stand(t, t.band(settingsFor(g, l)))
	v.Settling = settles(g.Samples, t.Noise)
	v.Unsteady = !v.Settling && len(g.Samples) >= leastSpreads && v.Spread != nil && *v.Spread > t.Spread
	v.tell(t, say)
	run.tellPeers(&v, l, t, say)
	return v
}

// settingsFor are the settings found, over those wanted.
func settingsFor(g Given, l *Looked) map[string]string {
	settings := map[string]string{}
	for _, m := range l.Hand.Modes {
		settings[m.Name] = m.Choice
	}
	for name, choice := range g.Modes {
		for _, m := range l.Hand.Modes {
			if sameType(m.Name, name) {
				delete(settings, m.Name)
			}
		}
		settings[name] = choice
	}
	return settings
}

// stand puts the value beside the band; both ends belong to it.
func (v *Value) stand(t *Type, band *sootline.Band) {
	if band == nil || band.Low == nil && band.High == nil {
		v.State = ValueNoBand
		return
	}
	v.Low, v.High = band.Low, band.High
	switch {
	case v.High != nil && v.Value > *v.High:
		v.State = ValueAbove
	case v.Low != nil && v.Value < *v.Low:
		v.State = ValueBelow
	case v.nearest() < nearNoises*t.Noise:
		v.State = ValueMargin
	default:
		v.State = ValueInside
	}
	if band.Complete() {
		margin := min(v.Value-*v.Low, *v.High-v.Value) / (*v.High - *v.Low)
		v.Margin = &margin
	}
}

// nearest is how far the nearest limit lies, on either side.
func (v *Value) nearest() float64 {
	far := math.Inf(1)
	for _, limit := range []*float64{v.Low, v.High} {
		if limit != nil {
			far = min(far, math.Abs(v.Value-*limit))
		}
	}
	return far
}

// settles reports whether samples move one way: by the sign of all pairs
// (Mann-Kendall with normal approximation and continuity; ties counted as none),
// and by more than half the usual noise between the halves.
func settles(samples []float64, noise float64) bool {
	n := len(samples)
	if n < leastTrend {
		return false
	}
	s := 0
	for i := range samples {
		for k := i + 1; k < n; k++ {
			switch {
			case samples[k] > samples[i]:
				s++
			case samples[k] < samples[i]:
				s--
			}
		}
	}
	sd := math.Sqrt(float64(n*(n-1)*(2*n+5)) / 18)
	first, _ := robust.Median(samples[:n/2])
	last, _ := robust.Median(samples[n-n/2:])
	return math.Abs(float64(s)) > 1+trendZ*sd && math.Abs(last-first) > noise/2
}

// tell says what the value comes to.
func (v *Value) tell(t *Type, say sayer) {
	switch {
	case v.State == ValueNoBand && t.Judged:
		say(NoBand, Told, "no band is known for type "+t.Name+" in this setting: the value is kept, and not judged")
	case v.State == ValueAbove:
		say(OutsideBand, Asked, t.amount(v.Value)+" is above the band, which ends at "+t.amount(*v.High))
	case v.State == ValueBelow:
		say(OutsideBand, Asked, t.amount(v.Value)+" is below the band, which begins at "+t.amount(*v.Low))
	}
	switch {
	case v.Settling && v.Wait > 0:
		say(Settling, Told, "the value is still settling: wait for the rest of the three minutes")
	case v.Settling:
		say(Settling, Asked, "the value still moves one way: take a second look")
	case v.Unsteady:
		say(Unsteady, Asked, "the samples spread by "+t.amount(*v.Spread)+", and up to "+t.amount(t.Spread)+" is usual")
	}
	if near := v.Low != nil || v.High != nil; near && !v.Settling && v.nearest() < nearNoises*t.Noise {
		say(SecondLook, Asked, "a limit is so near that another look may lie on its other side: take a second look")
	}
}

// tellPeers compares the value with those of the devices set before, and with what a
// clean unit shows.
func (run *Run) tellPeers(v *Value, l *Looked, t *Type, say sayer) {
	peers := run.peers(l.Hand.Place, t)
	if unlike(v.Value, peers, t.Noise) {
		centre, _ := robust.Median(peers)
		say(UnlikeBox, Asked, t.amount(v.Value)+" is unlike the "+whole(len(peers))+" others of type "+t.Name+" in this run, which lie about "+t.amount(centre))
	}
	if v.State == ValueAbove || v.State == ValueBelow {
		return // that is said, and graver
	}
	rest, why := t.Rest, "a clean unit shows "
	if rest == nil && len(peers) >= leastPeers {
		centre, _ := robust.Median(peers)
		rest, why = &centre, "the others lie about "
	}
	if rest != nil && restsDirty(v, *rest, t) {
		say(RestsDirty, Asked, t.amount(v.Value)+" is where a dirty unit would rest, for a new one: "+why+t.amount(*rest))
	}
}

// peers are the values of the type's other devices that were set in the run.
func (run *Run) peers(but *Place, t *Type) []float64 {
	var values []float64
	for _, place := range run.Places {
		if place == but || place.Open() || !sameType(place.Point.Type, t.Name) {
			continue
		}
		if reading := place.Reading(); reading != nil {
			if value, ok := robust.Median(reading.Samples); ok {
				values = append(values, value)
			}
		}
	}
	return values
}

// Reading is the look that was written with the place's device; nil: there was none.
func (p *Place) Reading() *sootline.Reading {
	if p.Open() {
		return nil
	}
	return p.ReadingOf(&p.Done[len(p.Done)-1])
}

// ReadingOf is the look that was written with a device of the place; nil: there was
// none.
func (p *Place) ReadingOf(rec *sootline.BenchRecord) *sootline.Reading {
	with := rec.With
	for i := len(p.Point.Readings) - 1; i >= 0; i-- {
		if r := &p.Point.Readings[i]; r.Quantity == "" && slices.Contains(with, r.Entry.ID) {
			return r
		}
	}
	return nil
}

// unlike reports whether a value lies further from the median of the others than
// their spread explains in 99 of 100 cases. The spread is 1.4826 times the median
// absolute deviation, and never less than the usual noise. From few values that
// deviation is itself uncertain, so the fewer there are the further is far: 2.58 and
// 27/n spreads, which holds the share of false alarms at or below 1 in 100 from
// eight normal values on (simulated; TestUnlikeHoldsItsShare).
func unlike(value float64, others []float64, noise float64) bool {
	if len(others) < leastPeers {
		return false
	}
	scale, ok := robust.RobustScale(others, noise)
	return ok && math.Abs(scale.Z(value)) > unlikeFar+unlikeFew/float64(len(others))
}

// restsDirty reports whether a value lies further than half way from a clean unit's
// to the limit that dirt drives it to, and by more than noise.
func restsDirty(v *Value, rest float64, t *Type) bool {
	limit := v.High
	if t.Worse < 0 {
		limit = v.Low
	}
	sign := float64(t.Worse)
	if t.Worse == 0 || limit == nil || sign*(*limit-rest) <= 0 {
		return false
	}
	gone := sign * (v.Value - rest)
	return gone > dirtyHalf*sign*(*limit-rest) && gone > nearNoises*t.Noise
}

// amount writes a value with its unit.
func (t *Type) amount(x float64) string {
	text := strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
	if t.Unit == "" {
		return text
	}
	return text + " " + t.Unit
}
