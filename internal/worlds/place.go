package worlds

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"time"
)

// site is what the recount keeps of a site, up to an instant.
type site struct {
	zone   *time.Location
	at     time.Time
	facts  []fact // up to the instant, in order
	rules  []rule
	months int // of a visit, as the site says
	sheets map[string]sheet
	points map[string]*point
	order  []string // ids of points as they first appear
	visits []visit
	ends   []time.Time // of attendances whose beginning nobody wrote down: no test and no alarm belongs to them
	tests  []pointTest // of all points, in order
	errs   []string
}

// sheet is what the recount needs of a type sheet.
type sheet struct {
	Name   string  `json:"name"`
	Device string  `json:"device"`
	Life   float64 `json:"life_years"`
}

// point is one point with its tests since it was last removed.
type point struct {
	id, kind        string // device kind; "" where nobody described the type
	typ, area, zone string
	in              bool
	fitted, unit    time.Time // the fitting, and the fitting of the present unit
	tests           []test
	removed         int // how often
	passed          time.Time
}

// test is one test of a point.
type test struct {
	at     time.Time
	failed bool
	id     string
}

// visit is one attendance; open says that nobody closed it.
type visit struct {
	from, to time.Time
	open     bool
	round    []string
}

// detectors are the kinds that are automatic detectors.
var detectors = []string{"smoke", "heat", "multi", "gas", "flame"}

// detector says whether the point counts as an automatic detector; a type nobody described does.
func (p *point) detector() bool { return p.kind == "" || slices.Contains(detectors, p.kind) }

// underTest says whether the point is one of those that the share is of.
func (p *point) underTest() bool { return p.detector() || p.kind == "call point" }

// last is the last test, if any.
func (p *point) last() (test, bool) {
	if len(p.tests) == 0 {
		return test{}, false
	}
	return p.tests[len(p.tests)-1], true
}

// day is an instant's day on the site's clock, as midnight UTC of that date.
func (s *site) day(t time.Time) time.Time {
	y, m, d := t.In(s.zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// monthsOn is the day n months after d, cut to the end of the month.
func monthsOn(d time.Time, n int) time.Time {
	first := time.Date(d.Year(), d.Month()+time.Month(n), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	return first.AddDate(0, 0, min(d.Day(), last)-1)
}

// unknown says that an instant stands for "nobody knows".
func unknown(t time.Time) bool { return t.Unix() <= 0 }

// settle reads what the site, its types and its visits are.
func (s *site) settle() {
	for _, f := range s.facts {
		switch f.kind {
		case "opened":
			var b struct {
				Zone  string `json:"zone"`
				Rules struct {
					Months int `json:"visit_months"`
				} `json:"rules"`
			}
			s.body(f, &b)
			if z, err := time.LoadLocation(b.Zone); err == nil && b.Zone != "" {
				s.zone = z
			}
			if b.Rules.Months > 0 {
				s.months = b.Rules.Months
			}
		case "service":
			var b struct {
				Rules []rule `json:"rules"`
			}
			s.body(f, &b)
			s.rules = b.Rules
		case "sheet":
			var b sheet
			s.body(f, &b)
			s.sheets[strings.ToLower(b.Name)] = b
		case "visit":
			s.attend(f)
		}
	}
	s.endVisits()
}

// attend notes the beginning or the end of a visit, or an end alone: somebody was there to end it.
func (s *site) attend(f fact) {
	var b struct {
		State string   `json:"state"`
		Round []string `json:"round"`
	}
	s.body(f, &b)
	last := len(s.visits) - 1
	switch {
	case b.State == "opened":
		s.visits = append(s.visits, visit{from: f.at, open: true, round: b.Round})
	case b.State == "closed" && last >= 0 && s.visits[last].open:
		s.visits[last].to, s.visits[last].open = f.at, false
	case b.State == "closed":
		s.ends = append(s.ends, f.at)
	}
}

// endVisits gives visits that nobody closed their end: 24 hours after the last sign at a point of the round, not beyond
// the next visit, nor beyond the instant.
func (s *site) endVisits() {
	for i := range s.visits {
		v := &s.visits[i]
		if !v.open {
			continue
		}
		v.to = v.from.Add(24 * time.Hour)
		for _, f := range s.facts {
			if !f.day && f.at.After(v.from) && !f.at.After(v.to) && slices.Contains(v.round, f.point) {
				v.to = f.at.Add(24 * time.Hour)
			}
		}
		v.to = earlier(v.to, s.at)
		if i+1 < len(s.visits) {
			v.to = earlier(v.to, s.visits[i+1].from)
		}
	}
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

// body reads what an entry says; one that cannot be read is named and counts for nothing.
func (s *site) body(f fact, into any) {
	if err := json.Unmarshal(f.body, into); err != nil {
		s.errs = append(s.errs, f.id+": "+err.Error())
	}
}

// place folds where the points are and of what type, up to the instant.
func (s *site) place(f fact) {
	if f.point == "" {
		return
	}
	var b struct {
		Type, Area, Zone string
	}
	switch f.kind {
	case "fitted":
		s.body(f, &b)
		p := s.point(f.point)
		p.in, p.fitted, p.unit, p.area, p.zone = true, f.at, f.at, b.Area, b.Zone
		if b.Type != "" {
			p.typ = b.Type
		}
	case "moved":
		s.body(f, &b)
		p := s.point(f.point)
		p.area, p.zone = b.Area, b.Zone
	case "replaced":
		s.body(f, &b)
		p := s.point(f.point)
		p.unit = f.at
		if b.Type != "" {
			p.typ = b.Type
		}
	case "removed":
		p := s.point(f.point)
		p.in, p.tests, p.passed = false, nil, time.Time{}
		p.removed++
	}
	if p := s.points[f.point]; p != nil {
		p.kind = s.sheets[strings.ToLower(p.typ)].Device
	}
}

// point finds a point, or begins it.
func (s *site) point(id string) *point {
	if s.points[id] == nil {
		s.points[id] = &point{id: id}
		s.order = append(s.order, id)
	}
	return s.points[id]
}

// lifeMonths is the service life of a point's type, in whole months; 0 where nobody said.
func (s *site) lifeMonths(p *point) int {
	return int(math.Round(12 * s.sheets[strings.ToLower(p.typ)].Life))
}
