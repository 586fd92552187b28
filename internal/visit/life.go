package visit

import (
	"fmt"

	"sootline"
)

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
