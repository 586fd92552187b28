package firm

import (
	"math/rand/v2"
	"slices"
	"time"

	"sootline"
)

// visit writes an attendance of some hours: part of the points are tested and read.
func (s *scribe) visit(at time.Time) {
	round := slices.Clone(s.points)
	s.rng.Shuffle(len(round), func(i, j int) { round[i], round[j] = round[j], round[i] })
	round = round[:(len(round)+1)*(1+s.rng.IntN(3))/4]
	s.add(at, sootline.ID{}, sootline.Visit{State: sootline.VisitOpened, Round: round})
	for n, point := range round {
		then := at.Add(time.Duration(n+1) * 20 * time.Second)
		s.look(then, point)
	}
	if s.rng.IntN(20) > 0 {
		s.add(at.Add(4*time.Hour), sootline.ID{}, sootline.Visit{State: sootline.VisitClosed, Left: sootline.LeftNormal})
	}
}

// look tests a point, or reads it, or both.
func (s *scribe) look(at time.Time, point sootline.ID) {
	if s.rng.IntN(4) > 0 {
		failed := s.rng.IntN(25) == 0
		id := s.add(at, point, sootline.Tested{Failed: failed})
		if failed {
			s.open = append(s.open, id)
		}
	}
	if s.rng.IntN(3) > 0 {
		s.add(at.Add(5*time.Second), point, s.reading())
	}
}

func (s *scribe) reading() sootline.Read {
	value := 22 + 12*s.rng.Float64()
	if s.rng.IntN(12) == 0 {
		value = 44 + 5*s.rng.Float64()
	}
	return sootline.Read{Samples: []float64{float64(int(value*10)) / 10}}
}

// happen writes one thing that happens at an instant.
func (s *scribe) happen(at time.Time) {
	happenings := []func(time.Time){
		s.defect, s.defect, s.mend, s.mend, s.retest, s.disable, s.disable, s.restore, s.swap, s.rules, s.settings, s.visit,
		s.intake, s.correct, s.withdraw, s.note, s.leave, s.clean,
	}
	happenings[s.rng.IntN(len(happenings))](at)
}

// point draws one; zero where the site has none left.
func (s *scribe) point() sootline.ID {
	if len(s.points) == 0 {
		return sootline.ID{}
	}
	return s.points[s.rng.IntN(len(s.points))]
}

func (s *scribe) defect(at time.Time) {
	natures := []sootline.DefectNature{sootline.Damage, sootline.Obstruction, sootline.WrongDevice, sootline.Reported}
	id := s.add(at, s.point(), sootline.Defect{Nature: natures[s.rng.IntN(len(natures))], Grade: sootline.SeriousDefect, Text: "cover cracked"})
	s.open = append(s.open, id)
}

func (s *scribe) mend(at time.Time) {
	if len(s.open) > 0 {
		s.add(at, sootline.ID{}, sootline.Mended{Defect: s.open[s.rng.IntN(len(s.open))], Text: "new base"})
	}
}

func (s *scribe) retest(at time.Time) {
	if len(s.open) > 0 {
		s.add(at, sootline.ID{}, sootline.Retested{Defect: s.open[s.rng.IntN(len(s.open))], Failed: s.rng.IntN(4) == 0})
	}
}

func (s *scribe) disable(at time.Time) { s.add(at, s.point(), sootline.Disabled{Cause: "works"}) }

func (s *scribe) restore(at time.Time) { s.add(at, s.point(), sootline.Restored{Text: "back"}) }

func (s *scribe) note(at time.Time) { s.add(at, s.point(), sootline.Note{Text: "key at the desk"}) }

func (s *scribe) clean(at time.Time) { s.add(at, s.point(), sootline.Cleaned{}) }

func (s *scribe) swap(at time.Time) {
	s.add(at, s.point(), sootline.Replaced{Type: []string{"", "Larch", "Elder"}[s.rng.IntN(3)], Text: "another unit"})
}

// leave takes a device away for good.
func (s *scribe) leave(at time.Time) {
	if len(s.points) > 2 {
		n := s.rng.IntN(len(s.points))
		s.add(at, s.points[n], sootline.Removed{Text: "wall gone"})
		s.points = slices.Delete(s.points, n, n+1)
	}
}

// rules changes what falls due on the site.
func (s *scribe) rules(at time.Time) {
	months := []int{3, 6, 12}[s.rng.IntN(3)]
	s.add(at, sootline.ID{}, sootline.Service{Rules: []sootline.ServiceRule{
		{Name: "visit", Form: sootline.VisitForm, Known: sootline.KnownOwn, Months: months},
		{Name: "every point", Form: sootline.EveryForm, Known: sootline.KnownOwn, Months: 12, Visits: max(1, 12/months)},
		{Name: "life", Form: sootline.LifeForm, Known: sootline.KnownOwn},
	}})
}

// settings changes the time between visits, or the zone in which days are counted.
func (s *scribe) settings(at time.Time) {
	if s.rng.IntN(2) == 0 {
		s.add(at, sootline.ID{}, sootline.Opened{Zone: zones[s.rng.IntN(3)]})
		return
	}
	s.add(at, sootline.ID{}, sootline.Opened{Rules: sootline.Rules{VisitMonths: 2 + s.rng.IntN(11)}})
}

// intake writes readings of all points at once, as a listing of some day brings them,
// and tells of it where the scribe is the only one in its chain: the act names its place there.
func (s *scribe) intake(at time.Time) {
	day := at.AddDate(0, 0, -s.rng.IntN(60))
	first := len(s.entries) + 1
	for _, point := range s.points {
		s.add(day, point, s.reading())
	}
	if n := len(s.entries) - first + 1; n > 0 && s.alone {
		s.add(at, sootline.ID{}, sootline.Taken{Name: at.Format(time.DateOnly) + "-1", Added: map[sootline.Kind]int{sootline.ReadKind: n}, First: int64(first), Last: int64(first + n - 1)})
	}
}

// amendable lists what may be put right: the entries that are no amendments, nor open the site.
func (s *scribe) amendable() []sootline.Entry {
	return slices.DeleteFunc(slices.Clone(s.entries), func(e sootline.Entry) bool {
		switch e.Body.Kind() {
		case sootline.OpenedKind, sootline.TakenKind, sootline.FittedKind, sootline.AddressedKind:
			return true
		}
		return !sootline.Amends(e.Body).Zero()
	})
}

// seen gives the amendments of an entry that are in sight and that none of them had seen.
func (s *scribe) seen(of sootline.ID) []sootline.ID {
	amendments := slices.DeleteFunc(slices.Clone(s.entries), func(e sootline.Entry) bool { return sootline.Amends(e.Body) != of })
	return sootline.Unsurpassed(amendments, of)
}

// correct says that something happened some days before or after, at another point, or went otherwise.
func (s *scribe) correct(at time.Time) {
	all := s.amendable()
	if len(all) == 0 {
		return
	}
	e := all[s.rng.IntN(len(all))]
	c := sootline.Corrected{Entry: e.ID, Why: "the wrong day", At: morning(e.At.AddDate(0, 0, s.rng.IntN(90)-60)), Point: e.Point, Body: e.Body, Seen: s.seen(e.ID)}
	switch body := e.Body.(type) {
	case sootline.Tested:
		c.Body = sootline.Tested{Failed: !body.Failed}
	case sootline.Read:
		c.Body = s.reading()
	}
	if c.At.After(at) {
		c.At = e.At
	}
	s.add(at, e.Point, c)
}

func (s *scribe) withdraw(at time.Time) {
	all := s.amendable()
	if len(all) > 0 {
		e := all[s.rng.IntN(len(all))]
		s.add(at, e.Point, sootline.Withdrawn{Entry: e.ID, Why: "twice", Seen: s.seen(e.ID)})
	}
}

// later goes on with a log that is there: one to three happenings, some of them long
// past and only now handed in, some a few days ahead by a clock that is wrong.
func later(rng *rand.Rand, site sootline.ID, log []sootline.Entry, now time.Time) []sootline.Entry {
	s := &scribe{rng: rng, site: site, entries: slices.Clone(log), by: "A. Tech", noted: now}
	r := sootline.Fold(log, now)
	for _, p := range r.Points() {
		s.points = append(s.points, p.ID)
	}
	for _, d := range r.Defects() {
		s.open = append(s.open, d.ID)
	}
	for range 1 + rng.IntN(3) {
		at := morning(now)
		switch rng.IntN(5) {
		case 0:
			at = at.AddDate(0, 0, -1-rng.IntN(400))
		case 1:
			at = at.AddDate(0, 0, 1+rng.IntN(5))
		}
		s.happen(at.Add(time.Duration(rng.IntN(3000)) * time.Millisecond))
	}
	return s.entries[len(log):]
}
