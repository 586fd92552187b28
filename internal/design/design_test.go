package design

import (
	"math"
	"slices"
	"testing"
	"time"

	"sootline/internal/worlds/drafts"
)

// building gives a building of the world of drafts as this room knows it.
func building(w drafts.Building) (*Building, []Place) {
	b := &Building{Risers: w.Risers, Storey: w.Storey, Slack: drafts.Slack, Panel: Place{X: w.Panel.X, Y: w.Panel.Y, Floor: w.Panel.Floor}}
	var places []Place
	for i, a := range w.Areas {
		b.Areas = append(b.Areas, Area{Name: a.Name, Floor: a.Floor, X: a.X, Y: a.Y, W: a.W, H: a.H, Wants: []Want{
			{Type: string(drafts.Sounder), Count: a.Sounders}, {Type: string(drafts.CallPoint), Count: a.CallPoints}, {Type: string(drafts.Detector), Count: a.Detectors},
		}})
		places = append(places, b.Places(i)...)
	}
	return b, places
}

// TestPlacesAsTheWorldHasThem: from counts alone the devices stand where the world's do.
func TestPlacesAsTheWorldHasThem(t *testing.T) {
	for _, w := range drafts.Ten() {
		_, places := building(w)
		theirs := w.Places()
		if len(places) != len(theirs) {
			t.Fatalf("%s: %d places, want %d", w.Name, len(places), len(theirs))
		}
		for i, p := range places {
			q := theirs[i]
			if math.Abs(p.X-q.X)+math.Abs(p.Y-q.Y) > 1e-9 || p.Floor != q.Floor || p.Area != q.Area || p.Type != string(q.Sort) {
				t.Errorf("%s, %d: %+v, want %+v", w.Name, i, p, q)
			}
		}
	}
}

// TestCable: in no building more than 5 % beyond the longer search.
func TestCable(t *testing.T) {
	moves := 100_000
	for _, w := range drafts.Ten() {
		b, places := building(w)
		begun := time.Now()
		loops := b.Loops(places, Fewest(places, w.Most), w.Most, 1)
		took := time.Since(begun)
		d := drafts.Design{Loops: loops}
		if err := drafts.Check(w, d); err != nil {
			t.Fatal(w.Name, err)
		}
		_, reference := drafts.Reference(w, moves, 1)
		metres := drafts.Metres(w, d)
		t.Logf("%s: %d devices, %d loops, %.0f m, reference %.0f m, %+.2f %%, %v", w.Name, len(places), len(loops), metres, reference, 100*(metres/reference-1), took.Round(time.Millisecond))
		if metres > (1+drafts.Within)*reference {
			t.Errorf("%s: %.0f m, the longer search found %.0f m", w.Name, metres, reference)
		}
	}
}

var _ = slices.Clone[[]int]
