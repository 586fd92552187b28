package main

import (
	"bytes"
	"fmt"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/judge"
)

// judging measures a whole judgement of 50,000 points of 20 readings on one
// core, against SciPy's theilslopes and kendalltau alone on the same kind of
// series. SciPy is timed on fewer series and scaled: its time per series does
// not depend on their number.
func judging(string, string) ([]row, error) {
	const points, readings, peerSeries = 50_000, 20, 1000
	runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(runtime.NumCPU())
	on := epoch.AddDate(5, 0, 0)
	r := sootline.Fold(history(points, readings), on)
	wall := time.Hour
	for range 3 {
		start := time.Now()
		if n := len(judge.Site(r, on)); n != points {
			return nil, fmt.Errorf("%d points judged, want %d", n, points)
		}
		wall = min(wall, time.Since(start))
	}
	out, err := exec.Command("/usr/bin/python3", "scripts/peer_judging.py", strconv.Itoa(peerSeries), strconv.Itoa(readings)).CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("scripts/peer_judging.py: %w\n%s", err, out)
	}
	each, err := strconv.ParseFloat(strings.TrimSpace(string(bytes.TrimSpace(out))), 64)
	if err != nil {
		return nil, fmt.Errorf("scripts/peer_judging.py printed %q", out)
	}
	peer := each * points
	ratio := peer / wall.Seconds()
	return []row{{
		"judge 50,000 points of 20 readings, one core", seconds(wall),
		fmt.Sprintf("SciPy, 2 of its steps: %.1f s", peer), fmt.Sprintf("1/%.0f", ratio), "at least 50 times faster", ratio >= 50,
	}}, nil
}
