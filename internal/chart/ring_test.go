package chart

import (
	"math"
	"strings"
	"testing"
)

// TestRingIsSmall: a full loop is under 60 kB.
func TestRingIsSmall(t *testing.T) {
	if size := len(svgOf(t, sampleRing(126).Picture())); size >= 60_000 {
		t.Errorf("%d bytes", size)
	}
}

// middleOf is the middle of an element's box.
func middleOf(t *testing.T, n node) XY {
	t.Helper()
	low, high := XY{math.Inf(1), math.Inf(1)}, XY{math.Inf(-1), math.Inf(-1)}
	for _, p := range n.places(t) {
		low, high = XY{min(low.X, p.X), min(low.Y, p.Y)}, XY{max(high.X, p.X), max(high.Y, p.Y)}
	}
	return XY{(low.X + high.X) / 2, (low.Y + high.Y) / 2}
}

// TestRingOrder: seen from the middle of the ring, the points follow one another
// with the clock from the panel at the top, each once, each a link with a tooltip.
func TestRingOrder(t *testing.T) {
	for _, n := range []int{1, 2, 10, 126, 250} {
		r := sampleRing(n)
		for i := range r.Points {
			r.Points[i].Spur, r.Points[i].Standing = "", StandsGood
		}
		root := parsed(t, r.Picture())
		links := root.all("a", "")
		if len(links) != n {
			t.Fatalf("%d links for %d points", len(links), n)
		}
		panel := middleOf(t, root.all("rect", "panel")[0])
		var foot float64
		for _, line := range append(root.all("polyline", "cable"), root.all("polyline", "cable-alt")...) {
			for _, p := range line.pairs(t) {
				foot = max(foot, p.Y)
			}
		}
		centre, last := XY{panel.X, (panel.Y + foot) / 2}, 0.0
		for i, link := range links {
			if link.attr("href") != r.Points[i].Href || link.Nodes[0].Text != r.Points[i].Title {
				t.Fatalf("link %d is %s", i, link.attr("href"))
			}
			at := middleOf(t, link.Nodes[1])
			angle := math.Mod(math.Atan2(at.X-centre.X, centre.Y-at.Y)+2*math.Pi, 2*math.Pi)
			if angle <= last {
				t.Fatalf("point %d of %d is at %.3f, the one before at %.3f", i, n, angle, last)
			}
			last = angle
		}
	}
}

// TestRingSigns: form by kind, shade by standing, and a ring around what is out.
func TestRingSigns(t *testing.T) {
	r := Ring{Title: "Loop", Points: []RingPoint{
		{Label: "1", Kind: Smoke, Standing: StandsOut},
		{Label: "2", Kind: Heat, Standing: StandsSoon},
		{Label: "3", Kind: "no such kind"},
		{Label: "4", Kind: CallPoint, Standing: StandsGood, Isolator: true},
		{Label: "5", Kind: Sounder, Standing: StandsGood, Spur: "a"},
	}}
	var got []string
	for _, s := range r.Picture().Shapes {
		if g, is := s.(Group); is {
			for _, inner := range g.Shapes {
				got = append(got, string(inner.(Sign).Class)+" "+string(inner.(Sign).Form))
			}
		}
	}
	const want = "unknown plus, good square, good horn, soon triangle, halo circle, out circle" // what is out last, on top
	if strings.Join(got, ", ") != want {
		t.Errorf("got %s, want %s", strings.Join(got, ", "), want)
	}
	root := parsed(t, r.Picture())
	if len(root.all("polygon", "barrier")) != 2 { // one in the key
		t.Error("no isolator across the cable")
	}
	if !strings.Contains(r.Picture().Desc, "5 points") || !strings.Contains(r.Picture().Desc, "to be seen to now: 1;") {
		t.Error(r.Picture().Desc)
	}
}

// TestRingSpur: the points of a spur stand inside the ring, in a line from the
// point at which it leaves, ever farther from it.
func TestRingSpur(t *testing.T) {
	r := Ring{Title: "Loop", Points: []RingPoint{{Label: "1", Spur: "z"}, {Label: "2"}, {Label: "3", Spur: "a"}, {Label: "4", Spur: "a"}, {Label: "5"}}}
	d := ringDrawing{Ring: r}
	d.branch()
	if len(d.ring) != 3 || len(d.ring[1].spur) != 2 {
		t.Fatalf("%+v", d.ring)
	}
	c := &canvas{Medium: Page(), height: 500}
	tr := track{50, 50, 670, 400, 40}
	points := d.places(c, tr, d.stops(c, tr))
	from := points[1].at
	last := 0.0
	for _, p := range points[2:4] {
		away := math.Hypot(p.at.X-from.X, p.at.Y-from.Y)
		if away <= last || p.at.X < tr.left || p.at.X > tr.right || p.at.Y < tr.top || p.at.Y > tr.bottom {
			t.Errorf("%s at %v, from %v", p.Label, p.at, from)
		}
		last = away
	}
}

// A track with corners of 10 around 100 by 60, by hand: 2 (80 + 40) and the circle
// of the corners. A quarter of the way round the arc is at 45 degrees.
func TestTrack(t *testing.T) {
	tr := track{0, 0, 100, 60, 10}
	if got, want := tr.length(), 240+20*math.Pi; math.Abs(got-want) > 1e-9 {
		t.Errorf("length %v, want %v", got, want)
	}
	for _, c := range []struct {
		s         float64
		want, out XY
	}{
		{0, XY{50, 0}, XY{0, -1}},
		{40 + 2.5*math.Pi, XY{90 + 10*math.Sqrt2/2, 10 - 10*math.Sqrt2/2}, XY{math.Sqrt2 / 2, -math.Sqrt2 / 2}},
		{40 + 5*math.Pi + 20, XY{100, 30}, XY{1, 0}},
		{120 + 10*math.Pi, XY{50, 60}, XY{0, 1}},
		{180 + 15*math.Pi + 0, XY{0, 30}, XY{-1, 0}},
	} {
		at, out := tr.at(c.s)
		if math.Hypot(at.X-c.want.X, at.Y-c.want.Y) > 1e-6 || math.Hypot(out.X-c.out.X, out.Y-c.out.Y) > 1e-6 {
			t.Errorf("at %v: %v and %v, want %v and %v", c.s, at, out, c.want, c.out)
		}
	}
}
