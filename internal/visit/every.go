package visit

import (
	"cmp"
	"fmt"
	"slices"

	"sootline"
)

// askEvery: every point is tested within the term.
func (d *diary) askEvery(rule *sootline.ServiceRule) []Obligation {
	var all []Obligation
	for _, p := range d.about(rule) {
		last, tested := d.lastTest(p)
		o := Obligation{
			Rule: *rule, Work: Test, Points: []*sootline.Point{p}, Need: 1,
			Since: last.day, Until: last.day.AddMonths(rule.Months), Entries: entries(last),
		}
		switch {
		case tested:
			o.Why = fmt.Sprintf("last tested on %s; the term is %d months", last.day, rule.Months)
		case last.day.Known():
			o.Why = fmt.Sprintf("never tested since it was fitted on %s; the term is %d months", last.day, rule.Months)
		default:
			o.Why = "no test is written down, nor the day it was fitted"
		}
		o.State = d.state(o.Until)
		all = append(all, o)
	}
	return all
}

// askShare: where a term's work is spread over its visits, an even share of the
// points at each, those tested longest ago first.
func (d *diary) askShare(rule *sootline.ServiceRule) []Obligation {
	points := d.about(rule)
	if rule.Visits < 2 || len(points) == 0 {
		return nil
	}
	share := (len(points) + rule.Visits - 1) / rule.Visits
	var waiting []*sootline.Point
	for _, p := range points {
		if !d.testedNow(p) {
			waiting = append(waiting, p)
		}
	}
	done := len(points) - len(waiting)
	o := d.several(rule, "the share of the visit", waiting)
	o.share, o.Need, o.Since, o.Until, o.Entries = true, max(0, share-done), d.attended.day, d.visitBy, entries(d.attended)
	o.Why = fmt.Sprintf("a term's work is spread over %d visits: %d of %d points at this one, %d done", rule.Visits, share, len(points), min(done, share))
	o.State = d.atVisit(o.Need)
	return []Obligation{o}
}

// askLoops: so many of each loop in any twelve months, different ones.
func (d *diary) askLoops(rule *sootline.ServiceRule) []Obligation {
	if rule.PerLoop == 0 {
		return nil
	}
	var all []Obligation
	for _, loop := range d.r.Loops() {
		var points []*sootline.Point
		for _, p := range d.about(rule) {
			if p.LoopID() == loop.LoopID {
				points = append(points, p)
			}
		}
		if len(points) > 0 {
			all = append(all, d.askLoop(rule, loop.LoopID, points))
		}
	}
	return all
}

func (d *diary) askLoop(rule *sootline.ServiceRule, loop sootline.LoopID, points []*sootline.Point) Obligation {
	need := min(rule.PerLoop, len(points))
	var latest []proof          // of each point, the latest first; being fitted is no test here
	var stale []*sootline.Point // those that will not count any more at the visit after this one
	for _, p := range points {
		last, tested := d.lastTest(p)
		tested = tested && p.FailedTest() == nil
		if tested {
			latest = append(latest, last)
		}
		if !tested || last.day.AddMonths(12) < d.next {
			stale = append(stale, p)
		}
	}
	slices.SortFunc(latest, func(a, b proof) int { return cmp.Compare(b.day, a.day) })
	o := d.several(rule, "loop "+loop.String(), stale)
	o.Why = fmt.Sprintf("%s of loop %s in any twelve months, different ones", plural(need, "point", "points"), loop)
	if len(latest) >= need {
		// The count falls below what is asked when the need-th latest test is a year old.
		o.Since, o.Entries = latest[need-1].day, entries(latest[:need]...)
	} else if fitted := d.loopFitted(points); fitted.day.Known() {
		o.Since, o.Entries = fitted.day, entries(fitted)
	}
	o.Until = o.Since.AddMonths(12)
	o.State = d.state(o.Until)
	if fresh := len(points) - len(stale); o.State != Met {
		o.Need = max(0, need-fresh)
	}
	return o
}

// loopFitted gives the first day on which one of the points is known to be there.
func (d *diary) loopFitted(points []*sootline.Point) proof {
	var first proof
	for _, p := range points {
		if fitted := d.fitted(p); fitted.day.Known() && (!first.day.Known() || fitted.day < first.day) {
			first = fitted
		}
	}
	return first
}

// askZones: one point of each zone at each visit.
func (d *diary) askZones(rule *sootline.ServiceRule) []Obligation {
	zones := map[string][]*sootline.Point{}
	var names []string
	for _, p := range d.about(rule) {
		if p.Zone == "" {
			continue
		}
		if zones[p.Zone] == nil {
			names = append(names, p.Zone)
		}
		zones[p.Zone] = append(zones[p.Zone], p)
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) })
	var all []Obligation
	for _, name := range names {
		o := d.several(rule, "zone "+name, zones[name])
		o.Need, o.Since, o.Until, o.Entries = 1, d.attended.day, d.visitBy, entries(d.attended)
		o.Why = "one point of the zone at each visit"
		if slices.ContainsFunc(o.Points, d.testedNow) {
			o.Need, o.Why = 0, "one point of the zone was tested at this visit"
		}
		o.State = d.atVisit(o.Need)
		all = append(all, o)
	}
	return all
}

// askRotation: one point a term, each time the one that was tested longest ago.
func (d *diary) askRotation(rule *sootline.ServiceRule) []Obligation {
	points := d.about(rule)
	if len(points) == 0 {
		return nil
	}
	var latest proof
	for _, p := range points {
		if tests := d.tests[p]; len(tests) > 0 && tests[len(tests)-1].day >= latest.day {
			latest = tests[len(tests)-1]
		}
	}
	o := d.several(rule, fmt.Sprintf("the next of %s in turn", plural(len(points), "point", "points")), points)
	o.Work, o.Points, o.Need, o.Since, o.Entries = Press, o.Points[:1], 1, latest.day, entries(latest)
	if !latest.day.Known() {
		o.State, o.Why = Due, "no test of any is written down"
		return []Obligation{o}
	}
	o.Until = latest.day.AddMonths(rule.Months) + Day(rule.Days)
	o.Why = fmt.Sprintf("one a term, in turn; the last was tested on %s", latest.day)
	switch {
	case o.Until < d.in.On:
		o.State = Overdue
	case o.Until <= d.in.On+1: // today or tomorrow
		o.State = Due
	default:
		o.State = Met
	}
	return []Obligation{o}
}
