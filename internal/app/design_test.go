package app

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sootline"
	"sootline/internal/worlds/drafts"
)

// designSite is a site without points: three types, and what feeds its loop as the world of drafts has it. Detectors and
// sounders draw the most that the world's do at any volts: 28 V / 8000 ohm, 0.1 W / 17 V.
func designSite(t *testing.T, most int) (*App, sootline.ID) {
	t.Helper()
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{
		"types.csv": "name,kind,low,high,standby mA,alarm mA,least volts\ndetector,optical smoke,20,40,0.3,3.5,17\ncall point,call point,,,0.2,3,17\nsounder,sounder,,,0.4,5.9,17\n",
	})
	take(t, a, site, filepath.Join(folder, "types.csv"))
	celsius := 30.0
	if err := a.SetSupply(t.Context(), site, sootline.Supply{
		Panel: "1", Loop: "1", Volts: 24, LowVolts: 24, HighVolts: 28, SourceOhms: 0.5, LimitMA: 500, Celsius: &celsius,
		IsolatorOhms: 0.2, Holds: 17, Opens: 16, Closes: 18, CarriesMA: 600,
	}); err != nil {
		t.Fatal(err)
	}
	if err := a.SetFacts(t.Context(), site, sootline.Opened{SiteFacts: sootline.SiteFacts{Follows: "BS 5839-1, EN 54-2"}}); err != nil {
		t.Fatal(err)
	}
	return a, site
}

// briefOf writes a building of the world as the table of counts that a person would.
func briefOf(b drafts.Building) string {
	var text strings.Builder
	w := csv.NewWriter(&text)
	rows := [][]string{{"area", "floor", "x", "y", "width", "depth", "sounder", "call point", "detector"}}
	for _, a := range b.Areas {
		row := []string{a.Name}
		for _, x := range []any{a.Floor, a.X, a.Y, a.W, a.H, a.Sounders, a.CallPoints, a.Detectors} {
			row = append(row, fmt.Sprint(x))
		}
		rows = append(rows, row)
	}
	w.WriteAll(rows) //nolint:errcheck // into memory
	return text.String()
}

// TestTenBuildings: counts an area become loops that the verdict shows, that the other mind finds nothing wrong with, and
// whose cable is within 5 % of its longer search's.
func TestTenBuildings(t *testing.T) {
	moves, searches := 400_000, uint64(1)
	if os.Getenv("SOOTLINE_LONG") != "" {
		moves, searches = 3_000_000, 3
	}
	for _, b := range drafts.Ten() {
		a, site := designSite(t, b.Most)
		r := register(t, a, site)
		brief, err := ReadDesignBrief(strings.NewReader(briefOf(b)), r)
		if err != nil {
			t.Fatal(err)
		}
		begun := time.Now()
		d, err := DesignLoops(r, brief, DesignChoice{Most: b.Most, At: [3]float64{b.Panel.X, b.Panel.Y, float64(b.Panel.Floor)}, Risers: b.Risers, Storey: b.Storey, Slack: drafts.Slack})
		if err != nil {
			t.Fatal(b.Name, err)
		}
		took := time.Since(begun)
		made := drafts.Design{MM2: d.MM2}
		worst := 0
		for _, l := range d.Loops {
			var loop []int
			for _, p := range l.Points {
				loop = append(loop, p.atPlace)
				if p.Isolator {
					made.Isolators = append(made.Isolators, p.atPlace)
				}
			}
			made.Loops = append(made.Loops, loop)
			worst = max(worst, l.Isolators.Worst)
			if !l.Power.Shown() {
				t.Errorf("%s: loop %s is %s", b.Name, l, l.Power.Verdict())
			}
		}
		_, reference := drafts.Reference(b, moves, searches)
		mark := drafts.Score(b, made, reference, drafts.Usual())
		if mark.Why != "" {
			t.Errorf("%s: %s", b.Name, mark.Why)
		}
		t.Logf("| %s | %d | %d | %g | %d | %d | %.0f | %.0f | %+.1f | %d |", b.Name, len(brief.places), len(d.Loops), d.MM2, len(made.Isolators), worst, mark.Metres, reference, 100*mark.Longer, took.Milliseconds())
	}
}
