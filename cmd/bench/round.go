package main

import (
	"fmt"
	"runtime"
	"time"

	"sootline"
	"sootline/internal/visit"
)

// round measures choosing and ordering a round of at least sixty stops from
// 2,000 points, each with something to do, in areas of twenty with set-ups and
// with places on a plan; one core, the slowest of ten.
func round(string, string) ([]row, error) {
	const points, least, limit = 2000, 60, 100 * time.Millisecond
	r, wish := busySite(points)
	runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(runtime.NumCPU())
	slowest := time.Duration(0)
	stops := 0
	for range 10 {
		start := time.Now()
		plan := visit.Make(r, wish)
		slowest = max(slowest, time.Since(start))
		if stops = len(plan.Stops); stops < least {
			return nil, fmt.Errorf("a round of %d stops, want at least %d", stops, least)
		}
	}
	return []row{{
		fmt.Sprintf("round of %d from %d points", stops, points), fmt.Sprintf("%.0f ms", 1000*slowest.Seconds()), "", "", "under 100 ms", slowest < limit,
	}}, nil
}

// busySite is a site with work at every point, and a fiftieth of them demanded a test.
func busySite(points int) (*sootline.Register, visit.Wish) {
	entries := []sootline.Entry{}
	add := func(point sootline.ID, body sootline.Body) {
		at := epoch.Add(time.Duration(len(entries)) * time.Millisecond)
		entries = append(entries, sootline.Entry{ID: sootline.DerivedID(at, fmt.Append(nil, len(entries))), At: at, Noted: at, Station: "bench", Point: point, Body: body})
	}
	noise := uint32(1)
	draw := func() float64 {
		noise = noise*1664525 + 1013904223 // Numerical Recipes' quick generator
		return float64(noise>>8) / (1 << 24)
	}
	var service sootline.Service
	for a := range points / 20 {
		service.Areas = append(service.Areas, sootline.ServiceArea{Area: fmt.Sprint("area ", a), Setup: a % 11})
	}
	add(sootline.ID{}, service)
	for p := range points {
		x, y := 60*draw(), 30*draw()
		place := sootline.Place{Panel: "1", Loop: fmt.Sprint(1 + p/120), Order: 1 + p%120, Area: fmt.Sprint("area ", p/20), Floor: fmt.Sprint(p / 400), X: &x, Y: &y}
		id := sootline.DerivedID(sootline.LongAgo, fmt.Append(nil, "point", p))
		add(id, sootline.Fitted{Place: place, Type: "Alpha"})
		add(id, sootline.Addressed{Wanted: 1 + p%120})
	}
	r := sootline.Fold(entries, epoch.AddDate(1, 0, 0))
	wish := visit.Wish{Minutes: 480}
	rule := sootline.ServiceRule{Name: "yearly", Form: sootline.EveryForm, Months: 12}
	for i, p := range r.Points() {
		wish.Findings = append(wish.Findings, visit.Finding{Point: p, Work: []string{visit.Read, visit.Look, visit.Clean}[i%3], Risk: draw() * draw()})
		if i%50 == 0 {
			wish.Obligations = append(wish.Obligations, visit.Obligation{Rule: rule, Work: visit.Test, Points: []*sootline.Point{p}, Need: 1, State: visit.Due})
		}
	}
	return r, wish
}
