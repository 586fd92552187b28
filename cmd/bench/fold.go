package main

import (
	"fmt"
	"runtime"
	"time"

	"sootline"
)

var epoch = time.Date(2020, 1, 6, 9, 0, 0, 0, time.UTC)

// history makes a log of points with readings each, in order of time: steady
// noise about a slow rise, in whole numbers.
func history(points, readings int) []sootline.Entry {
	return historyEvery(91*24*time.Hour, points, readings)
}

// historyEvery is history with so much time from look to look.
func historyEvery(pause time.Duration, points, readings int) []sootline.Entry {
	site := sootline.DerivedID(epoch, []byte("site"))
	low, high := 18.0, 36.0
	sheet := sootline.TypeSheet{Name: "Alpha", Kind: sootline.Smoke, Bands: []sootline.Band{{Low: &low, High: &high}}}
	entries := make([]sootline.Entry, 0, points*(readings+2)+1)
	add := func(at time.Time, point sootline.ID, name string, body sootline.Body) {
		entries = append(entries, sootline.Entry{
			ID: sootline.DerivedID(at, fmt.Append(nil, name, len(entries))), Site: site, At: at, Noted: at, Station: "bench", Point: point, Body: body,
		})
	}
	add(sootline.LongAgo, sootline.ID{}, "sheet", sootline.Sheet{TypeSheet: sheet})
	ids := make([]sootline.ID, points)
	for p := range ids {
		ids[p] = sootline.DerivedID(sootline.LongAgo, fmt.Append(nil, "point", p))
		place := sootline.Place{Panel: "1", Loop: fmt.Sprint(1 + p/120), Area: fmt.Sprint(p / 20)}
		add(sootline.LongAgo, ids[p], "fitted", sootline.Fitted{Place: place, Type: "Alpha"})
		add(sootline.LongAgo, ids[p], "number", sootline.Addressed{Wanted: 1 + p%120})
	}
	noise := uint32(1)
	for v := range readings {
		for p := range ids {
			noise = noise*1664525 + 1013904223 // Numerical Recipes' quick generator
			value := 24 + 0.2*float64(v)*pause.Hours()/(91*24) + float64(noise>>29) - 3.5
			at := epoch.Add(time.Duration(v) * pause).Add(time.Duration(p) * time.Second)
			add(at, ids[p], "read", sootline.Read{Samples: []float64{float64(int(value))}})
		}
	}
	return entries
}

// fold measures entries a second on one core, and the register's memory beside
// that of the entries.
func fold(string, string) ([]row, error) {
	runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(runtime.NumCPU())
	before := heap()
	entries := history(5000, 200)
	size := heap() - before
	asOf := epoch.AddDate(100, 0, 0)
	best := time.Hour
	var r *sootline.Register
	for range 3 {
		r = nil
		runtime.GC()
		start := time.Now()
		r = sootline.Fold(entries, asOf)
		best = min(best, time.Since(start))
	}
	both := heap() - before
	ratio := float64(both) / float64(size)
	rate := float64(len(entries)) / best.Seconds()
	runtime.KeepAlive(r)
	runtime.KeepAlive(entries)
	return []row{
		{"fold, entries a second on one core", fmt.Sprintf("%.2f million", rate/1e6), "", "", "at least 1 million", rate >= 1e6},
		{"memory, entries and register", fmt.Sprintf("%d MB", both>>20), fmt.Sprintf("the entries alone: %d MB", size>>20), fmt.Sprintf("%.2f", ratio), "at most 3", ratio <= 3},
	}, nil
}

func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
