package app

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"sootline"
)

// Title is what the run is called: its name, else when it began, in the site's own
// time. It is found by that too.
func (b *BenchRun) Title() string { return runTitle(b.Register, b.BenchRun) }

// Gone says how many of the places that the run began with are no places any more, as where the design that laid them was
// taken back; empty: none. Nothing is left of such a run, and yet nothing was set.
func (b *BenchRun) Gone() string {
	gone := b.GonePlaces()
	if gone == 0 {
		return ""
	}
	return fmt.Sprintf("%d of the %d places of %s were taken back or removed since it began", gone, len(b.Said.Points), b.Title())
}

// GonePlaces counts the places that the run began with and that are no places any more.
func (b *BenchRun) GonePlaces() int { return max(len(b.Said.Points)-len(b.Places), 0) }

func runTitle(r *sootline.Register, run *sootline.BenchRun) string {
	zone, err := Zone(r.Site.Zone)
	if err != nil {
		zone = time.UTC
	}
	return cmp.Or(run.Said.Name, "run of "+run.Opened.At.In(zone).Format("2006-01-02 15:04"))
}

// benchNamed finds a run of the register.
func benchNamed(r *sootline.Register, name string) (*sootline.BenchRun, error) {
	var found []*sootline.BenchRun
	for _, run := range r.BenchRuns() {
		if name == "" && run.Closed == nil || name != "" && (run.ID.String() == name || strings.EqualFold(runTitle(r, run), name)) {
			found = append(found, run)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) == 0 && name == "":
		return nil, sootline.Errorf(sootline.NotFound, "begin one", "no run at the bench is open").Do(sootline.OpenBench)
	case len(found) == 0:
		return nil, sootline.Errorf(sootline.NotFound, "see which there are", "there is no run %q", name).Do(sootline.ShowBench)
	case name == "":
		return nil, sootline.Errorf(sootline.Conflict, "name one", "%d runs at the bench are open: %s", len(found), benchNames(r, found)).Do(sootline.Give, "run", found[0].ID.String())
	}
	return nil, sootline.Errorf(sootline.Conflict, "name it by its id", "%d runs are called %q", len(found), name).Do(sootline.Give, "run", found[0].ID.String())
}

func benchNames(r *sootline.Register, runs []*sootline.BenchRun) string {
	var names []string
	for _, run := range runs {
		names = append(names, fmt.Sprintf("%s (%s)", runTitle(r, run), run.ID))
	}
	return strings.Join(names, ", ")
}
