package demo

import (
	"time"

	"sootline"
)

// Known is a detector of the scenario with all that was written of it, and its
// level, which nobody sees.
type Known struct {
	Ref    sootline.Ref
	Sheet  sootline.TypeSheet // its type; without a band where the type has none
	Area   string
	Fitted time.Time
	Looks  []Look // in order of time
	Acts   []Act  // in order of time: what was noted as cleaned, replaced or disabled, each on its day
	// Level is its resting value, free of noise, from handover on and as long as nobody does anything after the
	// end; the yearly swing of its room is in it. Counts.
	Level func(at time.Time) float64
	// Used is when compensation had no reserve left for the drift at the end; zero: it has, or there is none.
	Used time.Time
}

// Look is one reading, in counts as it was written down.
type Look struct {
	At      time.Time
	Samples []float64
	By      string
}

// Act is one line of the events file.
type Act struct {
	Day      time.Time
	What, By string
}

// MakeKnown tells the story of [Make], with what is known of each detector beside it; the files are left out.
// A detector whose number is not its own, or that another one shares, has no readings here either.
func MakeKnown(seed uint64, until time.Time) (Scenario, []Known) {
	w, readings := told(seed, until)
	looks := map[*point][]Look{}
	for _, r := range readings {
		samples := make([]float64, len(r.samples))
		for i, x := range r.samples {
			samples[i] = float64(x)
		}
		looks[r.point] = append(looks[r.point], Look{r.at, samples, r.by})
	}
	acts := map[*point][]Act{}
	for _, e := range w.inOrder() {
		if e.what == "cleaned" || e.what == "replaced" || e.what == "disabled" && e.at.Equal(e.point.off) {
			acts[e.point] = append(acts[e.point], Act{e.at, e.what, e.by})
		}
	}
	var all []Known
	for _, p := range w.points {
		if p.judged() {
			all = append(all, Known{
				Ref: p.ref, Sheet: p.device.sheet(), Area: p.room.name, Fitted: p.fitted,
				Looks: looks[p], Acts: acts[p], Level: p.level, Used: p.used(w.until),
			})
		}
	}
	return Scenario{Site: site(), From: w.from, Until: w.until, Truths: w.sortedTruths()}, all
}

// sheet is what the types file says of the resting value.
func (d *device) sheet() sootline.TypeSheet {
	s := sootline.TypeSheet{Name: d.name, Kind: d.kind, Quantity: d.quantity, Unit: "counts", Compensated: d.reserve > 0}
	if d.banded() {
		low, high := d.low, d.high
		s.Bands = []sootline.Band{{Low: &low, High: &high}}
	}
	return s
}

// used is when the present spell ran out of reserve, if it has at the end.
func (l *life) used(until time.Time) time.Time {
	s := l.spells[len(l.spells)-1]
	if s.reserve <= 0 || s.rate <= 0 {
		return time.Time{}
	}
	at := s.from.Add(time.Duration(s.reserve / s.rate * hoursAYear * float64(time.Hour)))
	if at.After(until) {
		return time.Time{}
	}
	return at
}
