package check

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sootline"
)

// mostSaid is how many entries a finding tells of in words.
const mostSaid = 5

// Ahead finds the entries that hold and are dated later than an instant that has
// not come: a clock was wrong, or a year mistyped. They count for nothing until
// then, which may be a device out of use that nobody sees. One finding a station.
func Ahead(r *sootline.Register, log *sootline.Log, after time.Time) []sootline.Finding {
	byStation := map[string][]*sootline.Entry{}
	var stations []string
	var findings []sootline.Finding
	for _, e := range log.HoldingSince(after) {
		if !e.At.After(after) {
			continue
		}
		if target := sootline.Amends(e.Body); !target.Zero() {
			if log.Amendment(target) == e {
				findings = append(findings, amendedAhead(e))
			}
			continue
		}
		if byStation[e.Station] == nil {
			stations = append(stations, e.Station)
		}
		byStation[e.Station] = append(byStation[e.Station], e)
	}
	slices.Sort(stations)
	for _, station := range stations {
		findings = append(findings, ahead(r, station, byStation[station]))
	}
	return findings
}

// amendedAhead tells of an amendment that was noted by a clock that was ahead. It
// holds, as any does; but before one that knew nothing of it, it wins by that clock.
func amendedAhead(e *sootline.Entry) sootline.Finding {
	return sootline.Finding{
		Code: TimeAhead, Weight: sootline.Warning, Entries: []sootline.ID{e.ID},
		Reason: fmt.Sprintf("station %s noted an amendment on %s, which has not come yet: it holds, also against one that somebody else made meanwhile: %s", e.Station, day(e.At), sootline.Say(e.Body)),
		WayOut: sootline.Out("look whether it is so; take it back if it is not").Do(sootline.WithdrawEntry, e.ID.String()),
	}
}

func ahead(r *sootline.Register, station string, entries []*sootline.Entry) sootline.Finding {
	// What readings and tests say of a day can be done again; what else there is comes first.
	slices.SortStableFunc(entries, func(a, b *sootline.Entry) int { return repeatable(a) - repeatable(b) })
	found := sootline.Finding{
		Code: TimeAhead, Weight: sootline.Serious,
		WayOut: sootline.Out("correct their time, if the clock there was wrong").Do(sootline.CorrectEntry, entries[0].ID.String()),
	}
	var said []string
	for _, e := range entries {
		found.Entries = append(found.Entries, e.ID)
		p := r.Point(e.Point)
		if p != nil && !slices.Contains(found.Points, p) {
			found.Points = append(found.Points, p)
		}
		if len(said) < mostSaid {
			said = append(said, aheadSaid(p, e))
		}
	}
	more := ""
	if n := len(entries) - len(said); n > 0 {
		more = fmt.Sprintf("; and %d more", n)
	}
	found.Reason = fmt.Sprintf("station %s wrote what has not come yet, so that it counts for nothing: %s%s", station, strings.Join(said, "; "), more)
	return found
}

func aheadSaid(p *sootline.Point, e *sootline.Entry) string {
	said := day(e.At) + ", " + sootline.Say(e.Body)
	if p != nil && p.Placed {
		said = day(e.At) + ", " + p.Ref().String() + " " + sootline.Say(e.Body)
	}
	return said
}

func repeatable(e *sootline.Entry) int {
	switch e.Body.(type) {
	case sootline.Read, sootline.Tested:
		return 1
	}
	return 0
}
