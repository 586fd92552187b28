package firm

import (
	"context"
	"time"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/visit"
)

// Head is what lists need of a site.
type Head struct {
	Entries     int          // lines of its log, as the list of sites shows them
	LastVisit   sootline.Day // of the end of the last visit that was closed; 0: none was
	Overdue     int          // obligations whose last day is past
	Due         int          // obligations to be done at a visit on this day, since the one after would be too late
	NextDue     sootline.Day // the earliest last day; 0: nothing has one
	CleanNow    int          // points judged "clean now"
	OpenDefects int          // defects that are open
	Mended      int          // defects mended that wait for their retest
	Disabled    int          // points in place whose disablement still stands
}

// Truth is the head of a site at an instant, by folding its whole log. What is due is
// as of the end of the site's day; all else as of the instant.
func Truth(log []sootline.Entry, now time.Time) Head {
	r := sootline.Fold(log, now)
	zone, err := sootline.ZoneNamed(r.Site.Zone)
	if err != nil {
		zone = time.UTC
	}
	head := Head{Entries: len(log), LastVisit: lastVisit(r, zone)}
	head.OpenDefects, head.Mended = r.CountDefects()
	for _, p := range r.Points() {
		if p.Disabled != nil {
			head.Disabled++
		}
	}
	for _, j := range judge.Site(r, now) {
		if j.Action == judge.CleanNow {
			head.CleanNow++
		}
	}
	head.due(log, now, zone)
	return head
}

// due counts the obligations. No history drawn here holds an alarm, so that none is
// taken for a test and none shortens a term.
func (h *Head) due(log []sootline.Entry, now time.Time, zone *time.Location) {
	local := now.In(zone)
	on := sootline.DayOf(now, zone)
	r := sootline.Fold(log, sootline.DayEnds(local.Year(), local.Month(), local.Day(), zone))
	list := visit.List(r, visit.Input{On: on, Zone: zone})
	for i := range list {
		switch list[i].State {
		case visit.Overdue:
			h.Overdue++
		case visit.Due:
			h.Due++
		}
	}
	h.NextDue = visit.NextDue(list, on).Day
}

func lastVisit(r *sootline.Register, zone *time.Location) sootline.Day {
	var last sootline.Day
	for _, a := range visit.Attendances(r) {
		if a.Closed != nil {
			last = max(last, sootline.DayOf(a.Closed.At, zone))
		}
	}
	return last
}

// Truths folds the whole logs of some sites.
func (f *Firm) Truths(ctx context.Context, sites []sootline.ID) (map[sootline.ID]Head, error) {
	truths := map[sootline.ID]Head{}
	for _, site := range sites {
		log, err := f.Book.Entries(ctx, site)
		if err != nil {
			return nil, err
		}
		truths[site] = Truth(log, f.Now)
	}
	return truths, nil
}
