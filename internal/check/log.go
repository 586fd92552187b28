package check

import (
	"fmt"
	"slices"

	"sootline"
)

// neverFitted finds the points that entries speak of although none says that
// they were fitted: a typing error, or a listing that is still to be taken in.
func (c checker) neverFitted() []sootline.Finding {
	strays := c.Strays()
	if len(strays) == 0 {
		return nil
	}
	var entries []*sootline.Entry
	for _, p := range strays {
		entries = append(entries, spokenBy(p)...)
	}
	slices.SortFunc(entries, sootline.Compare)
	reason := fmt.Sprintf("the log speaks of %s that no entry says to be fitted", count(len(strays), "point"))
	var ids []sootline.ID
	for _, e := range entries {
		ids = append(ids, e.ID)
	}
	if n := len(entries); n > 0 {
		reason += fmt.Sprintf(", in %s from %s to %s", count(n, "entry"), day(entries[0].At), day(entries[n-1].At))
	}
	return []sootline.Finding{{
		Code: NeverFitted, Weight: sootline.Warning, Points: strays, Reason: reason, Entries: ids,
		WayOut: sootline.Out("say where they are by taking in the listing of the loop").Do(sootline.TakeListings).Or("or take the entries back").Do(sootline.WithdrawEntry),
	}}
}

// spokenBy lists the entries that a point keeps.
func spokenBy(p *sootline.Point) []*sootline.Entry {
	var entries []*sootline.Entry
	for _, reading := range p.Readings {
		entries = append(entries, reading.Entry)
	}
	for _, reset := range p.Resets {
		entries = append(entries, reset.Entry)
	}
	for _, event := range p.Events {
		if !slices.Contains(entries, event.Entry) { // a cleaning is a reset and an event
			entries = append(entries, event.Entry)
		}
	}
	return entries
}

// spanAssumed finds the loops that have points but whose numbers nobody
// described.
func (c checker) spanAssumed() []sootline.Finding {
	var findings []sootline.Finding
	for _, loop := range c.Loops() {
		if c.Described(loop.LoopID) {
			continue
		}
		findings = append(findings, sootline.Finding{
			Code: SpanAssumed, Weight: sootline.Hint, Loop: loop.LoopID,
			Reason: fmt.Sprintf("nobody said which numbers loop %s allows; %d to %d, with %d for a device nobody has set, are assumed (common practice)",
				loop.LoopID, loop.First, loop.Last, loop.Unset),
			WayOut: sootline.Out("state them").Do(sootline.StateLoop, loop.LoopID.String()),
		})
	}
	return findings
}
