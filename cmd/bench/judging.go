package main

import (
	"fmt"
	"runtime"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// judging measures a whole judgement, reasons, questions and all, of points of 20 readings each, on one core and on
// all. No other program is known that takes the same steps: the peer is itself, on a tenth of the points and on one
// core, and what is claimed is that the time grows no faster than the points do.
func judging(string, string) ([]row, error) {
	const points, few, readings = 50_000, 5_000, 20
	on := epoch.AddDate(5, 0, 0)
	r := sootline.Fold(history(points, readings), on)
	tenth, err := judgeOn(1, sootline.Fold(history(few, readings), on), on, few)
	if err != nil {
		return nil, err
	}
	one, err := judgeOn(1, r, on, points)
	if err != nil {
		return nil, err
	}
	all, err := judgeOn(runtime.NumCPU(), r, on, points)
	if err != nil {
		return nil, err
	}
	times := one.Seconds() / tenth.Seconds()
	gain := one.Seconds() / all.Seconds()
	return []row{
		{"judge 50,000 points of 20 readings, one core", seconds(one), "itself, 5,000 points: " + seconds(tenth), fmt.Sprintf("%.1f", times), "at most 12 times as long", times <= 12},
		{fmt.Sprintf("  the same on %d cores", runtime.NumCPU()), seconds(all), "itself, one core: " + seconds(one), fmt.Sprintf("1/%.1f", gain), "no slower", gain >= 1},
	}, nil
}

// judgeOn judges a register on so many cores, and gives the best of three.
func judgeOn(cores int, r *sootline.Register, on time.Time, points int) (time.Duration, error) {
	runtime.GOMAXPROCS(cores)
	defer runtime.GOMAXPROCS(runtime.NumCPU())
	wall := time.Hour
	for range 3 {
		start := time.Now()
		if n := len(judge.Assess(r, on).Judgements); n != points {
			return 0, fmt.Errorf("%d points judged, want %d", n, points)
		}
		wall = min(wall, time.Since(start))
	}
	return wall, nil
}
