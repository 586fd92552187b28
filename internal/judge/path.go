package judge

import "sootline/internal/robust"

// halfMonth is the step in which a path that is not straight is followed, in
// years.
const halfMonth = 1.0 / 24

// farthestStep bounds that walk: a hundred years.
const farthestStep = 2400

// straight reports whether the value is expected to follow a line.
func (o *Outlook) straight() bool { return !o.Curved && o.Season == Season{} }

// at is the value, free of noise, that is expected at a time of the line, and its
// standard error; ok is as for [robust.Drift.At].
func (o *Outlook) at(t float64) (fit, se float64, ok bool) {
	if o.Curved {
		fit, se = o.Curve.At(t, o.Drift.SD)
	} else if fit, se, ok = o.Drift.At(t); !ok {
		return 0, 0, false
	}
	return fit + o.Season.At(o.Start+t), se, true
}

// chanceBy is the chance that the value, free of noise, lies beyond the limit on
// a day, or on one before it from now on: a season may turn until then.
func (o *Outlook) chanceBy(now, until, limit float64, side robust.Side) (chance float64, ok bool) {
	if o.straight() {
		return o.Drift.ChanceBeyond(until, limit, side)
	}
	for t := until; ; t -= halfMonth {
		fit, se, fine := o.at(t)
		if !fine {
			return chance, ok
		}
		chance, ok = max(chance, o.Drift.Chance(outwards(side)*(fit-limit), se)), true
		if t-halfMonth < now || o.Season == (Season{}) {
			return chance, ok
		}
	}
}

// outwards is the sign of a step beyond a limit.
func outwards(side robust.Side) float64 {
	if side == robust.Low {
		return -1
	}
	return 1
}

// departure says when the value, free of noise, meets a limit. For a path that is
// not straight there is no closed form: that path is followed to the first day on
// which each bound of it is beyond the limit, no farther than a year after its
// tangent gets there.
func (e *Experience) departure(o *Outlook, limit float64, side robust.Side, conf float64) (robust.Departure, error) {
	if o.straight() {
		return e.scratch.Departure(o.Drift, limit, side, conf)
	}
	d, err := e.scratch.Departure(o.Drift, limit-o.Season.At(o.Start+o.Drift.Last), side, conf)
	if err != nil || d.Status == robust.AlreadyOutside || d.Status == robust.MovingAway {
		return d, err
	}
	d.Earliest = o.firstBeyond(d.Earliest, limit, side, d.TQuant)
	d.Point = o.firstBeyond(d.Point, limit, side, 0)
	d.Latest = o.firstBeyond(d.Latest, limit, side, -d.TQuant)
	return d, nil
}

// firstBeyond is the first time at which the path, widened outwards by so many
// standard errors, is beyond the limit; about is when its tangent is.
func (o *Outlook) firstBeyond(about robust.When, limit float64, side robust.Side, widen float64) robust.When {
	if !about.Known {
		return about
	}
	for step := range farthestStep {
		t := o.Drift.Last + float64(step)*halfMonth
		fit, se, ok := o.at(t)
		if t > about.At+1 || !ok {
			break
		}
		if outwards(side)*(fit-limit)+widen*se >= 0 {
			return robust.When{At: t, Known: true}
		}
	}
	return robust.When{}
}

// expected is the value to which line and season lead at a visit.
func (s *study) expected(visit int) float64 {
	fit, _, _ := s.outlook.at(s.t[visit])
	return fit
}
