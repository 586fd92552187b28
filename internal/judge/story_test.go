package judge_test

import (
	"math"
	"testing"

	"sootline"
	"sootline/internal/judge"
)

// By hand: eight visits on a line exactly go on as they did, the 90 % region is
// wider than that of 50 %, and both widen with time; the wild reading is set aside.
func TestPath(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2020-01-01"))
	b.visits(date("2026-03-01"), 22, 22.5, 23, 23.5, 40, 24.5, 25, 25.5, 26)
	on := date("2026-03-04")
	r := sootline.Fold(b.entries, on)
	a := judge.Assess(r, on)
	p := r.Points()[0]
	path := a.Path(p, on.AddDate(1, 0, 0))
	if len(path) < 2 {
		t.Fatalf("%d steps", len(path))
	}
	for i, at := range path {
		years := at.At.Sub(date("2026-03-01")).Hours() / 24 / 365.25
		if want := 26 + 2*years; math.Abs(at.Median-want) > 1 {
			t.Errorf("on %s: %v, want %v", at.At, at.Median, want)
		}
		wide, narrow := at.High90-at.Low90, at.High50-at.Low50
		if !(at.Low90 < at.Low50 && at.Low50 < at.Median && at.Median < at.High50 && at.High50 < at.High90) {
			t.Errorf("out of order: %+v", at)
		}
		if i > 0 && (wide <= path[i-1].High90-path[i-1].Low90 || narrow >= wide) {
			t.Errorf("on %s the region is %v and %v wide", at.At, narrow, wide)
		}
	}
	aside := a.SetAside(p)
	if len(aside) != 1 || aside[0] != p.Readings[4].Entry.ID {
		t.Errorf("set aside: %v", aside)
	}
}

// A point that was never read, and one of another register, have no path.
func TestNoPath(t *testing.T) {
	var b book
	b.sheet(alpha())
	b.fit(date("2020-01-01"))
	on := date("2026-03-04")
	r := sootline.Fold(b.entries, on)
	a := judge.Assess(r, on)
	if path := a.Path(r.Points()[0], on.AddDate(1, 0, 0)); path != nil {
		t.Errorf("%+v", path)
	}
	other := sootline.Fold(b.entries, on)
	if path := a.Path(other.Points()[0], on.AddDate(1, 0, 0)); path != nil || a.SetAside(other.Points()[0]) != nil {
		t.Errorf("%+v", path)
	}
}
