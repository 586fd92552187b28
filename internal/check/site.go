package check

import (
	"cmp"
	"fmt"
	"time"

	"sootline"
)

// zoneUnknown tells that the site is read in UTC, because the zone that its log
// gives is not known.
func (c checker) zoneUnknown() []sootline.Finding {
	doubt := c.Site.ZoneDoubt()
	if doubt == "" {
		return nil
	}
	return []sootline.Finding{{
		Code: ZoneUnknown, Weight: sootline.Serious, Reason: doubt, Entries: []sootline.ID{c.Site.ZoneSaid()},
		WayOut: sootline.Out("correct the entry that gave it").Do(sootline.CorrectEntry, c.Site.ZoneSaid().String()),
	}}
}

// disputed finds the entries that two stations corrected otherwise: one of the two
// holds, and who wrote the other must not find that out by chance.
func (c checker) disputed() []sootline.Finding {
	var findings []sootline.Finding
	for _, d := range c.Disputes() {
		f := sootline.Finding{
			Code: Disputed, Weight: sootline.Warning, Entries: []sootline.ID{d.Entry.ID, d.Says[0].ID, d.Says[1].ID},
			Reason: fmt.Sprintf("two corrected the %s of %s otherwise: %s; %s, which holds", d.Entry.Body.Kind(), day(d.Entry.At.In(c.on.Location())), c.corrects(d.Says[0]), c.corrects(d.Says[1])),
			WayOut: sootline.Out("find out which is so, and correct the entry once more").Do(sootline.CorrectEntry, d.Entry.ID.String()),
		}
		if p := c.Point(d.Entry.Point); p != nil && p.Placed {
			f.Points, f.Loop = []*sootline.Point{p}, p.LoopID()
		}
		findings = append(findings, f)
	}
	return findings
}

func (c checker) corrects(e *sootline.Entry) string {
	said, _ := e.Body.(sootline.Corrected)
	return fmt.Sprintf("%s on %s to %s", cmp.Or(e.By, e.Station), e.Noted.In(c.on.Location()).Format(time.DateOnly), sootline.Say(said.Body))
}
