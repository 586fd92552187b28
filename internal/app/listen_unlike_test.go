package app

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/live"
	"sootline/internal/store"
	"sootline/internal/visit"
)

// panelSite is a site of thirty points whose printer was taught, with a clock that stands at an instant which may be moved.
func panelSite(t testing.TB) (a *App, site store.SiteLine, clock *time.Time) {
	t.Helper()
	a = newApp(t, "laptop")
	id := addSite(t, a)
	schedule := "loop,address,type,zone,location\n"
	for i := 1; i <= 30; i++ {
		schedule += fmt.Sprintf("1,%d,Larch,%d,Room %d\n", i, 1+i/10, i)
	}
	folder := files(t, map[string]string{"types.csv": benchTypes, "schedule.csv": schedule})
	take(t, a, id, filepath.Join(folder, "types.csv"))
	take(t, a, id, filepath.Join(folder, "schedule.csv"))
	a.Heard = t.TempDir()
	site, err := a.Site(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	now := today
	a.Now = func() time.Time { return now }
	teachPrinter(t, a, site, "printer")
	return a, site, &now
}

// printed is a line of the printer of [panelSite].
func printed(at time.Time, word string, n, zone int, text string) string {
	return fmt.Sprintf("%s %-8s L1 D%03d Z%02d %s\r\n", at.UTC().Format("02/01/2006 15:04"), word, n, zone, text)
}

// teachPrinter teaches the lines of a source by three of them.
func teachPrinter(t testing.TB, a *App, site store.SiteLine, source string) {
	t.Helper()
	lesson := Teaching{Source: source, Panel: "1", Words: map[string]live.Event{"RESET": live.Reset}}
	at := today.Add(-time.Hour)
	words := []struct {
		word  string
		means live.Event
	}{{"FIRE", live.Alarm}, {"FAULT", live.Fault}, {"DISABLED", live.Disabled}}
	for i := range 30 {
		w := words[i%3]
		when := at.Add(time.Duration(i) * time.Minute)
		lesson.Heard = append(lesson.Heard, live.Chunk{At: when, Bytes: []byte(printed(when, w.word, i+1, 1+(i+1)/10, fmt.Sprintf("Room %d", i+1)))})
	}
	lesson.Heard = append(lesson.Heard, live.Chunk{At: at.Add(40 * time.Minute), Bytes: []byte(at.Add(40*time.Minute).UTC().Format("02/01/2006 15:04") + " RESET\r\n")})
	for i, w := range words {
		when := at.Add(time.Duration(i) * time.Minute).UTC()
		x, err := live.ExampleOf(lesson.Heard, i+1, i+1, []live.Said{
			{Role: live.Day, Value: when.Format("02/01/2006")},
			{Role: live.Clock, Value: when.Format("15:04")},
			{Role: live.What, Value: w.word, Means: w.means},
			{Role: live.Loop, Value: "1"},
			{Role: live.Number, Value: fmt.Sprintf("%03d", i+1)},
			{Role: live.Zone, Value: "01"},
			{Role: live.Text, Value: fmt.Sprintf("Room %d", i+1)},
		})
		if err != nil {
			t.Fatal(err)
		}
		lesson.Examples = append(lesson.Examples, x)
	}
	taught, err := a.Teach(context.Background(), site, lesson)
	if err == nil {
		err = a.KeepTaught(context.Background(), site, taught)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// openRound opens a visit whose round is all points.
func openRound(t testing.TB, a *App, site store.SiteLine) {
	t.Helper()
	r, err := a.Register(context.Background(), site.ID, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	opened := sootline.Visit{State: sootline.VisitOpened, Minutes: 60}
	for _, p := range r.Points() {
		opened.Round = append(opened.Round, p.ID)
		opened.Work = append(opened.Work, []string{"function test"})
	}
	if err := a.add(context.Background(), site.ID, a.entry(site.ID, a.Now(), sootline.ID{}, opened)); err != nil {
		t.Fatal(err)
	}
}

// TestUnlikeIsSaidAtOnce: in an open visit an alarm with another zone, or another text, than the register's is told by its first
// line, on the walk and to phones; by another zone, or another point's text, nothing is ticked off; what is as it should be is
// ticked and told nowhere. The same lines read again add nothing, and outside a visit nothing is told of them.
func TestUnlikeIsSaidAtOnce(t *testing.T) {
	a, site, now := panelSite(t)
	ctx := context.Background()
	say := func(l *Listening, n, zone int, text string) {
		t.Helper()
		*now = now.Add(2 * time.Minute)
		if _, err := l.Hear(ctx, *now, []byte(printed(*now, "FIRE", n, zone, text))); err != nil {
			t.Fatal(err)
		}
	}
	all := func(l *Listening) {
		say(l, 4, 1, "Room 4")
		say(l, 5, 2, "Room 5")             // another zone
		say(l, 12, 2, "Archive, basement") // another text
		say(l, 13, 2, "Room 14")           // another point's text
	}
	l, err := a.Listen(ctx, site, "printer")
	if err != nil {
		t.Fatal(err)
	}
	say(l, 6, 2, "Room 6") // nobody is there: not understood, and kept
	from := int64(len(printed(*now, "FIRE", 6, 2, "Room 6")))
	openRound(t, a, site)
	begun := *now
	all(l)
	if l, err = a.Listen(ctx, site, "printer"); err != nil {
		t.Fatal(err)
	}
	l.Begin(from)
	*now = begun
	all(l)
	state, err := a.VisitState(ctx, site, *now)
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, u := range state.Walk.Unlike {
		told = append(told, u.Point.Ref().String()+": "+u.Why)
	}
	want := `1.1.005: the panel says zone 2, the register has zone 1; 1.1.012: the panel has the text "Archive, basement", the register has "Room 12"; 1.1.013: the panel has the text "Room 14", the register has "Room 13"`
	if got := strings.Join(told, "; "); got != want {
		t.Errorf("told is\n%s\nand not\n%s", got, want)
	}
	if got := ticked(state.Walk); got != "1.1.004 1.1.012" {
		t.Errorf("ticked off are %s", got)
	}
	done, err := a.VisitDone(ctx, site)
	if err != nil || len(done.Unlike) != 3 {
		t.Errorf("phones are told of %d: %v", len(done.Unlike), err)
	}
}

func ticked(w visit.WalkTest) string {
	var refs []string
	for _, s := range w.Seen {
		refs = append(refs, s.Point.Ref().String())
	}
	return strings.Join(refs, " ")
}
