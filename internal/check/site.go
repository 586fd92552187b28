package check

import "sootline"

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
