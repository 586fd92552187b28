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
// tenth of it. The two take turns, so that what else the machine does meets both.
func take(folder, binary string) ([]row, error) {
	const points, times = 5000, 3
	schedule, many, few := filepath.Join(folder, "schedule.csv"), filepath.Join(folder, "many.csv"), filepath.Join(folder, "few.csv")
	if err := errors.Join(writeSchedule(schedule, points), writeReadings(many, points, 200), writeReadings(few, points, 20)); err != nil {
		return nil, err
	}
	peer, ours, small := most, most, most
	for i := range times {
		for _, one := range []struct {
			least *usage
			run   func() (usage, error)
		}{
			{&peer, func() (usage, error) { return imported(folder, many, i) }},
			{&ours, func() (usage, error) { return takeIn(folder, binary, schedule, many, i) }},
			{&small, func() (usage, error) { return takeIn(folder, binary, schedule, few, i) }},
		} {
			used, err := one.run()
			if err != nil {
				return nil, err
			}
			*one.least = one.least.least(used)
		}
	}
	info, err := os.Stat(many)
	if err != nil {
		return nil, err
	}
	return takeRows(peer, ours, small, info.Size()), nil
}

func takeRows(peer, ours, small usage, size int64) []row {
	ratio, cpu := ours.wall.Seconds()/peer.wall.Seconds(), ours.cpu.Seconds()/peer.cpu.Seconds()
	growth := float64(ours.rss) / float64(small.rss)
	return []row{
		{fmt.Sprintf("take 1,000,000 readings, CSV of %d MB", size/1e6), seconds(ours.wall), "sqlite3 shell's .import: " + seconds(peer.wall), fmt.Sprintf("%.2f", ratio), "at most 3", ratio <= 3},
		{"  its CPU time, all cores", seconds(ours.cpu), "the same: " + seconds(peer.cpu), fmt.Sprintf("%.2f", cpu), "shown, not claimed", true},
		{"  its peak memory", fmt.Sprintf("%d MB", ours.rss>>20), fmt.Sprintf("100,000 readings: %d MB", small.rss>>20), fmt.Sprintf("%.2f", growth), "flat: at most 1.5", growth <= 1.5},
	}
}

// imported has the sqlite3 shell put a listing into a table of a fresh file.
func imported(folder, readings string, i int) (usage, error) {
	book := filepath.Join(folder, fmt.Sprintf("plain-%d.db", i))
	used, err := use(exec.Command("sqlite3", book, "-cmd", ".mode csv", "CREATE TABLE r(point TEXT, date TEXT, value TEXT, by TEXT)", ".import --skip 1 "+readings+" r"))
	if err != nil {
		return used, fmt.Errorf("sqlite3: %w", err)
	}
	return used, nil
}

// takeIn takes the readings into a fresh book.
func takeIn(folder, binary, schedule, readings string, i int) (usage, error) {
	book := filepath.Join(folder, fmt.Sprintf("%s-%d.db", filepath.Base(readings), i))
	for _, args := range [][]string{{"site", "add", "Works"}, {"take", schedule, "--yes"}} {
		if out, err := exec.Command(binary, append([]string{"--book", book}, args...)...).CombinedOutput(); err != nil {
			return usage{}, fmt.Errorf("%s %v (make build makes the program): %w\n%s", binary, args, err, out)
		}
	}
	return use(exec.Command(binary, "--book", book, "take", readings, "--yes"))
}

// usage is what a command took.
type usage struct {
	wall time.Duration
	cpu  time.Duration // of the program and of the system on its behalf
	rss  int64         // bytes
}

// most is more than any command takes.
var most = usage{time.Hour, time.Hour, 1 << 60}

// least gives the smaller of each.
func (u usage) least(v usage) usage {
	return usage{min(u.wall, v.wall), min(u.cpu, v.cpu), min(u.rss, v.rss)}
}

// best runs commands and gives the least that one took, of time and of memory.
func best(n int, command func(i int) *exec.Cmd) (usage, error) {
	least := most
	for i := range n {
		used, err := use(command(i))
		if err != nil {
			return usage{}, err
		}
		least = least.least(used)
	}
	return least, nil
}

func use(cmd *exec.Cmd) (usage, error) {
	start := time.Now()
	if out, err := cmd.CombinedOutput(); err != nil {
		return usage{}, fmt.Errorf("%v: %w\n%s", cmd.Args, err, out)
	}
	used := usage{wall: time.Since(start), cpu: cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), rss: most.rss}
	if more, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
		used.rss = more.Maxrss << 10
	}
	return used, nil
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
