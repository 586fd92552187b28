package web

import (
	"bytes"
	"fmt"
	"net/http"
	"slices"
	"time"

	"sootline"
	"sootline/internal/app"
)

// backupsPage shows where backups are kept, and how that stands.
type backupsPage struct {
	Frame
	Places    []backupPlace
	Scheduled bool
	Every     string
}

// backupPlace is a place, in words.
type backupPlace struct {
	Place     string
	Scheduled bool
	Encrypted bool
	Drillable bool
	Overdue   bool
	DrillLate bool
	Last      string // when the newest backup began, or empty
	Name      string
	Seen      string // when the place was last known to hold all that was written
	Gone      string // the backup that was kept here and is not here any more, or empty
	GoneOn    string // when that was first missed
	Failed    string
	Tried     string // when that failed
	Lies      string // what lies there now
	Ahead     string // a backup that is dated after now, or empty
	Passed    string // when a drill last passed, or empty
	PassedOf  string
	Drill     string // when the last drill failed, or empty
	DrillWhy  string
}

func (s *Server) showBackups(w http.ResponseWriter, r *http.Request) error {
	reports, err := s.as(r).Backups(s.Keeping)
	if err != nil {
		return err
	}
	page := &backupsPage{Frame: Frame{Title: "Backups"}, Scheduled: s.Keeping != nil}
	if s.Keeping != nil {
		page.Every = spelled(s.Keeping.Every)
	}
	for i := range reports {
		page.Places = append(page.Places, s.placeOf(&reports[i]))
		page.Places[i].look(s.as(r).Lying(s.Keeping, reports[i].Place))
	}
	return s.show(w, r, http.StatusOK, "backups.html", page)
}

func (s *Server) placeOf(p *app.PlaceReport) backupPlace {
	line := backupPlace{
		Place: p.Place, Scheduled: p.Scheduled, Encrypted: p.Encrypted, Drillable: p.Drillable, Overdue: p.Overdue(), DrillLate: p.DrillLate(), Failed: p.Failed,
	}
	if p.Last != nil {
		line.Last, line.Name = local(p.Last.At, s.Zone), p.Last.Name()
	}
	if !p.Seen.IsZero() {
		line.Seen = local(p.Seen, s.Zone)
	}
	if !p.Tried.IsZero() {
		line.Tried = local(p.Tried, s.Zone)
	}
	if p.Gone != nil {
		line.Gone, line.GoneOn = p.Gone.Copy.Name(), local(p.Gone.Since, s.Zone)
	}
	if p.Passed != nil {
		line.Passed, line.PassedOf = local(p.Passed.At, s.Zone), p.Passed.Copy.Name()
	}
	if p.Drill != nil && p.Drill.Failed != "" {
		line.Drill, line.DrillWhy = local(p.Drill.At, s.Zone), p.Drill.Failed
	}
	return line
}

// look words what lies in the place now.
func (p *backupPlace) look(lying app.Lying) {
	switch n := len(lying.Copies); {
	case sootline.ErrorCode(lying.Why) == sootline.NotFound:
		p.Lies = "no backup: the place is not there"
	case lying.Why != nil:
		p.Lies = "not known: " + lying.Why.Error()
	case n == 0:
		p.Lies = "no backup"
	case n == 1:
		p.Lies = "1 backup"
	default:
		p.Lies = fmt.Sprintf("%d backups", n)
	}
	if lying.Ahead != nil {
		p.Ahead = lying.Ahead.Name()
	}
}

// spelled words an interval.
func spelled(d time.Duration) string {
	switch {
	case d == time.Hour:
		return "hour"
	case d%time.Hour == 0:
		return fmt.Sprintf("%d hours", d/time.Hour)
	case d == time.Minute:
		return "minute"
	}
	return fmt.Sprintf("%d minutes", d/time.Minute)
}

// backupsLate is the line of Today for managers: which backups or drills failed or
// are late; empty where none are.
func (s *Server) backupsLate(r *http.Request) (string, error) {
	if s.Keeping == nil || !visitorOf(r).Role.May(sootline.Manager) || visitorOf(r).byKey {
		return "", nil
	}
	reports, err := s.as(r).Backups(s.Keeping)
	if err != nil {
		return "", err
	}
	late := slices.ContainsFunc(reports, func(p app.PlaceReport) bool { return p.Late() })
	drill := slices.ContainsFunc(reports, func(p app.PlaceReport) bool { return p.Scheduled && p.DrillLate() })
	gone := slices.ContainsFunc(reports, func(p app.PlaceReport) bool { return p.Scheduled && p.Gone != nil })
	switch {
	case gone:
		return "What was kept in a place for backups is not there any more.", nil
	case late && drill:
		return "Backups fail or are late, and one could not be shown to work.", nil
	case late:
		return "Backups fail or are late.", nil
	case drill:
		return "A backup could not be shown to work.", nil
	}
	return "", nil
}

// backupAges tells programs that watch the server how old backups are. A place of
// which nothing is known yet has no line.
func (s *Server) backupAges(b *bytes.Buffer) error {
	if s.Keeping == nil {
		return nil
	}
	reports, err := s.App.Backups(s.Keeping)
	if err != nil {
		return err
	}
	for _, metric := range []struct {
		name, help string
		age        func(app.PlaceReport) time.Duration
	}{
		{"sootline_backup_age_seconds", "Since the place was last known to hold all that was written.", func(p app.PlaceReport) time.Duration { return p.Age }},
		{"sootline_drill_age_seconds", "Since a backup of the place was last shown to work.", func(p app.PlaceReport) time.Duration { return p.DrillAge }},
	} {
		fmt.Fprintf(b, "# HELP %[1]s %[2]s\n# TYPE %[1]s gauge\n", metric.name, metric.help)
		for _, p := range reports {
			if age := metric.age(p); p.Scheduled && age >= 0 {
				fmt.Fprintf(b, "%s{place=%q} %d\n", metric.name, p.Place, int64(age.Seconds()))
			}
		}
	}
	b.WriteString("# HELP sootline_backup_gone Whether backups that were kept in the place are not there any more.\n# TYPE sootline_backup_gone gauge\n")
	for _, p := range reports {
		if p.Scheduled {
			gone := 0
			if p.Gone != nil {
				gone = 1
			}
			fmt.Fprintf(b, "sootline_backup_gone{place=%q} %d\n", p.Place, gone)
		}
	}
	return nil
}
