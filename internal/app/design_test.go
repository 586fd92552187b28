package app

import (
	"encoding/csv"
	"fmt"
	"math"
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
		Panel: "1", Loop: "1", Volts: 24, LowVolts: 24, HighVolts: 28, SourceOhms: known(0.5), LimitMA: 500, Celsius: &celsius,
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
	sums(t)
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

const millCounts = "area,floor,m2,detector,sounder,call point\nHall,0,240,6,1,1\nStore,0,300,8,1,0\nWorkshop,0,420,12,2,1\nOffices,1,360,14,1,1\n"

// designed makes a design of a brief.
func designed(t *testing.T, r *sootline.Register, text string, choice DesignChoice) *Design {
	t.Helper()
	brief, err := ReadDesignBrief(strings.NewReader(text), r)
	if err != nil {
		t.Fatal(err)
	}
	d, err := DesignLoops(r, brief, choice)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestDesignIsHandedOn: what is written says what the design said: the same verdict, metres and isolators by `loop`, the
// wanted numbers in the order of the cable at the bench; it is taken back whole, and is not written over points.
func TestDesignIsHandedOn(t *testing.T) {
	a, site := designSite(t, 126)
	ctx := t.Context()
	d := designed(t, register(t, a, site), millCounts, DesignChoice{Spare: -1, Slack: -1})
	if !d.Shown() || len(d.Loops) != 1 || d.Loops[0].String() != "1.1" {
		t.Fatal(d.Headline())
	}
	act, err := a.WriteDesign(ctx, site, d, "counts.csv")
	if err != nil {
		t.Fatal(err)
	}
	r := register(t, a, site)
	p, err := LoopPower(r, d.Loops[0].LoopID, WhatIf{}, Ask{})
	if err != nil {
		t.Fatal(err)
	}
	if p.Verdict() != d.Loops[0].Power.Verdict() || p.Least() != d.Loops[0].Power.Least() {
		t.Errorf("it was %s, %s; it is %s, %s", d.Loops[0].Power.Verdict(), d.Loops[0].Power.Least(), p.Verdict(), p.Least())
	}
	line, err := a.SiteOf(ctx, site)
	if err != nil {
		t.Fatal(err)
	}
	run, err := a.OpenBench(ctx, *line, BenchOpening{Name: "all", By: BenchByCable})
	if err != nil {
		t.Fatal(err)
	}
	if len(run.Places) != len(d.Loops[0].Points) {
		t.Fatalf("%d places at the bench, %d were designed", len(run.Places), len(d.Loops[0].Points))
	}
	for i, place := range run.Places {
		want := d.Loops[0].Points[i]
		if place.Number != want.Number || place.Point.Type != want.Type || place.Point.Area != want.Area {
			t.Errorf("place %d: %d %s, want %d %s", i, place.Number, place.Point.Type, want.Number, want.Type)
		}
	}
	if _, err := a.WriteDesign(ctx, site, d, "counts.csv"); sootline.ErrorCode(err) != sootline.Conflict {
		t.Errorf("a design is written over points: %v", err)
	}
	next := designed(t, r, millCounts, DesignChoice{Spare: -1, Slack: -1})
	if next.Loops[0].String() != "1.2" {
		t.Errorf("the next design takes loop %s", next.Loops[0])
	}
	if _, err := a.WriteDesign(ctx, site, next, "counts.csv"); sootline.ErrorCode(err) != sootline.Doubtful {
		t.Errorf("the same places are written once more unasked: %v", err)
	}
	if _, err := a.UndoTake(ctx, site, UndoWish{Act: act.ID.String()}); sootline.ErrorCode(err) != sootline.Doubtful || !strings.Contains(err.Error(), "places of runs at the bench that are open") {
		t.Errorf("places of an open run are taken back unasked: %v", err)
	}
	if _, err := a.UndoTake(ctx, site, UndoWish{Act: act.ID.String(), Sure: true}); err != nil {
		t.Fatal(err)
	}
	if n := len(register(t, a, site).Points()); n != 0 {
		t.Errorf("%d points are left of a design that was taken back", n)
	}
	n := len(run.Places)
	if run.Gone() != "" {
		t.Errorf("places of the run are gone before: %s", run.Gone())
	}
	if run, err = a.Bench(ctx, *line, "all"); err != nil {
		t.Fatal(err)
	}
	if want := fmt.Sprintf("%d of the %d places of all were taken back", n, n); !strings.HasPrefix(run.Gone(), want) {
		t.Errorf("the run of places that are gone says %q", run.Gone())
	}
}

// TestDesignOfDrawing: places with coordinates stand where the drawing has them, those without on the grid of their area.
func TestDesignOfDrawing(t *testing.T) {
	a, site := designSite(t, 126)
	r := register(t, a, site)
	d := designed(t, r, "type;area;floor;m2;x;y;location\ndetector;Hall;0;100;3;4;Door\ndetector;Hall;0;;9;4;\nsounder;Yard;0;50;;;Gate\n", DesignChoice{})
	if math.Abs(d.Metres-26) > 1e-9 { // by hand: 7 to the door, 6 along, 5.9 to the gate, 7.1 back
		t.Errorf("%v m", d.Metres)
	}
	var where []string
	for _, p := range d.Loops[0].Points {
		where = append(where, fmt.Sprintf("%s %s %g/%g", p.Area, p.Location, p.X, p.Y))
	}
	for _, want := range []string{"Hall Door 3/4", "Hall  9/4", "Yard Gate 3.5355339059327378/3.5355339059327378"} {
		if !strings.Contains(strings.Join(where, "; "), want) {
			t.Errorf("%v lacks %s", where, want)
		}
	}
	for text, want := range map[string]string{
		"area,floor\n":                          "no rows",
		"area,floor,Larch\nHall,0,3\n":          "no type that has a sheet",
		"area,floor,detector\nHall,0,3\n":       "how large the area",
		"area,floor,m2,detector\nHall,0,90,x\n": "how many",
		"area,floor,m2,detector\nHall,G,90,2\n": "not a whole number",
		"area,type,m2,x\nHall,detector,90,2\n":  "x or y alone",
		"area,m2,detector\nHall,90,0\n":         "from 1 to",
	} {
		if _, err := ReadDesignBrief(strings.NewReader(text), r); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// TestDesignLacksFacts: where nobody said what feeds the loops the design is not shown, and says what would settle it; where no
// design can be, it fails with the state that does.
func TestDesignLacksFacts(t *testing.T) {
	a := newApp(t, "laptop")
	site := addSite(t, a)
	folder := files(t, map[string]string{"types.csv": "name,kind,low,high,standby mA,alarm mA,least volts\ndetector,optical smoke,20,40,0.3,3.5,17\nsounder,sounder,,,0.4,5.9,17\ncall point,call point,,,0.2,3,17\n"})
	take(t, a, site, filepath.Join(folder, "types.csv"))
	d := designed(t, register(t, a, site), millCounts, DesignChoice{})
	if d.Shown() || d.Says() != "not shown" || d.Loops[0].Power.Settles() == "" {
		t.Error(d.Headline())
	}
	if err := a.SetSupply(t.Context(), site, sootline.Supply{Panel: "1", Loop: "1", Volts: 17.1, LowVolts: 17.1, HighVolts: 18, SourceOhms: known(5), LimitMA: 500}); err != nil {
		t.Fatal(err)
	}
	if d = designed(t, register(t, a, site), millCounts, DesignChoice{}); d.Says() != "fails" || d.Loops[0].Longest != 0 {
		t.Error(d.Headline())
	}
}

// TestBriefContradicts: a table that contradicts itself is refused with the reason.
func TestBriefContradicts(t *testing.T) {
	a, site := designSite(t, 126)
	r := register(t, a, site)
	for text, says := range map[string]string{
		"area,m2,detector,detector\nHall,100,1,2\n":                                       "two columns are headed",
		"area,m2,detector\nHall,100,1\nHall,100,2\n":                                      "stands in line 2 already",
		"area,m2,width,depth,detector\nHall,500,10,10,2\n":                                "500 m2 are not 10 m by 10 m",
		"area,m2,type,detector,x,y\nHall,100,detector,3,1,1\n":                            "counts stand beside the type",
		"area,m2,type,x,y\nHall,100,detector,1,1\nHall,100,sounder,1,1\n":                 "two devices stand on one spot",
		"area,m2,type,x,y\nHall,200,detector,1,1\nHall,200,detector,9000,1\n":             "8999 m apart",
		"area,m2,width,depth,type,x,y\nHall,,10,10,detector,1,1\nHall,,,,detector,30,1\n": "29 m apart",
	} {
		if _, err := ReadDesignBrief(strings.NewReader(text), r); sootline.ErrorCode(err) != sootline.Invalid || !strings.Contains(err.Error(), says) {
			t.Errorf("%q gives %v, and not %q", text, err, says)
		}
	}
	if _, err := ReadDesignBrief(strings.NewReader("area,m2,width,depth,type,x,y\nHall,95,10,10,detector,1,1\nHall,,,,detector,9,9\n"), r); err != nil {
		t.Errorf("what is well is refused: %v", err)
	}
}

// TestEvenShares: devices beyond what one loop holds are shared evenly among the loops, and none is left a loop of its own.
func TestEvenShares(t *testing.T) {
	sums(t)
	a, site := designSite(t, 126)
	r := register(t, a, site)
	for _, count := range []int{101, 201, 305} {
		d := designed(t, r, fmt.Sprintf("area,floor,m2,detector\nHall,0,5000,%d\n", count), DesignChoice{Spare: 20, Slack: usualSlack})
		share := float64(count) / float64(len(d.Loops))
		for _, l := range d.Loops {
			if n := float64(len(l.Points)); len(d.Loops) < 2 || n < math.Floor(0.95*share) || n > math.Ceil(1.05*share) {
				t.Errorf("%d devices: loop %s has %.0f of %d loops, its even share is %.1f", count, l, n, len(d.Loops), share)
			}
		}
	}
}
