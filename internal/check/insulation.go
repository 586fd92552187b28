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
			findings = append(findings, sootline.Finding{
				Code: InsulationLow, Weight: sootline.Warning, Loop: loop, Entries: []sootline.ID{core.In.Entry},
				Reason: fmt.Sprintf("the %s of loop %s had %v Mohm to earth on %s, less than the %v of %s (%s)%s",
					core.Core, loop, core.MOhms, day(core.In.At.In(c.on.Location())), rule.MOhms, rule.Name, rule.Source, rule.TestedBy(core.In.TestVolts)),
				WayOut: sootline.Out("find where the core touches earth, and measure again").Do(sootline.AddEntry, string(sootline.MeasuredKind)),
			})
		}
	}
	return findings
}
