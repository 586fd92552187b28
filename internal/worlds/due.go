package worlds

import (
	"fmt"
	"slices"
	"time"
)

// rule is one rule of service, as docs/formats/rules.md has it.
type rule struct {
	Name     string   `json:"name"`
	Form     string   `json:"form"`
	Devices  []string `json:"devices"`
	Days     int      `json:"days"`
	Months   int      `json:"months"`
	ToMonths int      `json:"to_months"`
	Visits   int      `json:"visits"`
	PerLoop  int      `json:"per_loop"`
}

// plain is what holds where nobody chose rules.
func plain(months int) []rule {
	return []rule{
		{Name: "visit", Form: "visit", Months: months},
		{Name: "every point yearly", Form: "every", Months: 12, Visits: 2},
		{Name: "one of each zone", Form: "zone"},
		{Name: "service life", Form: "life"},
	}
}

// due finds the next last day of what is owed by whoever services the site, and the user's own.
func (s *site) due(fig *Figures) {
	rules := s.rules
	if len(rules) == 0 {
		rules = plain(s.months)
	}
	hasVisit := slices.ContainsFunc(rules, func(r rule) bool { return r.Form == "visit" })
	for _, r := range rules {
		switch r.Form {
		case "visit":
			if from, ok := s.lastVisit(); ok {
				fig.owe(monthsOn(from, max(r.Months, r.ToMonths)), r.Name)
			}
		case "every":
			s.every(r, fig)
			if r.Visits > 0 && !hasVisit || r.PerLoop > 0 {
				fig.Left = append(fig.Left, r.Name)
			}
		case "life":
			s.life(r, fig)
		case "rotation":
			s.rotation(r, fig)
		case "zone":
			if !hasVisit {
				fig.Left = append(fig.Left, r.Name)
			}
		default:
			fig.Left = append(fig.Left, r.Name)
		}
	}
	for _, id := range s.order {
		p := s.points[id]
		if t, ok := p.last(); ok && p.in && t.failed {
			fig.owe(s.day(t.at), "failed test of "+id)
		}
	}
}

// owe takes one last day into the minimum.
func (fig *Figures) owe(last time.Time, what string) {
	d := last.Format(time.DateOnly)
	if fig.NextDue == "" || d < fig.NextDue {
		fig.NextDue, fig.NextDueOf = d, what
	}
}

// lastVisit is the day from which the term of the next visit runs.
func (s *site) lastVisit() (time.Time, bool) {
	var at time.Time
	for _, v := range s.visits {
		if !v.open && v.to.After(at) {
			at = v.to
		}
	}
	for _, end := range s.ends {
		if end.After(at) && !unknown(end) {
			at = end
		}
	}
	if !at.IsZero() {
		return s.day(at), true
	}
	seen := map[time.Time]map[string]bool{}
	for _, f := range s.facts {
		// Points are those in place at the instant: what was seen at one that is not, is of no point.
		if p := s.points[f.point]; (f.kind == "tested" || f.kind == "read") && p != nil && p.in && !unknown(f.at) {
			d := s.day(f.at)
			if seen[d] == nil {
				seen[d] = map[string]bool{}
			}
			seen[d][f.point] = true
			if len(seen[d]) >= 2 && d.After(at) {
				at = d
			}
		}
	}
	return at, !at.IsZero()
}

// covers says whether a rule is about a point.
func (r rule) covers(p *point) bool {
	if len(r.Devices) == 0 {
		return p.underTest()
	}
	kind := p.kind
	if kind == "" {
		kind = "smoke"
	}
	return slices.Contains(r.Devices, kind)
}

// every adds the term of each point that a rule is about.
func (s *site) every(r rule, fig *Figures) {
	for _, id := range s.order {
		p := s.points[id]
		if !p.in || !r.covers(p) {
			continue
		}
		from := p.passed
		if from.IsZero() {
			from = p.fitted
		}
		if !unknown(from) {
			fig.owe(monthsOn(s.day(from), r.Months), r.Name+": "+id)
		}
	}
}

// life adds the end of the service life of each unit.
func (s *site) life(r rule, fig *Figures) {
	for _, id := range s.order {
		p := s.points[id]
		if n := s.lifeMonths(p); p.in && n > 0 && !unknown(p.unit) {
			fig.owe(monthsOn(s.day(p.unit), n), r.Name+": "+id)
		}
	}
}

// rotation finds the user's next test.
func (s *site) rotation(r rule, fig *Figures) {
	if len(r.Devices) == 0 {
		r.Devices = []string{"call point"}
	}
	var last time.Time
	for _, id := range s.order {
		if p := s.points[id]; p.in && r.covers(p) && p.passed.After(last) {
			last = p.passed
		}
	}
	if last.IsZero() {
		return
	}
	end := s.day(last).AddDate(0, 0, r.Days)
	if r.Months > 0 {
		end = monthsOn(s.day(last), r.Months)
	}
	if d := end.Format(time.DateOnly); fig.UserNext == "" || d < fig.UserNext {
		fig.UserNext = d
	}
}

// String says the figure for a reader of a failing test.
func (c Count) String() string {
	return fmt.Sprintf("%d alarms in %d incidents", c.Alarms, c.Incidents)
}
