package judge

import (
	"fmt"
	"math"
	"slices"

	"sootline"
	"sootline/internal/robust"
)

// Works stir up dust in a whole room: what several of its points show at once between the same visits is one story.

// works is when something happened to a room, and how likely each of its points that rose then did so for it.
type works struct{ from, to, chance float64 }

// How likely a point rose with its room, where half of those read did, and where somebody wrote that down: ours.
const (
	sharedWorks = 0.5
	notedWorks  = 0.9
)

// findWorks looks for what happened to whole rooms, as far as people did not say that nothing did, and walks once more
// through the looks there.
func (m *model) findWorks() {
	var again []*past
	for _, a := range m.areas {
		for _, together := range a.roseTogether((*past).untaught, hintedP, true) {
			q, chance := worksOf(together), sharedWorks
			if m.register.Answered(q.Key()) {
				continue
			}
			if m.told(&q, a.members, a.name) {
				chance = notedWorks
			}
			a.works = append(a.works, works{years(q.From), years(q.To), chance})
		}
		if len(a.works) > 0 {
			again = append(again, a.members...)
		}
	}
	m.walkThrough(again)
}

// untaught weighs the paths of a point by nothing that was learned of them.
func (p *past) untaught() *ahead { return p.under(p.kin.first) }

// worksIn is the chance that a point rose with its room between two times, of works that lie in them by half; 0: none.
func (a *area) worksIn(from, to float64) (chance float64) {
	for _, w := range a.works {
		if min(to, w.to)-max(from, w.from) > (w.to-w.from)/2 {
			chance = max(chance, w.chance)
		}
	}
	return chance
}

// roseTogether finds the rises of an area that half of its points share, each of them with a chance of so much at least
// by its paths as they are weighed, or, where leaps count, farther than it ever went: a path that is fast enough may
// explain one of those, and not that all of a room have it between two visits.
func (a *area) roseTogether(weighed func(*past) *ahead, least float64, leaps bool) (all [][]stepped) {
	var rises []stepped
	if a.name == "" {
		return nil
	}
	for _, p := range a.members {
		if !leaps && !p.mayHave(AskWorks) && !p.mayHave(AskOtherDevice) {
			continue
		}
		events := p.suspected(weighed(p))
		for look := 1; look < len(p.looks); look++ {
			chance := events[suspected{AskWorks, look}] + events[suspected{AskOtherDevice, look}]
			if leaps && p.leapt(look) && a.leaptWith(p, look) {
				chance = max(chance, sharedWorks)
			}
			if chance > least && p.z[look] > p.z[look-1] {
				rises = append(rises, stepped{p, look, chance, false})
			}
		}
	}
	for len(rises) >= shared3 {
		var best []stepped
		for i := range rises {
			if together := overlapping(rises, &rises[i]); len(together) > len(best) {
				best = together
			}
		}
		read := 0
		for _, p := range a.members {
			if p.readAround(best[0].p.before(best[0].look).t, best[0].p.looks[best[0].look].t) {
				read++
			}
		}
		if len(best) < shared3 || 2*len(best) < read {
			break
		}
		all, rises = append(all, best), without(rises, best)
	}
	return all
}

// A leap is so many times the middle of all other steps of a point, and so few of its type may leap elsewhere: ours.
const (
	leapTimes      = 2
	leapsElsewhere = 0.1
)

// leapt reports whether a point went towards dirt as far as works may bring it, and farther than it goes from look to look.
func (p *past) leapt(look int) bool {
	step := p.z[look] - p.z[look-1]
	if p.apart(look) || step < max(worksRise/2, farOff*math.Sqrt(2*p.kin.noise)) {
		return false
	}
	var others []float64
	for i := 1; i < len(p.z); i++ {
		if i != look && !p.apart(i) {
			others = append(others, math.Abs(p.z[i]-p.z[i-1]))
		}
	}
	middle, _ := robust.MedianInPlace(others)
	return len(others) >= leastLeading && step > leapTimes*middle
}

// leaptWith reports whether nearly all of a room leapt at once, and few of its type elsewhere did.
func (a *area) leaptWith(p *past, look int) bool {
	from, to := p.before(look).t, p.looks[look].t
	var read, leapt [2]float64
	count := func(o *past, there int) {
		if i := o.lookAcross(from, to); i > 0 && !o.apart(i) {
			read[there]++
			leapt[there] += isTrue(o.leapt(i))
		}
	}
	for _, o := range a.members {
		count(o, 0)
	}
	for _, o := range p.kin.members {
		if o.area != a {
			count(o, 1)
		}
	}
	return read[0] >= leastPairs && leapt[0] >= togetherSo*read[0] && leapt[1] <= leapsElsewhere*read[1]
}

// lookAcross is the first look after a span of time has begun by half, where the one before lies before that; -1: none.
func (p *past) lookAcross(from, to float64) int {
	half := (from + to) / 2
	i := slices.IndexFunc(p.looks, func(l look) bool { return l.t > half })
	if i > 0 && p.looks[i-1].t < half && p.looks[i].t <= to+(to-from)/2 {
		return i
	}
	return -1
}

// mayHave reports whether a story of a point tells of such an event.
func (p *past) mayHave(kind QuestionKind) bool {
	for i := range p.tales {
		for e := p.tales[i].events; e != nil; e = e.before {
			if e.kind == kind {
				return true
			}
		}
	}
	return false
}

// askWorks asks once about an area in which several points rose between the same visits.
func (j *Judge) askWorks(a *area) (all []Question) {
	for _, together := range a.roseTogether((*past).ahead, sharedP, false) {
		if q := worksOf(together); !j.model.told(&q, a.members, a.name) {
			all = append(all, q)
		}
	}
	return all
}

// readAround reports whether a point was read before and after a span of time, with nothing reset between.
func (p *past) readAround(from, to float64) bool {
	for i := 1; i < len(p.looks); i++ {
		if p.looks[i-1].t < to && p.looks[i].t > from && p.looks[i].t >= to-1e-9 {
			return !p.apart(i)
		}
	}
	return false
}

// overlapping gives the rises whose gaps between visits overlap that of one of them, one a point.
func overlapping(rises []stepped, of *stepped) []stepped {
	var all []stepped
	from, to := of.p.before(of.look).t, of.p.looks[of.look].t
	for _, r := range rises {
		if f, t := r.p.before(r.look).t, r.p.looks[r.look].t; min(t, to)-max(f, from) > 0.5*min(t-f, to-from) && (len(all) == 0 || all[len(all)-1].p != r.p) {
			all = append(all, r)
		}
	}
	return all
}

func without(rises, taken []stepped) []stepped {
	return slices.DeleteFunc(slices.Clone(rises), func(r stepped) bool { return slices.Contains(taken, r) })
}

// worksOf asks about works in the room of some points that rose together.
func worksOf(together []stepped) Question {
	q := Question{Kind: AskWorks, gain: 1.5}
	none := 1.0
	for _, r := range together {
		q.join(r.p, r.look)
		none *= 1 - r.chance
	}
	room := together[0].p.area
	q.Chance, q.about = 1-none, fmt.Sprint(together[0].p.point.Panel, room.name, visitOf(room.members, years(q.To)))
	q.Numbers = figures(nil, "points", float64(len(together)))
	q.Evidence = []string{
		fmt.Sprintf("%d detectors in %s %s at once between %s and %s: %s", len(together), together[0].p.point.Area, wentTogether(together), date(q.From), date(q.To), names(q.Points)),
		likely(q.Chance) + ": were there building works, or other dust?",
	}
	q.Say = []Said{{Point: q.Points[0], At: middle(q.From, q.To), Body: sootline.Note{Text: "building works or other dust in " + together[0].p.point.Area + ", " + afterwards}}}
	return q
}

// wentTogether says which way: of types that fall with dirt the values fell.
func wentTogether(together []stepped) string {
	up := 0
	for _, r := range together {
		if r.p.kin.scale.width > 0 {
			up++
		}
	}
	switch up {
	case len(together):
		return "rose"
	case 0:
		return "fell"
	}
	return "went towards the limit that dirt leads to"
}
