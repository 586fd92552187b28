package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"sootline"
)

// questions asks about what seems to have happened and nobody answered with no, the questions first whose answers may
// change most, then the latest; no more than a site of its size bears at a time, and says how many are held back until
// those are answered. They are in the order of the register, then of time.
func (j *Judge) questions() (asked []Question, held int) {
	if j.raised == nil {
		j.raise()
	}
	all := slices.Clone(j.raised)
	slices.SortStableFunc(all, func(a, b Question) int { return cmp.Or(cmp.Compare(b.gain, a.gain), b.To.Compare(a.To)) })
	asked = all[:min(len(all), fewQuestions+len(j.model.points)/pointsAQuestion)]
	slices.SortStableFunc(asked, func(a, b Question) int {
		return cmp.Or(cmp.Compare(j.model.index[a.Points[0]], j.model.index[b.Points[0]]), a.From.Compare(b.From), cmp.Compare(a.Kind, b.Kind))
	})
	return asked, len(all) - len(asked)
}

// raise looks for all that seems likely enough to ask about, and parts what was answered with no from it.
func (j *Judge) raise() {
	j.raised = []Question{}
	seen := map[string]bool{} // of one type with two bands, or of an area whose points were read apart, one is asked
	for _, q := range j.suspicions() {
		switch key := q.Key(); {
		case j.register.Answered(key):
			j.refused = append(j.refused, q)
		case !seen[key]:
			seen[key], j.raised = true, append(j.raised, q)
		}
	}
	for _, k := range j.model.kins {
		j.refused = append(j.refused, k.refused...)
	}
}

// suspicions is all that seems likely enough.
func (j *Judge) suspicions() []Question {
	var all []Question
	for i := range j.model.rescaled {
		if r := &j.model.rescaled[i]; !r.sheetNew && !r.noted {
			all = append(all, j.askRescaled(r))
		}
	}
	var seen hints
	for _, p := range j.model.points {
		if len(p.looks) == 0 || p.sheet != nil && !p.sheet.Kind.Judged() {
			continue
		}
		all = append(all, j.asksOf(p, &seen)...)
	}
	all = j.askPlaces(j.askCrossed(all, seen.odd), seen.steps)
	for _, a := range j.model.areas {
		all = append(all, j.askWorks(a)...)
	}
	return all
}

// leastWild is the fewest looks that show that a detector became unsteady.
const leastWild = 4

// stepped is a look at which the level of a point may have gone elsewhere at once.
type stepped struct {
	p      *past
	look   int
	chance float64
	asked  bool
}

// hints are what questions about several points begin with: steps, and looks that are likelier not what was shown.
type hints struct{ steps, odd []stepped }

// asksOf asks about one point, and notes what many points may share.
func (j *Judge) asksOf(p *past, seen *hints) []Question {
	var all []Question
	events := p.suspected(p.ahead())
	for look := range p.looks {
		cleaned := events[suspected{AskCleaned, look}] + events[suspected{AskHalfCleaned, look}]
		other := events[suspected{AskOtherDevice, look}]
		rose := events[suspected{AskWorks, look}]
		switch {
		case cleaned > sure:
			all = append(all, j.askStep(p, look, AskCleaned, cleaned))
		case cleaned+other > sure && look > 0 && p.z[look] < p.z[look-1]:
			all = append(all, j.askStep(p, look, p.cleanedOrOther(look, cleaned, other), cleaned+other))
		}
		if cleaned+other+rose > exchangedP {
			seen.steps = append(seen.steps, stepped{p, look, cleaned + other + rose, false})
		}
		slip, kind := slipAt(look, events)
		if slip > likelySo {
			seen.odd = append(seen.odd, stepped{p, look, slip, false})
		}
		if slip >= sure && len(p.looks[look].readings) == 1 && p.looks[look].readings[0].Entry != nil {
			all = append(all, j.askSlip(p, look, kind, slip))
		}
		if wild := events[suspected{AskUnsteady, look}]; look > 0 && wild > sure && len(p.looks)-look >= leastWild && !p.written(wildCause, look) {
			all = append(all, j.askUnsteady(p, look, wild))
		}
	}
	if chance := p.stuckChance(); chance > sure && !p.written(stuckCause, p.stuckFrom) {
		all = append(all, j.askStuck(p, chance))
	}
	for i := range all {
		all[i].gain = all[i].Chance
		if len(p.cuts) > 0 && all[i].To.Before(p.point.LastReset().At) {
			all[i].gain /= 2 // it tells of the place, no longer of what is there now
		}
	}
	return all
}

// cleanedOrOther says which of the two to ask about where a fall is one of them: a cleaning leads to where clean units
// rest and no further.
func (p *past) cleanedOrOther(look int, cleaned, other float64) QuestionKind {
	if other > cleaned && p.kin.rest-p.z[look] > farOff*math.Sqrt(p.kin.restVar+p.kin.noise) {
		return AskOtherDevice
	}
	return AskCleaned
}

// suspected gives the chances of what may have happened, without what a change of scale explains. Between a noted reset
// and the look after it nothing was seen to change.
func (p *past) suspected(a *ahead) map[suspected]float64 {
	left := map[suspected]float64{}
	for e, chance := range a.events() {
		near := p.first(e.look) && e.kind != AskUnsteady && !e.isSlip()
		for i := range p.kin.rescaled {
			r := &p.kin.rescaled[i]
			near = near || e.look > 0 && p.looks[e.look-1].t <= r.to && p.looks[e.look].t >= r.from
		}
		if !near {
			left[e] = chance
		}
	}
	return left
}

// written reports whether somebody wrote down a fault already that looks from one on show.
func (p *past) written(cause string, from int) bool {
	return slices.ContainsFunc(p.point.Events, func(e sootline.Event) bool {
		return e.Kind == sootline.FaultKind && e.Cause == cause && !e.At.Before(p.looks[from].at)
	})
}

// stuckCause and wildCause are the causes of the faults that a yes writes.
const (
	stuckCause = "value never moves"
	wildCause  = "value unsteady"
)

// first reports whether a look has none before it since its last noted reset.
func (p *past) first(look int) bool { return look == 0 || p.apart(look) }

// before is the look before one, or the look itself where there is none.
func (p *past) before(at int) *look { return &p.looks[max(0, at-1)] }

// onDay names a point and the day of a look, for the key of a question.
func (p *past) onDay(l *look) string { return fmt.Sprint(p.point.Ref(), day(l.at)) }

func (p *past) amount(y float64) string { return amountOf(p.sheet, y) }

func (j *Judge) askStep(p *past, at int, kind QuestionKind, chance float64) Question {
	from, to := p.before(at), &p.looks[at]
	rest, _ := p.kin.cleanValue()
	verb := "rose"
	if to.y < from.y {
		verb = "fell"
	}
	q := Question{
		Kind: kind, about: p.onDay(to), Points: []*sootline.Point{p.point}, From: from.at, To: to.at, Chance: chance,
		Evidence: []string{fmt.Sprintf("%s from %s to %s between %s and %s, and nobody wrote down why", verb, number(from.y), p.amount(to.y), date(from.at), date(to.at))},
		Numbers:  figures(p.sheet, "before", from.y, "after", to.y, "clean level", rest),
		Entries:  entries([]look{*from, *to}),
	}
	say := Said{Point: p.point, At: middle(from.at, to.at), Body: sootline.Replaced{Text: afterwards}}
	was := ": was another device fitted, or was it set anew?"
	if kind == AskCleaned {
		say.Body, was = sootline.Cleaned{Text: afterwards}, ": was it cleaned, or another device fitted?"
		q.Evidence = append(q.Evidence, fmt.Sprintf("clean units of its type rest at about %s", withUnit(p.sheet, roughly(rest, tellable*math.Abs(p.kin.scale.width)*math.Sqrt(p.kin.noise)))))
	}
	q.Evidence, q.Say = append(q.Evidence, likely(chance)+was), []Said{say}
	if noted := p.notedAround(at); kind == AskCleaned && noted != nil {
		q.Evidence[0] = fmt.Sprintf("%s from %s to %s between %s and %s, not at the cleaning noted on %s", verb, number(from.y), p.amount(to.y), date(from.at), date(to.at), date(noted.At))
		q.Evidence[len(q.Evidence)-1] = likely(chance) + ": was it this cleaning, noted on a wrong day?"
		q.Say[0].Body = sootline.Corrected{Entry: noted.Entry.ID, Why: "noted on a wrong day", At: say.At, Point: p.point.ID, Body: noted.Entry.Body}
	}
	return q
}

// notedAround is a noted cleaning beside a fall, in the gap before or after it, over which the values hardly fell; nil
// where there is none.
func (p *past) notedAround(at int) *sootline.Reset {
	resets := p.point.Resets[len(p.point.Resets)-len(p.cuts):]
	for i := range p.cuts {
		n, entry := p.after[i], resets[i].Entry
		if !p.cuts[i].cleaned || entry == nil || entry.Body.Kind() != sootline.CleanedKind || n != at-1 && n != at+1 {
			continue
		}
		if fell := p.z[at-1] - p.z[at]; n < len(p.z) && n > 0 && p.z[n-1]-p.z[n] < fell/2 {
			return &resets[i]
		}
	}
	return nil
}

// afterwards is what is written with what a yes says.
const afterwards = "noted afterwards, from the readings"

// likely words a chance of what is asked about.
func likely(chance float64) string {
	if chance >= 0.95 {
		return "nearly certain"
	}
	return "likely"
}

func middle(a, b time.Time) time.Time {
	return time.UnixMilli((a.UnixMilli() + b.UnixMilli()) / 2).In(a.Location())
}

// slipAt is the chance that a look is not what was shown, and the likeliest way.
func slipAt(at int, events map[suspected]float64) (total float64, kind QuestionKind) {
	best := 0.0
	for _, k := range [...]QuestionKind{AskTransposed, AskFactorTen, AskNeighbour, AskSlip} {
		if c := events[suspected{k, at}]; c > 0 {
			if total += c; c > best {
				best, kind = c, k
			}
		}
	}
	return total, kind
}

// slipOf begins a question about a look that is not what was shown.
func (j *Judge) slipOf(p *past, at int, kind QuestionKind, chance float64) Question {
	l := &p.looks[at]
	return Question{
		Kind: kind, about: p.onDay(l), Points: []*sootline.Point{p.point}, From: l.at, To: l.at, Chance: chance,
		Numbers: figures(p.sheet, "read", l.y), Entries: entries(p.looks[at : at+1]),
		Evidence: []string{fmt.Sprintf("%s was written on %s, which the visits around it do not lead to", p.amount(l.y), date(l.at))},
	}
}

// askSlip asks about a look that is not what was shown.
func (j *Judge) askSlip(p *past, at int, kind QuestionKind, chance float64) Question {
	l, q := &p.looks[at], j.slipOf(p, at, kind, chance)
	say := func(was string, body sootline.Body) {
		q.Evidence = append(q.Evidence, likely(chance)+": "+was)
		q.Say = []Said{{Point: p.point, At: l.at, Body: body}}
	}
	entry := l.readings[0].Entry
	meant, whose := p.meant(at, kind)
	switch {
	case kind == AskTransposed || kind == AskFactorTen:
		samples := []float64{meant}
		if len(l.readings[0].Samples) > 1 {
			samples = slices.Clone(l.readings[0].Samples)
			for i := range samples {
				samples[i] *= meant / l.y
			}
		}
		say(fmt.Sprintf("was it %s?", p.amount(meant)), p.corrected(l, samples, string(kind)))
	case kind == AskNeighbour && meant != l.y:
		say(fmt.Sprintf("a neighbour in the register shows %s on that day: was each written for the other?", p.amount(meant)), p.corrected(l, []float64{meant}, string(kind)))
		p.askBoth(&q, l, whose)
	case kind == AskNeighbour:
		say("a neighbour in the register shows the same on that day: was its value written here?", sootline.Withdrawn{Entry: entry.ID, Why: "the value of its neighbour"})
	default:
		say("is it a slip of the pen?", sootline.Withdrawn{Entry: entry.ID, Why: "slip of the pen"})
	}
	return q
}

// corrected corrects the samples of a reading.
func (p *past) corrected(l *look, samples []float64, why string) sootline.Body {
	entry := l.readings[0].Entry
	body := sootline.Read{Samples: samples}
	if was, ok := entry.Body.(sootline.Read); ok {
		body.Remark = was.Remark
	}
	return sootline.Corrected{Entry: entry.ID, Why: why, At: l.readings[0].At, Point: p.point.ID, Body: body}
}

// askBoth makes one question of two looks that were written for each other, of which a yes puts both right.
func (p *past) askBoth(q *Question, l *look, whose int) {
	other := p.model.points[p.place+whose]
	at := other.lookNear(l.t)
	theirs := &other.looks[at]
	if len(theirs.readings) != 1 || theirs.readings[0].Entry == nil {
		return
	}
	first := p
	if whose < 0 {
		first = other
	}
	q.about = first.onDay(l)
	q.Points, q.Entries = append(q.Points, other.point), append(q.Entries, theirs.readings[0].Entry.ID)
	q.Say = append(q.Say, Said{Point: other.point, At: theirs.at, Body: other.corrected(theirs, l.readings[0].Samples, string(q.Kind))})
}

// meant is what should have been written at a look, by the likeliest story, and of a neighbour's value how many points on
// in the register that is.
func (p *past) meant(at int, kind QuestionKind) (meant float64, whose int) {
	best := math.Inf(-1)
	meant = p.looks[at].y
	for i := range p.tales {
		for e := p.tales[i].events; e != nil; e = e.before {
			if e.look == at && e.kind == kind && p.tales[i].total > best && e.value != 0 {
				best, meant, whose = p.tales[i].total, e.value, e.whose
			}
		}
	}
	return meant, whose
}

func (j *Judge) askUnsteady(p *past, at int, chance float64) Question {
	looks := p.looks[at:]
	first, last := &looks[0], &looks[len(looks)-1]
	return Question{
		Kind: AskUnsteady, about: p.onDay(first), Points: []*sootline.Point{p.point}, From: p.before(at).at, To: last.at, Chance: chance,
		Evidence: []string{
			fmt.Sprintf("from %s on its readings jump about far more than before", date(first.at)),
			likely(chance) + ": does its value jump about? (no: it is well, or another device was read)",
		},
		Numbers: figures(nil, "visits", float64(len(looks))), Entries: entries(looks),
		Say: []Said{{Point: p.point, At: last.at, Body: sootline.Fault{Cause: wildCause}}},
	}
}

func (j *Judge) askStuck(p *past, chance float64) Question {
	looks := p.looks[p.stuckFrom:]
	first, last := &looks[0], &looks[len(looks)-1]
	return Question{
		Kind: AskNeverMoves, about: p.onDay(first), Points: []*sootline.Point{p.point}, From: first.at, To: last.at, Chance: chance,
		Evidence: []string{
			fmt.Sprintf("%d visits from %s to %s all gave exactly %s", len(looks), date(first.at), date(last.at), p.amount(first.y)),
			likely(chance) + ": does its value stand still, whatever is in its chamber?",
		},
		Numbers: append(figures(p.sheet, "value", first.y), figures(nil, "visits", float64(len(looks)))...), Entries: entries(looks),
		Say: []Said{{Point: p.point, At: last.at, Body: sootline.Fault{Cause: stuckCause, Text: fmt.Sprintf("%s at %d visits", number(first.y), len(looks))}}},
	}
}

// figures pairs names and finite values.
func figures(sheet *sootline.TypeSheet, pairs ...any) []Figure {
	unit := ""
	if sheet != nil {
		unit = sheet.Unit
	}
	all := make([]Figure, 0, len(pairs)/2)
	for i := 0; i+1 < len(pairs); i += 2 {
		if x := pairs[i+1].(float64); !math.IsNaN(x) && !math.IsInf(x, 0) {
			all = append(all, Figure{Name: pairs[i].(string), Value: x, Unit: unit})
		}
	}
	return all
}
