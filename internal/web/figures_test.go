package web

import (
	"context"
	"encoding/json"
	"fmt"
	"html"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/papers"
	"sootline/internal/shape"
	"sootline/internal/store"
)

// drawSite makes a site of invented happenings, the last of which is a visit that
// ends today.
func drawSite(t *testing.T, a *app.App, seed uint64) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 7))
	site, err := a.AddSite(t.Context(), app.NewSite{Name: fmt.Sprintf("Drawn %d", seed), Zone: "Europe/Paris"})
	if err != nil {
		t.Fatal(err)
	}
	now := a.Now()
	add := func(at time.Time, point sootline.ID, body sootline.Body) {
		t.Helper()
		if body.Kind() == sootline.VisitKind { // as an older log may hold it
			writeAsBefore(t, a, site, at, body)
			return
		}
		n := app.Note{At: at, Body: body, Sure: true}
		if !point.Zero() {
			n.Point = point.String()
		}
		if _, err := a.AddEntry(t.Context(), site, n); err != nil {
			t.Fatal(err)
		}
	}
	kinds := []sootline.DeviceKind{sootline.Smoke, sootline.Heat, sootline.CallPoint, sootline.Sounder}
	for i, kind := range kinds {
		add(now.AddDate(-4, 0, 0), sootline.ID{}, sootline.Sheet{TypeSheet: sootline.TypeSheet{Name: fmt.Sprintf("Type %d", i), Kind: kind}})
	}
	points := drawPoints(t, a, site, rng, now)
	opened := sootline.Visit{State: sootline.VisitOpened, Round: points[:len(points)/2]}
	add(now.Add(-5*time.Hour), sootline.ID{}, opened)
	for range 80 {
		point, ago := points[rng.IntN(len(points))], time.Duration(rng.IntN(700*24*60))*time.Minute
		if rng.IntN(4) == 0 {
			ago = time.Duration(20+rng.IntN(250)) * time.Minute // during the visit
		}
		bodies := []sootline.Body{
			sootline.Tested{},
			sootline.Tested{Failed: true},
			sootline.Read{Samples: []float64{25}},
			sootline.Alarm{Category: sootline.Unwanted, Attended: rng.IntN(2) == 0},
			sootline.Alarm{Cause: "dust"},
			sootline.Alarm{Text: "?"},
			sootline.Fault{Cause: "no answer"},
			sootline.Cleaned{Text: "x"},
			sootline.Replaced{Text: "x"},
		}
		add(now.Add(-ago), point, bodies[rng.IntN(len(bodies))])
	}
	add(now.Add(-time.Minute), sootline.ID{}, sootline.Visit{State: sootline.VisitClosed, Left: sootline.LeftNormal})
}

// writeAsBefore writes an entry that only its use case makes by now.
func writeAsBefore(t *testing.T, a *app.App, site sootline.ID, at time.Time, body sootline.Body) {
	t.Helper()
	e := sootline.Entry{ID: sootline.NewID(at, a.Random()), Site: site, At: sootline.Instant(at), Noted: sootline.Instant(at), By: a.Who.Name, Station: a.Who.Station, Body: body}
	err := a.Book.Write(t.Context(), func(tx *store.Tx) error {
		return tx.Append(site, a.Who.Station, func(w *store.Writer) error { return w.Add(e) })
	})
	if err != nil {
		t.Fatal(err)
	}
}

// drawPoints fits points, of one of which nobody described the type.
func drawPoints(t *testing.T, a *app.App, site sootline.ID, rng *rand.Rand, now time.Time) []sootline.ID {
	t.Helper()
	folder := t.TempDir()
	listing := "loop,address,type,area,location,fitted on\n"
	for i := range 8 + rng.IntN(12) {
		listing += fmt.Sprintf("1,%d,Type %d,Area %d,Place,%s\n", i+1, rng.IntN(5), rng.IntN(3), now.AddDate(-3, 0, -rng.IntN(300)).Format(time.DateOnly))
	}
	path := filepath.Join(folder, "schedule.csv")
	if err := os.WriteFile(path, []byte(listing), 0o600); err != nil {
		t.Fatal(err)
	}
	in, err := a.Look(context.Background(), site, []string{path}, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close() //nolint:errcheck // a test's own file
	if _, err := a.Take(t.Context(), site, in, app.TakeOptions{}); err != nil {
		t.Fatal(err)
	}
	r, err := a.Register(t.Context(), site, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	var ids []sootline.ID
	for _, p := range r.Points() {
		ids = append(ids, p.ID)
	}
	return ids
}

// TestOneFigureOnEveryFace makes each figure of the demo and of three drawn sites on
// each page, paper and answer: one name, one number.
func TestOneFigureOnEveryFace(t *testing.T) {
	for seed := range uint64(4) {
		s := newServer(t, nil)
		if seed == 0 {
			if _, err := s.App.MakeDemo(t.Context(), t.TempDir(), demoSeed, s.App.Now().UTC().Truncate(24*time.Hour)); err != nil {
				t.Fatal(err)
			}
		} else {
			drawSite(t, s.App, seed)
		}
		lines, err := s.App.Sites(t.Context())
		if err != nil || len(lines) != 1 {
			t.Fatal(lines, err)
		}
		figures, err := s.App.FiguresAt(t.Context(), lines[0].ID, s.App.Now())
		if err != nil {
			t.Fatal(err)
		}
		want := map[string]string{}
		for _, f := range figures.List() {
			want[f.Name] = f.Value
		}
		onPages(t, s, "/site/"+lines[0].ID.String(), want)
		onAPI(t, s, lines[0].ID, &figures)
		onPapers(t, s, lines[0].ID, want, &figures, seed > 0)
	}
}

func onPages(t *testing.T, s *Server, site string, want map[string]string) {
	t.Helper()
	page := visit(t, s).get(site)
	found := 0
	for _, m := range regexp.MustCompile(`<dt>([^<]*)</dt><dd class="figure">([^<]*)</dd>`).FindAllStringSubmatch(page, -1) {
		found++
		if name, value := html.UnescapeString(m[1]), html.UnescapeString(m[2]); want[name] != value {
			t.Errorf("the page of the site: %s is %q, want %q", name, value, want[name])
		}
	}
	if found != len(want) {
		t.Errorf("the page of the site has %d figures of %d", found, len(want))
	}
	due := regexp.MustCompile(`next due ([^<]*)<`).FindStringSubmatch(visit(t, s).get(site + "/due"))
	if len(due) != 2 || html.UnescapeString(due[1]) != want["next due"] {
		t.Errorf("the page of what is due says %q, want %q", due, want["next due"])
	}
}

func onAPI(t *testing.T, s *Server, site sootline.ID, figures *app.Figures) {
	t.Helper()
	var told struct{ Figures shape.Figures }
	if err := json.Unmarshal([]byte(visit(t, s).get("/api/v1/sites/"+site.String())), &told); err != nil {
		t.Fatal(err)
	}
	if got, want := fmt.Sprint(jsonOf(t, told.Figures)), fmt.Sprint(jsonOf(t, shape.OfFigures(figures))); got != want {
		t.Errorf("the API says %s, want %s", got, want)
	}
	var rated struct {
		Year            struct{ Alarms, Incidents int }
		Fires, Attended int
	}
	if err := json.Unmarshal([]byte(visit(t, s).get("/api/v1/sites/"+site.String()+"/alarms")), &rated); err != nil {
		t.Fatal(err)
	}
	n := figures.Signals
	if rated.Year.Alarms != n.False || rated.Year.Incidents != n.Incidents || rated.Fires != n.Fires || rated.Attended != n.Attended {
		t.Errorf("the answer on alarms says %+v, want %+v", rated, n)
	}
}

func jsonOf(t *testing.T, v any) string {
	t.Helper()
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// onPapers compares the fields of papers that show a figure, whatever its name
// there. ended: the last visit ends on the day of the papers, so that what is told
// of its end is told of that day.
func onPapers(t *testing.T, s *Server, site sootline.ID, want map[string]string, figures *app.Figures, ended bool) {
	t.Helper()
	for name, key := range map[string]app.FigureKey{
		"cumulative for twelve months": app.TestedFigure, "points under test tested in twelve months": app.TestedFigure,
		"problems: defects not closed": app.DefectsFigure, "next due date": app.NextDueFigure,
	} {
		want[name] = figures.Of(key).Value
	}
	atEnd := []string{"next due", "user's next test", "defects not closed", "tested in twelve months", "points whose last test was not passed", "points", "automatic detectors", "points under test"}
	for _, name := range append(atEnd, "cumulative for twelve months", "points under test tested in twelve months", "problems: defects not closed", "next due date") {
		if !ended {
			delete(want, name)
		}
	}
	compared := 0
	for _, kind := range papers.Kinds() {
		if kind.Needs != "" {
			continue
		}
		d, err := papers.Make(t.Context(), s.App, site, papers.Wish{Kind: kind.Name, On: s.App.Now()})
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range d.Parts {
			for _, block := range part.Blocks {
				fields, _ := block.(paper.Fields)
				for _, f := range fields.Rows {
					value, shared := want[f.Name]
					if !shared {
						continue
					}
					compared++
					if f.Value != value {
						t.Errorf("paper %s: %s is %q, want %q", kind.Name, f.Name, f.Value, value)
					}
				}
			}
		}
	}
	if compared < 10 {
		t.Errorf("only %d fields of papers show a figure", compared)
	}
}
