package visit

import (
	"fmt"
	"slices"

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
