package app

import (
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/keep"
)

// What is overdue: a backup that did not come about three times in a row, and a
// drill that did not pass for a week.
const (
	missedTimes  = 3
	drillOverdue = 7 * 24 * time.Hour
)

// PlaceReport tells how backups stand with one place.
type PlaceReport struct {
	Place string
	keep.PlaceState
	Scheduled bool          // by the server that is asked
	Every     time.Duration // of the schedule
	Encrypted bool
	Drillable bool          // the key is here, where one is needed
	Age       time.Duration // since it was last known to hold all that was written; negative: never
	DrillAge  time.Duration // since a drill last passed; negative: never
}

// Late tells whether a backup of the schedule failed, is gone or is overdue.
func (p *PlaceReport) Late() bool {
	return p.Scheduled && (p.Failed != "" || p.Gone != nil) || p.Overdue()
}

// Overdue tells whether no backup of the schedule came about for three times in a row.
func (p *PlaceReport) Overdue() bool {
	return p.Scheduled && (p.Age < 0 || p.Age > missedTimes*p.Every)
}

// DrillLate tells whether the last drill failed, or none passed for a week where
// the schedule could have tried one.
func (p *PlaceReport) DrillLate() bool {
	if p.Drill != nil && p.Drill.Failed != "" {
		return true
	}
	return p.Scheduled && p.Drillable && p.Last != nil && (p.DrillAge < 0 || p.DrillAge > drillOverdue)
}

// Backups reports how backups stand at each place: first those of the schedule,
// where there is one, then those at which backups were kept by hand.
func (a *App) Backups(keeping *Keeping) ([]PlaceReport, error) {
	if err := a.needs(sootline.Manager); err != nil {
		return nil, err
	}
	state, err := a.backupState()
	if err != nil {
		return nil, err
	}
	var all []PlaceReport
	if keeping != nil {
		for _, place := range keeping.Places {
			p := reportOf(place.String(), state, a.Now())
			p.Scheduled, p.Every = true, keeping.Every
			p.Encrypted = p.Encrypted || len(keeping.Keys.To) > 0
			p.Drillable = keeping.drillable(p.PlaceState)
			all = append(all, p)
		}
	}
	var others []PlaceReport
	for place := range state.Places {
		if !slices.ContainsFunc(all, func(p PlaceReport) bool { return p.Place == place }) {
			others = append(others, reportOf(place, state, a.Now()))
		}
	}
	slices.SortFunc(others, func(a, b PlaceReport) int { return strings.Compare(a.Place, b.Place) })
	return append(all, others...), nil
}

func reportOf(place string, state keep.State, now time.Time) PlaceReport {
	p := PlaceReport{Place: place, PlaceState: state.Places[place], Age: -1, DrillAge: -1}
	p.Encrypted = p.Last != nil && p.Last.Encrypted
	if !p.Seen.IsZero() {
		p.Age = max(0, now.Sub(p.Seen))
	}
	if p.Passed != nil {
		p.DrillAge = max(0, now.Sub(p.Passed.At))
	}
	return p
}

// Lying is what lies in a place now.
type Lying struct {
	Copies []keep.Copy // the newest first
	Ahead  *keep.Copy  // one that is dated after now, or nil
	Why    error       // why the place could not be looked at, or nil
}

// Lying looks into a place that [App.Backups] names.
func (a *App) Lying(keeping *Keeping, place string) (l Lying) {
	if l.Why = a.needs(sootline.Manager); l.Why != nil {
		return l
	}
	l.Copies, l.Why = a.liesIn(keeping, place)
	if len(l.Copies) > 0 && l.Copies[0].At.After(a.Now()) {
		l.Ahead = &l.Copies[0]
	}
	return l
}

// WatchBackups keeps what came of backups in memory, for a server that is asked for
// it often; its file is read again when it changes.
func (a *App) WatchBackups() {
	if a.Book.MayCopy() == nil {
		a.Kept = &keep.Watched{Path: BackupsFile(a.Book.Path())}
	}
}

func (a *App) backupState() (keep.State, error) {
	if a.Kept != nil {
		return a.Kept.State()
	}
	if a.Book.MayCopy() != nil { // nothing lies beside it
		return keep.State{}, nil
	}
	return keep.ReadState(BackupsFile(a.Book.Path()))
}
