package chart

import (
	"math"
	"slices"
)

// track is a closed way round a rectangle with rounded corners, from the middle
// of its top to the right and on. Places on it are lengths along it.
type track struct {
	left, top, right, bottom, radius float64
}

// piece is a straight or an arc of the way.
type piece struct {
	from   XY      // of a straight; the centre of an arc
	angle  float64 // of the outward normal, at its start, in degrees
	length float64
	arc    bool
}

func (t track) pieces() []piece {
	r := t.radius
	wide, high, quarter := t.right-t.left-2*r, t.bottom-t.top-2*r, math.Pi/2*r
	return []piece{
		{XY{(t.left + t.right) / 2, t.top}, -90, wide / 2, false},
		{XY{t.right - r, t.top + r}, -90, quarter, true},
		{XY{t.right, t.top + r}, 0, high, false},
		{XY{t.right - r, t.bottom - r}, 0, quarter, true},
		{XY{t.right - r, t.bottom}, 90, wide, false},
		{XY{t.left + r, t.bottom - r}, 90, quarter, true},
		{XY{t.left, t.bottom - r}, 180, high, false},
		{XY{t.left + r, t.top + r}, 180, quarter, true},
		{XY{t.left + r, t.top}, -90, wide / 2, false},
	}
}

func (t track) length() float64 {
	sum := 0.0
	for _, p := range t.pieces() {
		sum += p.length
	}
	return sum
}

// at is a place on the way, and the direction that leads out of it there.
func (t track) at(s float64) (place, out XY) {
	pieces := t.pieces()
	for i, p := range pieces {
		if s <= p.length || i == len(pieces)-1 {
			return p.at(min(s, p.length), t.radius)
		}
		s -= p.length
	}
	return XY{}, XY{}
}

func (p piece) at(s, radius float64) (place, out XY) {
	angle := p.angle
	if p.arc && radius > 0 {
		angle += s / radius * 180 / math.Pi
	}
	sin, cos := math.Sincos(angle * math.Pi / 180)
	cos, sin = math.Round(cos*1e9)/1e9, math.Round(sin*1e9)/1e9 // straights are straight
	if p.arc {
		return XY{p.from.X + radius*cos, p.from.Y + radius*sin}, XY{cos, sin}
	}
	return XY{p.from.X - s*sin, p.from.Y + s*cos}, XY{cos, sin}
}

// way is the polyline from one place to another: its ends, the corners between
// them, and every arc in steps.
func (t track) way(from, to float64) []XY {
	const steps = 6
	stops := []float64{from}
	at := 0.0
	for _, p := range t.pieces() {
		n := 1
		if p.arc {
			n = steps
		}
		for i := 1; i <= n; i++ {
			if s := at + p.length*float64(i)/float64(n); s > from && s < to {
				stops = append(stops, s)
			}
		}
		at += p.length
	}
	var places []XY
	for _, s := range append(stops, to) {
		place, _ := t.at(s)
		places = append(places, place)
	}
	return slices.Compact(places)
}
