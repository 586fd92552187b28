package judge

import (
	"math"

	"sootline/internal/robust"
)

const (
	// recentVisits is how many of the latest visits the guard against a drift that
	// speeds up looks at, and guardedVisits from how many on it looks.
	recentVisits  = 6
	guardedVisits = 8
	// mostTrust is how many degrees of freedom the noise of a type is worth beside a
	// detector's own, over those of a noise nobody learned, at most: detectors differ.
	// It takes trustEach times as many of its detectors to be worth one.
	mostTrust = 12
	trustEach = 4
	// faster is the standard deviation of how much faster than others a drift that
	// borrows may run before it shows, as a share of theirs.
	faster = 1
	// bent is the quantile of the normal distribution beyond which the bend of a
	// drift, in its standard errors, is no chance: 2 % one-sided.
	bent = 2.0537
	// worthBorrowing is the share of what is known of a slope that others must
	// bring: two thirds of the information make the error of the slope smaller by
	// 1-sqrt(1/3), 42 %. Below that a point stands on its own readings.
	worthBorrowing = 2.0 / 3
	// apart is how far two visits may lie from what others drift, in standard
	// errors, before one of them is taken for wild; nobody can tell which.
	apart = 3.5
)

// Outlook is the line from which the days of leaving are read, and what it
// rests on.
type Outlook struct {
	Drift    robust.Drift // its own line, or one with a slope that is partly borrowed
	Own      robust.Line  // through the readings that were kept, alone
	Guard    robust.Drift // a second line for the earliest day, in case the drift speeds up; its Line.N is 0 where there is none
	Curved   bool         // the drift speeds up: Drift is the tangent of Curve at the last visit
	Curve    robust.Curve // where Curved
	Noise    float64      // noise of a visit's value: what was expected and what was learned, weighed
	Wide     float64      // the larger of what was expected and Noise: what lies within is not accused
	Borrowed float64      // share of what is known of the slope that comes from others; 0 or at least two thirds
	Kin      Kin          // those others
	Earlier  int          // runs of its own before the last reset that it draws on
	Season   Season       // yearly swing about the line
	Start    float64      // of the line's time, in years of the calendar
	Span     float64      // years over which the others were read, the middle one; 0 when nothing is borrowed
}

// Kin counts the others of a type that a slope could be learned from.
type Kin struct{ SameArea, Elsewhere int }

// Total is how many there are.
func (k Kin) Total() int { return k.SameArea + k.Elsewhere }

// Outlook draws the line of a history. drawn is false when there is none; Noise
// and Kin are given all the same.
func (e *Experience) Outlook(i int) (o Outlook, drawn bool) {
	e.settle()
	h := &e.histories[i]
	o.Noise = e.noise(h)
	o.Wide = max(o.Noise, h.usual)
	noise := robust.Noise{SD: o.Noise, DF: robust.PriorDF + min(mostTrust, e.kins[h.kin].worth/trustEach)}
	var prior robust.SlopePrior
	prior, o.Kin, o.Earlier = e.prior(h)
	o.Season, o.Start = e.kins[h.kin].groups[h.area].season, h.now.Start
	if !e.borrow(&o, h, noise, prior) && !e.alone(&o, h, noise) {
		return o, false
	}
	if len(h.now.T) >= guardedVisits {
		e.guard(&o, h, noise)
	} else if o.Borrowed > 0 {
		prior.SD = math.Hypot(prior.SD, faster*prior.Slope)
		if d, err := e.scratch.Informed(h.now.sen, h.now.T, h.now.Y, noise, prior); err == nil {
			o.Guard = d.Drift
		}
	}
	return o, true
}

// borrow draws a line with the help of others, where that is worth it.
func (e *Experience) borrow(o *Outlook, h *history, noise robust.Noise, prior robust.SlopePrior) bool {
	n := len(h.now.T)
	if prior.SD == 0 || n < 2 || n >= leastLine && !h.now.fitted {
		return false
	}
	if n == 2 && math.Abs(h.now.Y[1]-h.now.Y[0]-prior.Slope*h.now.T[1]) > apart*math.Hypot(math.Sqrt2*noise.SD, prior.SD*h.now.T[1]) {
		return false
	}
	d, err := e.scratch.Informed(h.now.sen, h.now.T, h.now.Y, noise, prior)
	if err != nil || d.Borrowed < worthBorrowing && o.Earlier == 0 {
		return false
	}
	o.Drift, o.Own, o.Borrowed, o.Span = d.Drift, d.Own, d.Borrowed, e.kins[h.kin].span
	return true
}

func (e *Experience) alone(o *Outlook, h *history, noise robust.Noise) bool {
	if !h.now.fitted {
		return false
	}
	d, err := e.scratch.FitDriftAbout(h.now.sen, h.now.T, h.now.Y, noise)
	if err != nil {
		return false
	}
	o.Drift, o.Own, o.Earlier = d, d.Line, 0
	return true
}

// guard draws a line through the latest visits alone. A drift that speeds up
// makes every line through all visits late, which is the unsafe side.
func (e *Experience) guard(o *Outlook, h *history, noise robust.Noise) {
	t, y := h.now.T[len(h.now.T)-recentVisits:], h.now.Y[len(h.now.Y)-recentVisits:]
	sen, err := e.memory.Sen(&e.scratch, t, y)
	if err != nil {
		return
	}
	recent, err := e.scratch.FitDriftAbout(sen, t, y, noise)
	if err != nil {
		return
	}
	o.Guard = recent
	curve, ok := robust.CurveOf(&o.Drift, o.Own, h.now.T, h.now.Y)
	if !ok || math.Abs(curve.Z(o.Drift.SD)) < bent {
		return
	}
	if end := e.scratch.Tangent(curve, o.Drift, noise); curve.Bend*end.Line.Slope > 0 {
		o.Curved, o.Curve = true, curve
		o.Drift, o.Borrowed, o.Earlier, o.Span = end, 0, 0, 0
	}
}

// Leaves says when the value, free of noise, meets a limit, see
// [robust.Scratch.Departure]: not before the earliest day of the line itself nor
// of its guard.
func (e *Experience) Leaves(o *Outlook, limit float64, side robust.Side, conf float64) (robust.Departure, error) {
	d, err := e.departure(o, limit, side, conf)
	if err != nil || o.Guard.Line.N == 0 || d.Status == robust.AlreadyOutside {
		return d, err
	}
	guarded := Outlook{Drift: o.Guard, Season: o.Season, Start: o.Start}
	guard, err := e.departure(&guarded, limit, side, conf)
	if err != nil {
		return d, nil // the limit is too far off for so short a line
	}
	switch {
	case guard.Status == robust.AlreadyOutside:
		d.Earliest = robust.When{At: o.Drift.Last, Known: true}
	case guard.Earliest.Known && (!d.Earliest.Known || guard.Earliest.At < d.Earliest.At):
		d.Earliest = guard.Earliest
	}
	return d, nil
}
