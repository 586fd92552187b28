package check

import (
	"fmt"

	"sootline"
)

// insulation finds the cores whose last insulation to earth is less than the rule of the site wants. Where no rule is known
// nothing is said; loops whose insulation nobody measured are no finding either.
func (c checker) insulation() []sootline.Finding {
	var findings []sootline.Finding
	for _, loop := range c.LoopsMeasured() {
		rule := c.InsulationRuleOf(loop)
		if rule == nil {
			continue
		}
		for _, core := range c.ToEarth(loop) {
			if core.MOhms >= rule.MOhms {
				continue
			}
			f := sootline.Finding{Code: InsulationLow, Weight: sootline.Warning, Loop: loop, Entries: []sootline.ID{core.In.Entry}}
			had, than, out := "", "less than the", "find where the core touches earth, and measure again"
			if core.Over { // that says nothing of what the rule wants
				f.Weight, had, than, out = sootline.Hint, "more than ", "the range of the tester, which does not show the", "measure again with a tester whose range reaches that"
			}
			f.Reason = fmt.Sprintf("the %s of loop %s had %s%v Mohm to earth on %s, %s %v of %s (%s)%s",
				core.Core, loop, had, core.MOhms, day(core.In.At.In(c.on.Location())), than, rule.MOhms, rule.Name, rule.Source, rule.TestedBy(core.In.TestVolts))
			f.WayOut = sootline.Out(out).Do(sootline.AddEntry, string(sootline.MeasuredKind))
			findings = append(findings, f)
		}
	}
	return findings
}
