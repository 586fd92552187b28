package ducts

import (
	"fmt"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// site is a site while it is drawn: week by week, from before its log begins to the horizon.
type site struct {
	dice
	plan   *plan
	book   *levels.Book
	start  time.Time // a Monday, 00:00 UTC; week 0
	begins int       // the week in which the log begins
	visits []visit
	months int // from one visit to the next
	now    time.Time
	next   time.Time
	kinds  []*kind
	rooms  []*room
	points []*point
}

// visit is one attendance.
type visit struct {
	week       int
	offset     float64 // of all its values, in rooms of the band
	instrument bool    // it was made with another instrument, and the offset is large
	noted      bool    // and somebody wrote so
	last       bool
}

func newSite(seed uint64, p *plan) *site {
	s := &site{dice: newDice(seed, p.name), plan: p, start: time.Date(2005, 1, 3, 0, 0, 0, 0, time.UTC)}
	s.start = s.start.Add(time.Duration(s.IntN(260)) * week)
	s.begins = 2
	if s.chance(0.5) {
		s.begins = 30 + s.IntN(230) // it was there before anybody kept a log
	}
	s.months = pick(s.dice, p.months)
	s.planVisits()
	s.book = levels.NewBook(seed, s.weekOf(s.begins), sootline.Opened{
		Name: "Ducts " + p.name + fmt.Sprintf(" %d", seed), Rules: sootline.Rules{VisitMonths: s.months},
	})
	s.addKinds()
	n := s.whole(p.points)
	s.addRooms(2 + n/(8+s.IntN(18)))
	s.addPoints(n)
	return s
}

// planVisits says when somebody comes, until now.
func (s *site) planVisits() {
	between := float64(s.months) * 365.25 / 12 / 7
	at := float64(s.begins) + 1 + s.between(0, between)
	for range s.whole(s.plan.visits) {
		v := visit{week: int(at), offset: s.normal(0, s.plan.offset)}
		if s.chance(s.plan.instrument) {
			v.instrument, v.noted, v.offset = true, s.chance(0.25), pick(s.dice, []float64{-1, 1})*s.between(0.1, 0.22)
		}
		s.visits = append(s.visits, v)
		at += between + s.between(-2, 2)
		for s.chance(s.plan.missed) {
			at += between
		}
	}
	last := &s.visits[len(s.visits)-1]
	last.last = true
	s.now = s.weekOf(last.week).Add(time.Duration(6+s.IntN(60))*24*time.Hour + 12*time.Hour)
	s.next = s.weekOf(last.week).AddDate(0, s.months, s.IntN(11)-5).Add(9 * time.Hour)
}

// past reports whether a week begins before now.
func (s *site) past(k int) bool { return s.weekOf(k).Before(s.now) }

func (s *site) addKinds() {
	for i, k := range s.plan.kinds {
		made := k.named(s.dice, fmt.Sprintf("%s %d", map[bool]string{true: "cell", false: "optical"}[k.ages > 0], i+1))
		if s.chance(s.plan.rescaled) {
			made.rescale = s.drawRescale(made)
		}
		s.kinds = append(s.kinds, made)
		s.book.Write(levels.Line{At: s.weekOf(s.begins), Body: sootline.Sheet{TypeSheet: made.sheet}})
		s.writeRescale(made)
	}
}

func (s *site) addRooms(n int) {
	last := s.visits[len(s.visits)-1].week
	for i := range n {
		u := pick(s.dice, s.plan.uses)
		r := &room{use: u, area: fmt.Sprintf("%s %d", u.name, i+1), strength: u.strength * s.lognormal(0.35), humid: s.plan.humid * s.between(0.3, 1.3)}
		if s.chance(s.plan.second) {
			r.second = s.weekOf((s.begins + 2*last) / 3).Add(time.Duration(s.IntN(40)-20) * week)
		}
		for s.chance(s.plan.works) {
			r.works = append(r.works, s.drawWorks(r, last))
		}
		s.rooms = append(s.rooms, r)
	}
}

// drawWorks draws building works between the first visit and the last, and writes them down or not.
func (s *site) drawWorks(r *room, last int) works {
	first := s.visits[0].week
	w := works{from: s.weekOf(first + s.IntN(max(1, last-first))), weeks: 2 + s.IntN(6), dust: 0.3 * s.lognormal(0.5), noted: s.chance(s.plan.worksNoted)}
	if w.noted {
		s.book.Write(levels.Line{
			At: w.from.Add(12 * time.Hour), Day: true, By: "caretaker",
			Body: sootline.Note{Text: "building works in " + r.area + ", some weeks"},
		})
	}
	return w
}

// most numbers of a loop (common practice, no source: seven binary switches, and 127 is unset).
const perLoop = 126

func (s *site) addPoints(n int) {
	for i := range n {
		p := &point{
			room: s.rooms[i*len(s.rooms)/n], kind: pick(s.dice, s.kinds), loop: fmt.Sprint(1 + i/perLoop), number: 1 + i%perLoop,
			chamber: newChamber(s.dice, s.plan),
		}
		p.rest = s.normal(p.kind.rest, p.kind.restSD)
		if s.chance(s.plan.late) {
			p.fitted = s.begins + 1 + s.IntN(s.visits[len(s.visits)-1].week-s.begins)
		}
		s.points = append(s.points, p)
		s.writeFitted(p)
	}
}

// live lets the weeks pass, up to the horizon.
func (s *site) live() {
	s.liveFrom(0, s.now.AddDate(levels.Horizon, 0, 0))
}

// liveFrom lets the weeks pass from one on that begin before an instant, and gives the next.
func (s *site) liveFrom(k int, until time.Time) int {
	for ; s.weekOf(k).Before(until); k++ {
		for _, r := range s.rooms {
			r.draw(s.dice, s.plan, s.weekOf(k))
		}
		for _, p := range s.points {
			if k >= p.fitted {
				s.pass(p, k)
			}
		}
		for i := range s.visits {
			if s.visits[i].week == k {
				s.attend(&s.visits[i])
			}
		}
	}
	return k
}
