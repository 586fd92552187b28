package visit_test

import (
	"fmt"
	"slices"

	"sootline"
	"sootline/internal/visit"
)

// judge holds the five years against the rules.
func (r *rota) judge(sum *rotaSum) {
	breaches := 0
	var b bound
	for i := range r.rules {
		rule := &r.rules[i]
		switch rule.Form {
		case sootline.EveryForm:
			for p := range r.ids {
				if r.concerns(rule, p) {
					breaches += r.judgeTerm(p, visit.Test, r.allTests(p), rule.Months, rule)
				}
			}
			r.judgeShare(rule, &breaches)
			r.judgeLoops(rule, &breaches)
			b.every(r, rule)
		case sootline.ZoneForm:
			r.judgeZones(&breaches)
			b.zoned = true
		case sootline.SensitivityForm:
			for p := range r.ids {
				if r.concerns(rule, p) {
					breaches += r.judgeReads(p, rule)
				}
			}
		case sootline.LifeForm:
			for p := range r.ids {
				if r.aged[p] {
					breaches += r.judgeTerm(p, visit.Replace, r.renewed[p], 36, rule)
				}
			}
		case sootline.RetestForm:
			for _, c := range r.changes {
				breaches += r.judgeChange(c, rule)
			}
		case sootline.VisitForm:
			for k := 1; k < len(r.days); k++ {
				if r.days[k] > clamp(r.days[k-1], max(rule.Months, rule.To)) {
					r.t.Fatal("the rota itself breaks its rule")
				}
			}
		}
	}
	r.tally(sum, breaches, b.least(r))
}

func (r *rota) tally(sum *rotaSum, breaches, least int) {
	sum.visits += len(r.days)
	if r.minutes < 1000 {
		sum.scarce++
		sum.breaches += breaches
		return
	}
	sum.ample++
	if breaches > 0 {
		r.t.Errorf("%d breaches on a site with time enough", breaches)
	}
	if r.changing {
		sum.changes += len(r.changes) // their tests come on top of what the bound counts
		return
	}
	sum.forced += r.forced
	sum.least += least
	sum.worst = max(sum.worst, float64(r.forced)/float64(max(1, least)))
	if r.forced < least {
		r.t.Errorf("%d tests, below the lower bound of %d: the bound is wrong", r.forced, least)
	}
}

func (r *rota) concerns(rule *sootline.ServiceRule, p int) bool {
	if len(rule.Devices) > 0 {
		return slices.Contains(rule.Devices, r.kinds[p])
	}
	if rule.Form == sootline.SensitivityForm {
		return r.kinds[p] == sootline.Smoke
	}
	return true // every kind of these sites is a detector or a call point
}

func (r *rota) allTests(p int) []visit.Day {
	return slices.Sorted(slices.Values(slices.Concat(r.tests[p], r.free[p])))
}

// judgeTerm counts the times that a term ran out; each must have been foretold.
func (r *rota) judgeTerm(p int, work string, done []visit.Day, months int, rule *sootline.ServiceRule) int {
	breaches := 0
	last := r.start
	for _, d := range append(slices.Clone(done), r.end) {
		if until := clamp(last, months); d > until {
			breaches++
			r.foretold(p, work, until, rule)
		}
		last = d
	}
	return breaches
}

// foretold fails unless the plan of the last visit up to a day named the work.
func (r *rota) foretold(p int, work string, until visit.Day, rule *sootline.ServiceRule) {
	k := len(r.days) - 1
	for k >= 0 && r.days[k] > until {
		k--
	}
	if k >= 0 && !r.left[k][fmt.Sprint(p, " ", work)] {
		r.t.Errorf("%s: point %d was not done by %s, and the plan of %s did not say so", rule.Name, p, until, r.days[k])
	}
}

// on counts the points that a rule is about and that were tested on a day.
func (r *rota) on(rule *sootline.ServiceRule, at visit.Day) (tested, all int) {
	for p := range r.ids {
		if r.concerns(rule, p) {
			all++
			if slices.Contains(r.tests[p], at) || slices.Contains(r.free[p], at) {
				tested++
			}
		}
	}
	return tested, all
}

// judgeShare: an even share at each visit.
func (r *rota) judgeShare(rule *sootline.ServiceRule, breaches *int) {
	for k, at := range r.days {
		tested, all := r.on(rule, at)
		if share := shareOf(rule, all); tested < share {
			*breaches++
			if len(r.left[k]) == 0 {
				r.t.Errorf("%s on %s: %d of %d, and the plan did not say so", rule.Name, at, tested, share)
			}
		}
	}
}

func shareOf(rule *sootline.ServiceRule, all int) int {
	if rule.Visits < 2 {
		return 0
	}
	return (all + rule.Visits - 1) / rule.Visits
}

func (r *rota) judgeZones(breaches *int) {
	for k, at := range r.days {
		seen := map[string]bool{}
		for p := range r.ids {
			seen[r.zones[p]] = seen[r.zones[p]] || slices.Contains(r.tests[p], at)
		}
		for zone, tested := range seen {
			if !tested {
				*breaches++
				if len(r.left[k]) == 0 {
					r.t.Errorf("zone %s on %s was not tested, and the plan did not say so", zone, at)
				}
			}
		}
	}
}

// judgeLoops: from a year after the start on, so many of each loop in the last
// twelve months on every day.
func (r *rota) judgeLoops(rule *sootline.ServiceRule, breaches *int) {
	if rule.PerLoop == 0 {
		return
	}
	for _, loop := range []string{"1", "2"} {
		var points []int
		for p := range r.ids {
			if r.concerns(rule, p) && r.loops[p] == loop {
				points = append(points, p)
			}
		}
		need := min(rule.PerLoop, len(points))
		for d := clamp(r.start, 12) + 1; d < r.end; d++ {
			fresh := 0
			for _, p := range points {
				if slices.ContainsFunc(r.allTests(p), func(test visit.Day) bool { return test <= d && clamp(test, 12) >= d }) {
					fresh++
				}
			}
			if fresh < need {
				*breaches++
				if r.minutes > 1000 {
					r.t.Errorf("loop %s on %s: %d of %d in twelve months", loop, d, fresh, need)
				}
				break
			}
		}
	}
}

// judgeReads: the first reading within the first term, the second within the
// next, and never longer than the stretched one. A new unit begins anew.
func (r *rota) judgeReads(p int, rule *sootline.ServiceRule) int {
	breaches := 0
	from := r.start
	for _, to := range append(slices.Clone(r.renewed[p]), r.end) {
		last, n := from, 0
		for _, d := range append(slices.Clone(r.reads[p]), to) {
			if d < from || d > to || d == from && n > 0 {
				continue
			}
			term := []int{rule.Months, rule.Then, rule.Stretch}[min(n, 2)]
			if until := clamp(last, term); d > until {
				breaches++
				r.foretold(p, visit.Read, until, rule)
			}
			last, n = d, n+1
		}
		from = to
	}
	return breaches
}

// judgeChange: within the days of the rule all that is affected, and a tenth of
// the others, fifty at most, by integer arithmetic of its own.
func (r *rota) judgeChange(c change, rule *sootline.ServiceRule) int {
	affected, others := 0, 0
	for p := range r.ids {
		if !slices.ContainsFunc(r.allTests(p), func(d visit.Day) bool { return d >= c.on && d <= c.on+visit.Day(rule.Days) }) {
			continue
		}
		if slices.Contains(c.affected, p) {
			affected++
		} else {
			others++
		}
	}
	rest := len(r.ids) - len(c.affected)
	want := rest / 10
	if rest%10 > 0 {
		want++
	}
	if affected < len(c.affected) || others < min(want, 50) {
		if k := slices.Index(r.days, c.on); len(r.left[k]) == 0 {
			r.t.Errorf("change of %s: %d affected and %d others tested, and the plan did not say so", c.on, affected, others)
		}
		return 1
	}
	return 0
}
