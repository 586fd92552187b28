package circuit

// taken holds what every single fault takes against the rules of the site.
func (c *Circuit) taken(v *Verdict, rules []Rule) {
	if len(rules) == 0 {
		return
	}
	for _, b := range c.Breaches(rules) {
		if b.Unsure {
			v.bound(Bound{Limit: Takes, Point: -1, Fault: b.Faults, Past: b.By})
			continue
		}
		v.fail(Failure{Limit: Takes, Point: -1, Rule: &b.Rule, By: b.By, Is: b.Is, Needs: b.Limit, Why: b.Why, At: Situation{Faults: b.Faults, Volts: c.loop.Out.Volts, Alarm: []int{}}})
	}
}
