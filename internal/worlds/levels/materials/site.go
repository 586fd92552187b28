package materials

import (
	"fmt"
	"time"

	"sootline"
	"sootline/internal/worlds/levels"
)

// site is a site while it is drawn.
type site struct {
	chance
	plan    plan
	book    *levels.Book
	rooms   []*room
	devices []*made
	batches []batch
	courses []*course
	visits  []visit
	fitted  time.Time
	now     time.Time
	next    time.Time
	serial  int
}

// visit is an attendance.
type visit struct {
	day    time.Time // its first hour
	offset float64   // of every value, as a share of the way
	wet    []float64 // of each room
}

// daily is how many points somebody reads in a day.
const daily = 250

// at is when the n-th point of a visit is read.
func (v *visit) at(n int) time.Time {
	return v.day.AddDate(0, 0, n/daily).Add(time.Duration(n%daily) * 100 * time.Second)
}

// Make draws a site.
func (World) Make(seed uint64, scenario string) levels.Site {
	s := draw(seed, scenario)
	entries, err := s.book.Entries()
	if err != nil {
		panic(err) // not reached: a world that writes what no log may hold is wrong
	}
	site := levels.Site{Name: fmt.Sprintf("%s %d", scenario, seed), Scenario: scenario, Entries: entries, Now: s.now, NextVisit: s.next}
	for _, p := range s.courses {
		site.Points = append(site.Points, s.truth(p))
	}
	return site
}

func draw(seed uint64, scenario string) *site {
	s := &site{chance: newChance(seed, scenario), plan: planOf(scenario)}
	s.drawVisits()
	s.open(seed, scenario)
	s.drawRooms()
	s.drawDevices()
	s.drawCourses(s.count(s.plan.points[0], s.plan.points[1]))
	s.drawFailures()
	for i := range s.visits {
		s.attend(&s.visits[i])
	}
	return s
}

// drawVisits lays the visits, each some days off its turn, and the days around them.
func (s *site) drawVisits() {
	n := s.count(s.plan.visits[0], s.plan.visits[1])
	last := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC).AddDate(0, 0, s.IntN(250))
	late := 4 * min(6, s.plan.months)
	for i := range n {
		v := visit{day: last.AddDate(0, -s.plan.months*(n-1-i), s.IntN(late+1)-late/2)}
		if s.hit(s.plan.offset) {
			v.offset = s.normal(0.1)
		}
		s.visits = append(s.visits, v)
	}
	s.fitted = s.visits[0].day.AddDate(0, 0, -s.count(30, 400)).Truncate(time.Hour)
	last = s.visits[n-1].day
	s.next = last.AddDate(0, s.plan.months, 0)
	s.now = last.AddDate(0, 0, 10).Add(time.Duration(s.between(0, 0.7) * float64(s.next.Sub(last)))).Truncate(time.Hour)
	if !s.now.Before(s.next) {
		s.now = s.next.AddDate(0, 0, -5)
	}
}

func (s *site) open(seed uint64, scenario string) {
	s.book = levels.NewBook(seed, s.fitted.Add(-2*time.Hour), sootline.Opened{
		Name: fmt.Sprintf("Materials, %s, %d", scenario, seed), Rules: sootline.Rules{VisitMonths: s.plan.months},
	})
}

func (s *site) drawRooms() {
	for i := range max(2, s.plan.points[1]/12) {
		r := newRoom(s.chance, &s.plan, i+1)
		for k := range s.visits {
			s.visits[k].wet = append(s.visits[k].wet, r.wet(s.chance, s.visits[k].day))
			if k > 0 && s.hit(s.plan.works) {
				r.works = append(r.works, s.build(s.visits[k-1].day, s.visits[k].day))
			}
		}
		s.rooms = append(s.rooms, r)
	}
}

// build draws works between two visits.
func (s *site) build(from, to time.Time) works {
	begun := from.AddDate(0, 0, 3).Add(time.Duration(s.between(0.05, 0.7) * float64(to.Sub(from)))).Truncate(24 * time.Hour).Add(8 * time.Hour)
	return works{begun, s.between(2, 25), 0.3 * s.factor(0.6)}
}

func (s *site) drawDevices() {
	for _, d := range devices() {
		for _, name := range s.plan.types {
			if d.name == name {
				m := &made{device: d, after: d.scale}
				m.told = &m.scale
				s.devices = append(s.devices, m)
				s.book.Write(levels.Line{At: s.fitted.Add(-time.Hour), By: "Office", Body: d.sheet(&m.scale)})
			}
		}
	}
	if s.plan.changed != unchanged {
		s.change(s.devices[s.IntN(len(s.devices))])
	}
	for i := range 3 + s.IntN(4) {
		s.batches = append(s.batches, newBatch(s.chance, fmt.Sprintf("W%02d", 10+3*i), s.plan.ageing))
	}
}

// change lets firmware rescale a type between two visits.
func (s *site) change(m *made) {
	k := s.count(1, len(s.visits)-1)
	m.changed = s.visits[k].day.AddDate(0, 0, -s.count(8, 20)).Truncate(time.Hour)
	factor := []float64{1.25, 2, 2.5}[s.IntN(3)]
	m.after = m.scale.rescaled(factor, []float64{0, 10}[s.IntN(2)])
	if s.plan.changed == changedAndTold {
		m.told = &m.after
		s.book.Write(levels.Line{At: m.changed, By: "Office", Body: m.sheet(&m.after)})
	}
}
