package visit

import (
	"fmt"
	"slices"

	"sootline"
)

// askRetest: after a change of configuration all points known to be affected,
// and a share of the others; after a unit was replaced, that point.
func (d *diary) askRetest(rule *sootline.ServiceRule) []Obligation {
	var all []Obligation
	for i := range d.r.Events {
		event := &d.r.Events[i]
		if changed, ok := event.Entry.Body.(sootline.Changed); ok && event.Kind == sootline.ChangedKind {
			all = append(all, d.retest(rule, event, changed)...)
		}
	}
	for _, p := range d.about(rule) {
		if p.Placed && p.UnitSince.After(p.Since) {
			o := d.after(rule, p, d.fitted(p))
			o.Why = "its unit was replaced on " + o.Since.String()
			all = append(all, o)
		}
	}
	return all
}

// after asks for a test of a point after something that happened.
func (d *diary) after(rule *sootline.ServiceRule, p *sootline.Point, what proof) Obligation {
	o := Obligation{
		Rule: *rule, Work: Test, Points: []*sootline.Point{p}, Need: 1,
		Since: what.day, Until: what.day + Day(rule.Days), Entries: entries(what),
	}
	if last, tested := d.lastTest(p); tested && !last.at.Before(what.at) {
		o.State, o.Need, o.Entries = Met, 0, entries(what, last)
		return o
	}
	o.State = d.state(o.Until)
	return o
}

func (d *diary) retest(rule *sootline.ServiceRule, event *sootline.Event, changed sootline.Changed) []Obligation {
	what := proof{d.day(event.At), event.At, event.Entry.ID}
	var all []Obligation
	var waiting []*sootline.Point // of the others, those not tested since
	others := 0
	for _, p := range d.about(rule) {
		o := d.after(rule, p, what)
		switch {
		case slices.Contains(changed.Points, p.ID):
			o.Why = fmt.Sprintf("affected by the change of %s: %s", what.day, changed.Text)
			all = append(all, o)
		case p.Since.After(event.At): // it was not there
		default:
			if others++; o.State != Met {
				waiting = append(waiting, p)
			}
		}
	}
	share := (others*rule.Percent + 99) / 100
	if rule.Most > 0 {
		share = min(share, rule.Most)
	}
	if share == 0 {
		return all
	}
	done := others - len(waiting)
	o := d.several(rule, fmt.Sprintf("%d of %d others", share, others), waiting)
	o.Need, o.Since, o.Until, o.Entries = max(0, share-done), what.day, what.day+Day(rule.Days), entries(what)
	o.Why = fmt.Sprintf("%d %% of the points that the change of %s does not affect, at most %d; %d tested since", rule.Percent, what.day, rule.Most, done)
	o.State = Met
	if o.Need > 0 {
		o.State = d.state(o.Until)
	}
	return append(all, o)
}
