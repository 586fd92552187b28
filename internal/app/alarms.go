package app

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"time"

	"sootline"
	"sootline/internal/judge"
	"sootline/internal/nuisance"
)

// AlarmReport is what the false alarms of a site come to; the others are parts
// of it.
type (
	AlarmReport = nuisance.Report
	AlarmRate   = nuisance.Rate
	AlarmRepeat = nuisance.Repeat
	AlarmEffect = nuisance.Effect
)

// AlarmCaution is to be shown wherever a report of alarms is.
const AlarmCaution = nuisance.Caution

// AlarmCodes lists the codes and editions whose limits are known.
func AlarmCodes() []nuisance.Code { return nuisance.Codes() }

// Alarms reports on the false alarms of a site as of an instant, against the
// limits of a code; an empty code means the first of AlarmCodes.
func (a *App) Alarms(ctx context.Context, site sootline.ID, on time.Time, code string) (*AlarmReport, error) {
	limits, err := nuisance.FindCode(code)
	if err != nil {
		return nil, err
	}
	entries, err := a.Book.Entries(ctx, site)
	if err != nil {
		return nil, err
	}
	r := sootline.Fold(entries, on)
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		return nil, err
	}
	record := nuisance.Read(r, on, zone)
	return nuisance.Study(record, nuisance.Options{Code: limits, Standings: standings(entries, record.Alarming())}), nil
}

// standings judges, for each alarm, the point that gave it, from what the book
// said of it at that instant.
func standings(entries []sootline.Entry, alarms []nuisance.Alarm) map[sootline.ID]nuisance.Standing {
	wanted := map[sootline.ID]bool{}
	for _, alarm := range alarms {
		wanted[alarm.Point.ID] = true
	}
	about := map[sootline.ID][]sootline.Entry{} // by point; the zero point has what is about none
	for _, e := range entries {
		if e.Point.Zero() || wanted[e.Point] { // amendments are about no point of their own
			about[e.Point] = append(about[e.Point], e)
		}
	}
	all := map[sootline.ID]nuisance.Standing{}
	for _, alarm := range alarms {
		said := slices.Concat(about[sootline.ID{}], about[alarm.Point.ID])
		then := sootline.Fold(said, alarm.At)
		if p := then.Point(alarm.Point.ID); p != nil {
			all[alarm.Entry.ID] = standing(judge.Point(then, p, alarm.At))
		}
	}
	return all
}

func standing(j judge.Judgement) nuisance.Standing {
	s := nuisance.Standing{Verdict: string(j.Verdict)}
	if j.ReadAt.IsZero() {
		return s
	}
	s.Words = strconv.FormatFloat(j.Value, 'f', -1, 64)
	if j.Band.Complete() {
		s.Words += fmt.Sprintf(" in %v..%v", *j.Band.Low, *j.Band.High)
	}
	s.Words += ", read on " + j.ReadAt.Format(time.DateOnly)
	return s
}
