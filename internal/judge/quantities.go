package judge

import (
	"cmp"
	"math"
	"slices"

	"sootline"
	"sootline/internal/robust"
)

// other judges one quantity beside the types' own: in a view of the register in
// which it is what the points rest at, so that the same machine judges it.
type other struct {
	*Judge
	copies map[*sootline.Point]*sootline.Point // of the points that have readings of it, in the view
}

// findOthers makes a view of each other quantity that was read somewhere.
func (j *Judge) findOthers() {
	points, readings := map[string][]*sootline.Point{}, map[*sootline.Point]map[string][]sootline.Reading{}
	for _, p := range j.register.Points() {
		for i := range p.Readings {
			if name := p.Readings[i].Quantity; name != "" {
				if readings[p] == nil {
					readings[p] = map[string][]sootline.Reading{}
				}
				if readings[p][name] == nil {
					points[name] = append(points[name], p)
				}
				reading := p.Readings[i]
				reading.Quantity = ""
				readings[p][name] = append(readings[p][name], reading)
			}
		}
	}
	for name, having := range points {
		o := &other{copies: map[*sootline.Point]*sootline.Point{}}
		var order []*sootline.Point
		sheets := map[string]*sootline.TypeSheet{}
		for _, p := range having {
			same := *p
			same.Readings = readings[p][name]
			o.copies[p], order = &same, append(order, &same)
			sheets[sootline.TypeKey(p.Type)] = sheetOf(j.register.Sheet(p.Type), name, p.Type)
		}
		list := make([]*sootline.TypeSheet, 0, len(sheets))
		for _, sheet := range sheets {
			list = append(list, sheet)
		}
		o.Judge = newUntil(j.register.With(order, list), j.on, j.next)
		o.losses = j.losses
		o.quantity = name
		j.others = append(j.others, o)
	}
	slices.SortFunc(j.others, func(a, b *other) int { return cmp.Compare(a.quantity, b.quantity) })
}

// guessedNoise is the noise of a quantity as a share of its band where its sheet
// gives none: the noise of a site's resting values is in another unit. A
// judgement of ours, no source.
const guessedNoise = 0.025

// sheetOf makes the sheet of a type on which a quantity is its own; without bands
// where the type's sheet does not know the quantity. Its life is that of the type,
// and judged there.
func sheetOf(of *sootline.TypeSheet, quantity, typ string) *sootline.TypeSheet {
	sheet := &sootline.TypeSheet{Name: typ, Quantity: quantity}
	if of != nil {
		sheet.Kind = of.Kind
	}
	q := of.Other(quantity)
	if q == nil {
		return sheet
	}
	sheet.Unit, sheet.Worse, sheet.Bands = q.Unit, q.Worse, q.Bands
	sheet.PooledSD, sheet.SpreadLimit, sheet.FactoryRest = q.PooledSD, q.SpreadLimit, q.Rest
	if sheet.PooledSD == nil && len(q.Bands) > 0 {
		sheet.PooledSD = guessNoise(&q.Bands[0])
	}
	return sheet
}

// guessNoise takes a share of the band's width, or of the one limit known.
func guessNoise(band *sootline.Band) *float64 {
	switch {
	case band.Complete():
		return given(guessedNoise * (*band.High - *band.Low))
	case band.High != nil:
		return given(guessedNoise * math.Abs(*band.High))
	case band.Low != nil:
		return given(guessedNoise * math.Abs(*band.Low))
	}
	return nil
}

// addOthers adds to judgements what the other quantities come to.
func (j *Judge) addOthers(judgements []Judgement) {
	for _, o := range j.others {
		o.look()
	}
	shared(j.ctx, len(judgements), func(i int) { judgements[i].with(j.othersOf(judgements[i].Point)) })
}

// othersOf judges the other quantities of one point.
func (j *Judge) othersOf(p *sootline.Point) []Judgement {
	var all []Judgement
	for _, o := range j.others {
		if same := o.copies[p]; same != nil {
			hand := *o.Judge // several points are judged at a time
			hand.scratch = robust.Scratch{}
			one := hand.Point(same)
			one.Point = p
			all = append(all, one)
		}
	}
	return all
}

// Actions lists the actions, the most pressing first.
func Actions() []Action {
	return []Action{CleanNow, Replace, CleanAtVisit, LookAgain, Read, Leave}
}

func (a Action) pressing() int { return slices.Index(Actions(), a) }

// with adds what the other quantities of the point come to. The most pressing
// action of all is that of the point, with its reason first. A point of which
// nobody ever read the resting value is judged by what was read. A quantity
// without a band is shown, and decides nothing.
func (j *Judgement) with(others []Judgement) {
	if len(others) == 0 {
		return
	}
	lead := &others[0]
	for i := range others {
		if others[i].before(lead) {
			lead = &others[i]
		}
	}
	reason := lead.Quantity + ": " + lead.Reasons[0]
	if j.Action == Read && j.latest == nil && len(j.used) == 0 && lead.Verdict != NoBand {
		best := *lead
		best.Others = slices.DeleteFunc(slices.Clone(others), func(o Judgement) bool { return o.Quantity == best.Quantity })
		best.Reasons = append([]string{reason}, best.Reasons[1:]...)
		*j = best
		return
	}
	j.Others = others
	tells := j.Sheet != nil && j.Sheet.Compensated && lead.Quantity == sootline.CompensationUsed
	if lead.Verdict == NoBand || lead.Action.pressing() > j.Action.pressing() || lead.Action == j.Action && !tells {
		return
	}
	j.Action, j.Advice = lead.Action, lead.Advice
	j.Reasons = append([]string{reason}, j.Reasons...)
}

// before reports whether a quantity decides before another: those with a band
// first, then the more pressing, then how much of the compensation is used.
func (j *Judgement) before(o *Judgement) bool {
	rank := func(x *Judgement) [3]int {
		var r [3]int
		if x.Verdict == NoBand {
			r[0] = 1
		}
		r[1] = x.Action.pressing()
		if x.Quantity != sootline.CompensationUsed {
			r[2] = 1
		}
		return r
	}
	a, b := rank(j), rank(o)
	return slices.Compare(a[:], b[:]) < 0
}

// compensationLeft says how much of the compensation of a device is left.
func (s *study) compensationLeft() string {
	high := s.limit(HighLimit)
	if s.Quantity != sootline.CompensationUsed || high == nil || s.Verdict != Inside {
		return ""
	}
	return "left of the compensation before its limit: " + s.amount(*high-s.Value)
}

// wholeShare is all of a compensation, in percent.
const wholeShare = 100

// noTripForShare says why a compensation that is used up calls for no cleaning now.
func (s *study) noTripForShare() string {
	if s.until(worse) < s.losses.From(s.losses.Trip) {
		return ""
	}
	if s.Value >= wholeShare {
		return "it is used up, so that the value itself tells from now on when it is to be cleaned before the visit"
	}
	return "it is cleaned at the visit and not now, since the value itself only begins to move when the compensation is used up"
}

// dirtSign is -1 where dirt lowers the value, else 1.
func dirtSign(sheet *sootline.TypeSheet) float64 {
	if dirtSide(sheet) == LowLimit {
		return -1
	}
	return 1
}
