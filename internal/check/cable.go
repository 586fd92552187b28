package check

import (
	"fmt"

	"sootline"
)

// cableWrong finds the points whose cable cannot be: of no length, or on a spur from a point that is not there, or that is
// itself on a spur. A loop with one of them cannot be calculated.
func (c checker) cableWrong() []sootline.Finding {
	type wrong struct {
		loop sootline.LoopID
		why  string
	}
	groups := grouped(c, func(p *sootline.Point) (wrong, bool) {
		why := c.wrongCable(p)
		return wrong{p.LoopID(), why}, why != ""
	})
	var findings []sootline.Finding
	for _, g := range groups {
		findings = append(findings, sootline.Finding{
			Code: CableWrong, Weight: sootline.Serious, Points: g.points, Loop: g.key.loop,
			Reason: fmt.Sprintf("%s on loop %s %s, so the loop cannot be calculated: %s", count(len(g.points), "point"), g.key.loop, g.key.why, refs(g.points)),
			WayOut: sootline.Out("correct the entry that placed it, or take in the schedule put right").Do(sootline.TakeListings),
		})
	}
	return findings
}

// wrongCable says why the cable of a point cannot be; empty where it can.
func (c checker) wrongCable(p *sootline.Point) string {
	if p.Metres != nil && *p.Metres <= 0 {
		return fmt.Sprintf("with %v m of cable", *p.Metres)
	}
	if p.Place.Spur == 0 {
		return ""
	}
	switch from := c.SpurFrom(p); {
	case from == nil:
		return fmt.Sprintf("on a spur from number %d, where no point is", p.Place.Spur)
	case from.Place.Spur != 0:
		return fmt.Sprintf("on a spur from number %d, which is on a spur itself", p.Place.Spur)
	}
	return ""
}
