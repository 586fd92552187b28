package main

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"
)

// take measures taking in a CSV of readings of 5,000 points, against the sqlite3
// shell putting the same file into a plain table, and the memory of taking in a
// tenth of it.
func take(folder, binary string) ([]row, error) {
	const points = 5000
	schedule, many, few := filepath.Join(folder, "schedule.csv"), filepath.Join(folder, "many.csv"), filepath.Join(folder, "few.csv")
	if err := errors.Join(writeSchedule(schedule, points), writeReadings(many, points, 200), writeReadings(few, points, 20)); err != nil {
		return nil, err
	}
	peer, err := best(3, func(i int) *exec.Cmd {
		book := filepath.Join(folder, fmt.Sprintf("plain-%d.db", i))
		return exec.Command("sqlite3", book, "-cmd", ".mode csv", "CREATE TABLE r(point TEXT, date TEXT, value TEXT, by TEXT)", ".import --skip 1 "+many+" r")
	})
	if err != nil {
		return nil, fmt.Errorf("sqlite3: %w", err)
	}
	ours, err := takeIn(folder, binary, schedule, many, "many")
	if err != nil {
		return nil, err
	}
	small, err := takeIn(folder, binary, schedule, few, "few")
	if err != nil {
		return nil, err
	}
	ratio := ours.wall.Seconds() / peer.wall.Seconds()
	growth := float64(ours.rss) / float64(small.rss)
	return []row{
		{"take 1,000,000 readings into the book", seconds(ours.wall), "sqlite3 .import: " + seconds(peer.wall), fmt.Sprintf("%.2f", ratio), "at most 3", ratio <= 3},
		{"  its peak memory", fmt.Sprintf("%d MB", ours.rss>>20), fmt.Sprintf("100,000 readings: %d MB", small.rss>>20), fmt.Sprintf("%.2f", growth), "flat: at most 1.5", growth <= 1.5},
	}, nil
}

// usage is what a command took.
type usage struct {
	wall time.Duration
	rss  int64 // bytes
}

// takeIn takes the readings into fresh books and gives the best of three.
func takeIn(folder, binary, schedule, readings, name string) (usage, error) {
	const times = 3
	book := func(i int) string { return filepath.Join(folder, fmt.Sprintf("%s-%d.db", name, i)) }
	for i := range times {
		for _, args := range [][]string{{"site", "add", "Works"}, {"take", schedule, "--yes"}} {
			if out, err := exec.Command(binary, append([]string{"--book", book(i)}, args...)...).CombinedOutput(); err != nil {
				return usage{}, fmt.Errorf("%s %v (make build makes the program): %w\n%s", binary, args, err, out)
			}
		}
	}
	return best(times, func(i int) *exec.Cmd { return exec.Command(binary, "--book", book(i), "take", readings, "--yes") })
}

// best runs commands and gives the shortest time and the least memory.
func best(n int, command func(i int) *exec.Cmd) (usage, error) {
	least := usage{wall: time.Hour, rss: 1 << 60}
	for i := range n {
		cmd := command(i)
		start := time.Now()
		if out, err := cmd.CombinedOutput(); err != nil {
			return usage{}, fmt.Errorf("%v: %w\n%s", cmd.Args, err, out)
		}
		least.wall = min(least.wall, time.Since(start))
		if used, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
			least.rss = min(least.rss, used.Maxrss<<10)
		}
	}
	return least, nil
}

func seconds(d time.Duration) string { return fmt.Sprintf("%.2f s", d.Seconds()) }

func writeSchedule(path string, points int) error {
	return write(path, func(w *bufio.Writer) {
		fmt.Fprintln(w, "loop,address,type,location")
		for p := range points {
			fmt.Fprintf(w, "%d,%d,Alpha,Room %d\n", 1+p/125, 1+p%125, p)
		}
	})
}

func writeReadings(path string, points, visits int) error {
	return write(path, func(w *bufio.Writer) {
		fmt.Fprintln(w, "point,date,value,by")
		for v := range visits {
			day := epoch.AddDate(0, 0, 11*v)
			for p := range points {
				fmt.Fprintf(w, "1.%d.%03d,%s %02d:%02d,%d,A. Tech\n", 1+p/125, 1+p%125, day.Format(time.DateOnly), 8+p/600, p/10%60, 20+(p*7+v*3)%12)
			}
		}
	})
}

func write(path string, fill func(*bufio.Writer)) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	fill(w)
	return errors.Join(w.Flush(), f.Close())
}
