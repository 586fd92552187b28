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

// judging measures a whole judgement of 50,000 points of 20 readings, reasons,
// questions and all, on one core and on all, against a straightforward SciPy
// script over the same steps on the same kind of series, without sentences.
// SciPy is timed on fewer series and scaled: its time per series does not depend
// on their number.
func judging(string, string) ([]row, error) {
	const points, readings, peerSeries = 50_000, 20, 300
	on := epoch.AddDate(5, 0, 0)
	r := sootline.Fold(history(points, readings), on)
	one, err := judgeOn(1, r, on, points)
	if err != nil {
		return nil, err
	}
	all, err := judgeOn(runtime.NumCPU(), r, on, points)
	if err != nil {
		return nil, err
	}
	out, err := exec.Command("/usr/bin/python3", "-W", "ignore", "scripts/peer_judging.py", strconv.Itoa(peerSeries), strconv.Itoa(readings)).CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("scripts/peer_judging.py: %w\n%s", err, out)
	}
	each, err := strconv.ParseFloat(strings.TrimSpace(string(bytes.TrimSpace(out))), 64)
	if err != nil {
		return nil, fmt.Errorf("scripts/peer_judging.py printed %q", out)
	}
	peer := each * points
	line := func(what string, wall time.Duration, least float64, claim string) row {
		ratio := peer / wall.Seconds()
		return row{what, seconds(wall), fmt.Sprintf("SciPy script, same steps: %.0f s", peer), fmt.Sprintf("1/%.0f", ratio), claim, ratio >= least}
	}
	return []row{
		line("judge 50,000 points of 20 readings, one core", one, 50, "at least 50 times faster"),
		line(fmt.Sprintf("  the same on %d cores", runtime.NumCPU()), all, 80, "at least 80 times faster"),
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
