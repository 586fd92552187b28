package visit

import (
	"fmt"
	"slices"
	"time"

	"sootline"
)

// look is one look at a resting value, as far as it proves sensitivity.
type look struct {
	proof
	inRange bool
}

// askSensitivity: the first test within the first term after fitting, then one
// each further term. After two tests in range, at least the first term apart,
// the term is stretched; not while unwanted alarms rise.
func (d *diary) askSensitivity(rule *sootline.ServiceRule) []Obligation {
	var all []Obligation
	for _, p := range d.about(rule) {
		o := Obligation{Rule: *rule, Work: Read, Points: []*sootline.Point{p}, Need: 1}
		d.sensitivity(rule, p, &o)
		o.State = d.state(o.Until)
		all = append(all, o)
	}
	return all
}

func (d *diary) sensitivity(rule *sootline.ServiceRule, p *sootline.Point, o *Obligation) {
	looks, why := d.looks(p)
	fitted := d.fitted(p)
	if len(looks) == 0 {
		o.Since, o.Until, o.Entries = fitted.day, fitted.day.AddMonths(rule.Months), entries(fitted)
		switch {
		case why != "":
			o.Why = why
		case fitted.day.Known():
			o.Why = fmt.Sprintf("first within %d months of being fitted on %s", rule.Months, fitted.day)
		default:
			o.Why = "no reading is written down, nor the day it was fitted"
		}
		return
	}
	last := looks[len(looks)-1]
	o.Since, o.Entries = last.day, entries(last.proof)
	if !last.inRange {
		o.Until, o.Why = last.day, fmt.Sprintf("out of range on %s: clean and test again, or replace", last.day)
		return
	}
	o.Until = last.day.AddMonths(rule.Then)
	o.Why = fmt.Sprintf("every %d months; in range on %s", rule.Then, last.day)
	second := stretches(looks, rule.Months)
	if rule.Stretch == 0 || second == nil {
		return
	}
	if alarm := d.rise(p); alarm != nil {
		o.Until = max(o.Until, d.day(alarm.At))
		o.Why += "; not stretched, since unwanted alarms rise"
		return
	}
	o.Until = last.day.AddMonths(rule.Stretch)
	o.Why = fmt.Sprintf("stretched to %d months: in range on %s, %s and since", rule.Stretch, looks[0].day, second.day)
	o.Entries = entries(looks[0].proof, second.proof, last.proof)
}

// stretches gives the second test that a stretched term rests on: the first that
// comes at least the first term after the first test. All must be in range.
func stretches(looks []look, months int) *look {
	if slices.ContainsFunc(looks, func(l look) bool { return !l.inRange }) {
		return nil
	}
	for i := range looks {
		if looks[i].day >= looks[0].day.AddMonths(months) {
			return &looks[i]
		}
	}
	return nil
}

// looks lists the readings of the unit that is there now that lie in a known
// band or outside it; of those before one outside, nothing is said any more.
func (d *diary) looks(p *sootline.Point) (all []look, why string) {
	sheet := d.r.Sheet(p.Type)
	if sheet == nil || !sheet.Band(p.Settings()).Complete() {
		return nil, "no band is known for its type, so no reading proves its sensitivity: take in its type sheet"
	}
	band := sheet.Band(p.Settings())
	for i := range p.Readings {
		reading := &p.Readings[i]
		if reading.Quantity != "" || reading.At.Before(p.UnitSince) || reading.Entry == nil {
			continue
		}
		value := median(reading.Samples)
		l := look{proof{d.day(reading.At), reading.At, reading.Entry.ID}, value >= *band.Low && value <= *band.High}
		if n := len(all); n > 0 && !all[n-1].inRange {
			all = all[:0] // it was cleaned or set right: its record begins anew
		}
		all = append(all, l)
	}
	return all, ""
}

func median(samples []float64) float64 {
	sorted := slices.Sorted(slices.Values(samples))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// rise gives the alarm by which the unwanted alarms of the point's zone (its
// area, where it has none) in the last twelve months came to exceed those of the
// twelve months before; nil when they do not.
func (d *diary) rise(p *sootline.Point) *Alarm {
	year, before := d.in.On.AddMonths(-12), d.in.On.AddMonths(-24)
	var recent []*Alarm
	earlier := 0
	for i := range d.in.Unwanted {
		alarm := &d.in.Unwanted[i]
		if alarm.Point == nil || !together(alarm.Point, p) {
			continue
		}
		switch day := d.day(alarm.At); {
		case day > year && day <= d.in.On:
			recent = append(recent, alarm)
		case day > before && day <= year:
			earlier++
		}
	}
	if len(recent) <= earlier {
		return nil
	}
	slices.SortFunc(recent, func(a, b *Alarm) int { return a.At.Compare(b.At) })
	return recent[earlier]
}

func together(a, b *sootline.Point) bool {
	if a.Zone != "" || b.Zone != "" {
		return a.Zone == b.Zone
	}
	return a.Area == b.Area
}

// askLife: units replaced at the end of the service life on their type sheet.
func (d *diary) askLife(rule *sootline.ServiceRule) []Obligation {
	var all []Obligation
	var unknown []*sootline.Point
	for _, p := range d.about(rule) {
		sheet := d.r.Sheet(p.Type)
		if sheet == nil || sheet.LifeYears == nil {
			continue
		}
		fitted := d.fitted(p)
		if !fitted.day.Known() {
			unknown = append(unknown, p)
			continue
		}
		o := Obligation{
			Rule: *rule, Work: Replace, Points: []*sootline.Point{p}, Need: 1, Since: fitted.day,
			Until: fitted.day.AddMonths(int(min(*sheet.LifeYears, 1000) * 12)), Entries: entries(fitted),
			Why: fmt.Sprintf("fitted on %s, with a service life of %g years", fitted.day, *sheet.LifeYears),
		}
		o.State = d.state(o.Until)
		all = append(all, o)
	}
	if len(unknown) > 0 {
		all = append(all, Obligation{
			Rule: *rule, Work: Ask, Of: plural(len(unknown), "unit", "units"), Points: unknown, State: Due,
			Why: "their type has a service life, and nobody wrote down when they were fitted",
		})
	}
	return all
}

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
	var others []*sootline.Point
	done := 0
	for _, p := range d.about(rule) {
		o := d.after(rule, p, what)
		if slices.Contains(changed.Points, p.ID) {
			o.Why = fmt.Sprintf("affected by the change of %s: %s", what.day, changed.Text)
			all = append(all, o)
			continue
		}
		if !existed(p, event.At) {
			continue
		}
		others = append(others, p)
		if o.State == Met {
			done++
		}
	}
	share := min((len(others)*rule.Percent+99)/100, rule.Most)
	if rule.Most == 0 {
		share = (len(others)*rule.Percent + 99) / 100
	}
	if share == 0 {
		return all
	}
	o := d.several(rule, fmt.Sprintf("%d of %d others", share, len(others)), others)
	o.Need, o.Since, o.Until, o.Entries = max(0, share-done), what.day, what.day+Day(rule.Days), entries(what)
	o.Why = fmt.Sprintf("%d %% of the points that the change of %s does not affect, at most %d; %d tested since", rule.Percent, what.day, rule.Most, done)
	o.State = Met
	if o.Need > 0 {
		o.State = d.state(o.Until)
	}
	return append(all, o)
}

func existed(p *sootline.Point, at time.Time) bool { return !p.Since.After(at) }
