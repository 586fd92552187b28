package check

import (
	"cmp"
	"fmt"
	"time"

	"sootline"
)

// changedApart finds the facts that were changed in two places, neither hand knowing of the
// other. One of the values holds, and nobody decided so. Where all say the same, or the
// point is no more, nothing is to be decided.
func (c checker) changedApart() []sootline.Finding {
	var findings []sootline.Finding
	for _, a := range c.Apart() {
		p := c.Point(a.Point)
		if a.Alike() || !a.Point.Zero() && (p == nil || !p.Placed || p.Removed != nil) {
			continue
		}
		f := sootline.Finding{Code: ChangedApart, Weight: sootline.Warning, Reason: "this was changed in two places: " + a.What}
		if p != nil {
			f.Points, f.Loop = []*sootline.Point{p}, p.LoopID()
			f.Reason = p.Ref().String() + " was changed in two places: " + a.What
		}
		for i, said := range a.Says {
			f.Reason += [...]string{", by ", "; by "}[min(i, 1)] + c.saidApart(said)
			f.Entries = append(f.Entries, said.Entry.ID)
			if last := i+1 == len(a.Says); last {
				f.Reason += ", which holds"
			}
			f.WayOut = f.WayOut.Or("let hold what "+who(said.Entry)+" said: "+sootline.Say(said.Body)).Do(sootline.SettleFact, said.Entry.ID.String())
		}
		findings = append(findings, f)
	}
	return findings
}

func (c checker) saidApart(s sootline.ApartSaid) string {
	return fmt.Sprintf("%s on %s, %s", who(s.Entry), s.Entry.Noted.In(c.on.Location()).Format(time.DateOnly), sootline.Say(s.Body))
}

// who names the writer of an entry, or what it was written on.
func who(e *sootline.Entry) string { return cmp.Or(e.By, sootline.StationOf(e.Station)) }
