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
	// faster is the standard deviation of how much faster than others a drift that
	// borrows may run before it shows, as a share of theirs.
	faster = 1
	// bent is the quantile of the normal distribution beyond which the bend of a
	// drift, in its standard errors, is no chance: 5 % one-sided.
	bent = 1.6449
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
	Curved   bool         // the drift speeds up: Drift is Guard
	Noise    float64      // noise of a visit's value: what was expected and what was learned, weighed
	Wide     float64      // the larger of what was expected and Noise: what lies within is not accused
	Borrowed float64      // share of what is known of the slope that comes from others; 0 or at least two thirds
	Kin      Kin          // those others
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
	noise := robust.Noise{SD: o.Noise, DF: robust.PriorDF}
	var prior robust.SlopePrior
	prior, o.Kin = e.prior(h)
	if !e.borrow(&o, h, noise, prior) && !e.alone(&o, h, noise) {
		return o, false
	}
	if len(h.t) >= guardedVisits {
		e.guard(&o, h, noise)
	} else if o.Borrowed > 0 {
		prior.SD = math.Hypot(prior.SD, faster*prior.Slope)
		if d, err := e.scratch.Informed(h.sen, h.t, h.y, noise, prior); err == nil {
			o.Guard = d.Drift
		}
	}
	return o, true
}

// borrow draws a line with the help of others, where that is worth it.
func (e *Experience) borrow(o *Outlook, h *history, noise robust.Noise, prior robust.SlopePrior) bool {
	n := len(h.t)
	if prior.SD == 0 || n < 2 || n >= leastLine && !h.fitted {
		return false
	}
	if n == 2 && math.Abs(h.y[1]-h.y[0]-prior.Slope*h.t[1]) > apart*math.Hypot(math.Sqrt2*noise.SD, prior.SD*h.t[1]) {
		return false
	}
	d, err := e.scratch.Informed(h.sen, h.t, h.y, noise, prior)
	if err != nil || d.Borrowed < worthBorrowing {
		return false
	}
	o.Drift, o.Own, o.Borrowed, o.Span = d.Drift, d.Own, d.Borrowed, e.kins[h.kin].span
	return true
}

func (e *Experience) alone(o *Outlook, h *history, noise robust.Noise) bool {
	if !h.fitted {
		return false
	}
	d, err := e.scratch.FitDriftAbout(h.sen, h.t, h.y, noise)
	if err != nil {
		return false
	}
	o.Drift, o.Own = d, d.Line
	return true
}

// guard draws a line through the latest visits alone. A drift that speeds up
// makes every line through all visits late, which is the unsafe side.
func (e *Experience) guard(o *Outlook, h *history, noise robust.Noise) {
	t, y := h.t[len(h.t)-recentVisits:], h.y[len(h.y)-recentVisits:]
	sen, err := e.scratch.Sen(t, y)
	if err != nil {
		return
	}
	recent, err := e.scratch.FitDriftAbout(sen, t, y, noise)
	if err != nil {
		return
	}
	o.Guard = recent
	if bend := bend(h.t, h.y, &o.Drift, o.Own); math.Copysign(bend, bend*recent.Line.Slope) > bent {
		o.Curved = true
		o.Drift, o.Borrowed, o.Span = recent, 0, 0
	}
}

// bend is the quadratic part of a drift in its standard errors: the residuals
// about the least-squares line against the part of the squares of the times that
// no line explains. Readings set aside are left out.
func bend(t, y []float64, d *robust.Drift, own robust.Line) float64 {
	var squares, times, against float64 // of the squares: their sum, with the times, and with the residuals
	each := func(use func(u, r float64)) {
		next := 0
		for i := range t {
			if next < len(d.Screened) && d.Screened[next] == i {
				next++
				continue
			}
			use(t[i]-own.MeanT, y[i]-own.At(t[i]))
		}
	}
	each(func(u, _ float64) { squares += u * u; times += u * u * u })
	mean, slope := squares/float64(own.N), times/squares
	left := 0.0
	each(func(u, r float64) {
		q := u*u - mean - slope*u
		left += q * q
		against += q * r
	})
	z := against / (d.SD * math.Sqrt(left))
	if math.IsNaN(z) {
		return 0
	}
	return z
}

// Leaves says when the line meets a limit, see [robust.Scratch.Departure]: not
// before the earliest day of the line itself nor of its guard.
func (e *Experience) Leaves(o *Outlook, limit float64, side robust.Side, conf float64) (robust.Departure, error) {
	d, err := e.scratch.Departure(o.Drift, limit, side, conf)
	if err != nil || o.Guard.Line.N == 0 || o.Curved || d.Status == robust.AlreadyOutside {
		return d, err
	}
	guard, err := e.scratch.Departure(o.Guard, limit, side, conf)
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
