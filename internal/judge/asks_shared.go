package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"sootline"
)

// askRescaled asks once about all units of a type.
func (j *Judge) askRescaled(r *rescaled) Question {
	q := r.question()
	q.From, q.To, q.Chance, q.gain = q.From.In(j.on.Location()), q.To.In(j.on.Location()), 0.95, 2
	for _, one := range r.looks[:min(3, len(r.looks))] {
		q.Entries = append(q.Entries, entries(one.p.looks[one.look-1:one.look+1])...)
	}
	q.Numbers = append(figures(r.kin.sheet, "added", r.added), figures(nil, "factor", r.factor, "points", float64(len(r.looks)))...)
	if r.oneVisit {
		q.From = q.To
		q.Evidence = r.atOneVisit(date(q.To), likely(q.Chance))
		q.Say = []Said{{Point: q.Points[0], At: q.To, Body: sootline.Note{Text: r.scaleOf() + " was used on " + date(q.To) + ", or something set anew at the panel, " + afterwards}}}
		return q
	}
	q.Evidence = []string{
		fmt.Sprintf("between %s and %s all %d of type %s that were read %s", date(q.From), date(q.To), len(r.looks), q.Points[0].Type, r.how()),
		"their type sheet speaks of the values before: was the scale changed, as by a new program of the panel? Then take in the new sheet",
	}
	if r.onlyLast() {
		q.Evidence = slices.Insert(q.Evidence, 1, "one visit alone shows that yet: where another instrument was used, or something set at the panel for that day, say no")
	}
	q.Say = []Said{{Point: q.Points[0], At: middle(q.From, q.To), Body: sootline.Note{
		Text: "the " + r.scaleOf() + " was changed between " + date(q.From) + " and " + date(q.To) + ", " + afterwards,
	}}}
	return q
}

// atOneVisit is the evidence of what one visit alone shows.
func (r *rescaled) atOneVisit(day, likely string) []string {
	unit, since := "", "more than ever before and in all rooms"
	if r.factor != 1 {
		unit = "another unit written, "
	}
	if !math.IsInf(r.until, 1) {
		since = "in all rooms, and showed what they did before at the next visit"
	}
	return []string{
		fmt.Sprintf("on %s %d of type %s that were read %s at once, %s", day, len(r.looks), r.looks[0].p.point.Type, r.how(), since),
		likely + ": was another instrument used, " + unit + "or something set anew at the panel?",
	}
}

// scaleOf names what changed in a note.
func (r *rescaled) scaleOf() string {
	if r.oneVisit {
		return "another instrument"
	}
	return "scale of " + r.looks[0].p.point.Type
}

// how says how the scale changed: to so many times, or by how much.
func (r *rescaled) how() string {
	if r.factor != 1 {
		return "went to about " + number(round2(r.factor)) + " times what they showed"
	}
	return moved(r.added, "rose", "fell") + " by about " + amountOf(r.kin.sheet, round2(math.Abs(r.added)))
}

func round2(x float64) float64 { return math.Round(100*x) / 100 }

// sameVisit is how many years may lie between two days of readings of one visit: a week. Ours, no source.
const sameVisit = 7 / 365.25

// visitOf is the day on which the visit began in which some points were read at a time. It does not hang on which of
// them show what is asked about.
func visitOf(members []*past, t float64) int64 {
	var all []*look
	for _, p := range members {
		for i := range p.looks {
			if p.looks[i].t <= t+1e-9 {
				all = append(all, &p.looks[i])
			}
		}
	}
	slices.SortFunc(all, func(a, b *look) int { return cmp.Compare(b.t, a.t) })
	began := 0
	for began+1 < len(all) && all[began].t-all[began+1].t <= sameVisit {
		began++
	}
	return day(all[began].at)
}

// join adds a point to what is asked about several, with a look and the one before, between which it happened.
func (q *Question) join(p *past, look int) {
	from, to := p.before(look).at, p.looks[look].at
	q.Points = append(q.Points, p.point)
	q.Entries = append(q.Entries, entries(p.looks[max(0, look-1):look+1])...)
	if q.From.IsZero() || from.After(q.From) {
		q.From = from
	}
	if q.To.IsZero() || to.Before(q.To) {
		q.To = to
	}
}

// told reports whether a note of about then, of the site or of one of some points, holds some words. The points are all
// that it may be about, whichever of them show it now.
func (m *model) told(q *Question, of []*past, words string) bool {
	from, to := q.From.AddDate(0, -1, 0), q.To.AddDate(0, 1, 0)
	tells := func(events []sootline.Event) bool {
		return slices.ContainsFunc(events, func(e sootline.Event) bool {
			return e.Kind == sootline.NoteKind && e.At.After(from) && e.At.Before(to) && strings.Contains(strings.ToLower(e.Text), strings.ToLower(words))
		})
	}
	return tells(m.register.Events) || slices.ContainsFunc(of, func(p *past) bool { return tells(p.point.Events) })
}

// names lists points by their references.
func names(points []*sootline.Point) string {
	all := make([]string, len(points))
	for i, p := range points {
		all[i] = p.Ref().String()
	}
	last := len(all) - 1
	if last < 1 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:last], ", ") + " and " + all[last]
}

// askPlaces asks about two devices of one type on one loop of which each went to the level of the other between the
// same two visits, instead of about each by itself.
func (j *Judge) askPlaces(all []Question, steps []stepped) []Question {
	for i := range steps {
		for k := i + 1; k < len(steps) && !steps[i].asked; k++ {
			a, b := &steps[i], &steps[k]
			if b.asked || a.p == b.p || !exchanged(a, b) {
				continue
			}
			a.asked, b.asked = true, true
			all = slices.DeleteFunc(all, func(q Question) bool { return q.from(a) || q.from(b) })
			all = append(all, j.askExchange(a, b))
		}
	}
	return all
}

// askCrossed asks once about two values of one visit that were written for each other, wherever the two points hang,
// instead of taking one of them for a slip, or the other for a cleaning: a yes to that would take a true value away.
func (j *Judge) askCrossed(all []Question, odd []stepped) []Question {
	crossed := map[*look]bool{}
	for i := range odd {
		p, l := odd[i].p, &odd[i].p.looks[odd[i].look]
		o := p.crossedWith(odd[i].look)
		if o == nil || crossed[l] {
			continue
		}
		theirs := &o.looks[o.lookNear(l.t)]
		crossed[l], crossed[theirs] = true, true
		all = slices.DeleteFunc(all, func(q Question) bool { return q.touches(p, l) || q.touches(o, theirs) })
		chance := max(sure, odd[i].chance)
		q := j.slipOf(p, odd[i].look, AskNeighbour, chance)
		q.gain = chance
		q.Evidence = append(q.Evidence, fmt.Sprintf("%s: %s shows %s on that day, which fits here, as this fits there: was each written for the other?",
			likely(chance), o.point.Ref(), o.amount(theirs.y)))
		q.Say = []Said{{Point: p.point, At: l.at, Body: p.corrected(l, theirs.readings[0].Samples, string(q.Kind))}}
		p.askBoth(&q, l, o.place-p.place)
		all = append(all, q)
	}
	return all
}

// touches reports whether a question about some points is about one of them and begins or ends with a look there.
func (q *Question) touches(p *past, l *look) bool {
	return slices.Contains(q.Points, p.point) && (q.To.Equal(l.at) || len(q.Points) == 1 && q.From.Equal(l.at))
}

// crossedWith is the one other point of the type at which a look of the same day fits here, as this one fits there; nil
// where there is none, or more than one.
func (p *past) crossedWith(at int) (found *past) {
	l := &p.looks[at]
	if len(l.readings) != 1 || l.readings[0].Entry == nil {
		return nil
	}
	for _, o := range p.kin.members {
		there := o.lookNear(l.t)
		if o == p || there < 0 || len(o.looks[there].readings) != 1 || !o.mayShow(there, l.y) || !p.mayShow(at, o.looks[there].y) {
			continue
		}
		if found != nil {
			return nil
		}
		found = o
	}
	return found
}

// from reports whether a question is about a step.
func (q *Question) from(s *stepped) bool {
	return q.Points[0] == s.p.point && q.To.Equal(s.p.looks[s.look].at) && !q.From.Equal(q.To)
}

// exchanged reports whether each of two steps leads to where the other came from, and both are large beside the
// noise.
func exchanged(a, b *stepped) bool {
	if a.p.kin != b.p.kin || a.p.point.LoopID() != b.p.point.LoopID() || a.look == 0 || b.look == 0 {
		return false
	}
	af, at, bf, bt := a.p.looks[a.look-1].t, a.p.looks[a.look].t, b.p.looks[b.look-1].t, b.p.looks[b.look].t
	if max(af, bf) >= min(at, bt) {
		return false
	}
	ab, an := a.p.level(a.look-1, -1)
	aa, am := a.p.level(a.look, 1)
	bb, bn := b.p.level(b.look-1, -1)
	ba, bm := b.p.level(b.look, 1)
	if a.p.area.worksIn(af, at) > 0 || b.p.area.worksIn(bf, bt) > 0 { // of a room that rose at once no one moved
		return false
	}
	near := farOff * math.Sqrt(2*a.p.kin.noise)
	sd := math.Sqrt(2 * a.p.kin.noise / min(an, am, bn, bm))
	return a.chance+b.chance > 1.1 && min(a.chance, b.chance) > 0.2 && min(an, am, bn, bm) > 1 && math.Abs(ab-bb) > 4*sd && (math.Abs(aa-bb) < 3*sd && math.Abs(ba-ab) < 3*sd ||
		math.Abs(a.p.z[a.look]-b.p.z[b.look-1]) < near && math.Abs(b.p.z[b.look]-a.p.z[a.look-1]) < near)
}

// levelLooks is how many looks on one side of a step tell the level there.
const levelLooks = 3

// level is the mean of a few looks from one on, back or forth, which no reset parts; and how many there are.
func (p *past) level(from, way int) (mean, n float64) {
	for i := from; i >= 0 && i < len(p.looks) && n < levelLooks; i += way {
		if i != from && p.apart(max(i, i-way)) {
			break
		}
		mean, n = mean+p.z[i], n+1
	}
	return mean / n, n
}

func (j *Judge) askExchange(a, b *stepped) Question {
	q := Question{Kind: AskChangedPlaces, Chance: 0.9, gain: 1}
	for _, s := range [2]*stepped{a, b} {
		from, to := s.p.before(s.look), &s.p.looks[s.look]
		q.join(s.p, s.look)
		q.Evidence = append(q.Evidence, fmt.Sprintf("%s went from %s to %s between %s and %s", s.p.point.Ref(), number(from.y), s.p.amount(to.y), date(from.at), date(to.at)))
		q.Numbers = append(q.Numbers, figures(s.p.sheet, "before", from.y, "after", to.y)...)
	}
	q.Evidence = append(q.Evidence, "devices of one type on one loop: did "+names(q.Points)+" change places?")
	at := middle(q.From, q.To)
	for i, s := range [2]*stepped{b, a} {
		body := sootline.Replaced{Text: "changed places: came from " + s.p.point.Ref().String()}
		if s.p.point.UnitSince.Before(at) {
			body.Unit = s.p.point.Unit
		}
		q.Say = append(q.Say, Said{Point: q.Points[i], At: at, Body: body})
	}
	return q
}
