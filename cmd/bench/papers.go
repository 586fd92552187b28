package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// The goals for papers, as the issue states them.
const (
	packPoints, labelPoints  = 500, 10_000
	packSeconds, packPeak    = 2.0, 200e6
	labelSeconds, packFaster = 5.0, 3.0
)

// papers measures a handover pack of a site with so many points against Chromium,
// which prints the same content from the HTML that this program wrote, and a pile
// of labels. Both runs are whole processes, from the book to the file.
func papers(folder, binary string) ([]row, error) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		return nil, fmt.Errorf("first: apt-get install chromium: %w", err)
	}
	small, err := paperBook(folder, binary, "pack", packPoints)
	if err != nil {
		return nil, err
	}
	html := filepath.Join(folder, "pack.html")
	if out, err := small("paper", "pack", "-o", html).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w\n%s", err, out)
	}
	ours, err := best(3, func(int) *exec.Cmd { return small("paper", "pack", "-o", filepath.Join(folder, "pack.pdf")) })
	if err != nil {
		return nil, err
	}
	peer, err := best(3, func(i int) *exec.Cmd {
		return exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", "--user-data-dir="+filepath.Join(folder, fmt.Sprint("browser", i)),
			"--print-to-pdf="+filepath.Join(folder, "peer.pdf"), "file://"+html)
	})
	if err != nil {
		return nil, err
	}
	large, err := paperBook(folder, binary, "labels", labelPoints)
	if err != nil {
		return nil, err
	}
	labels, err := best(2, func(int) *exec.Cmd { return large("paper", "labels", "-o", filepath.Join(folder, "labels.pdf")) })
	if err != nil {
		return nil, err
	}
	ratio := peer.wall.Seconds() / ours.wall.Seconds()
	return []row{
		{
			fmt.Sprintf("handover pack of %d points as PDF", packPoints), fmt.Sprintf("%s, %.0f MB", seconds(ours.wall), float64(ours.rss)/1e6), "Chromium from HTML: " + seconds(peer.wall),
			fmt.Sprintf("%.1fx faster", ratio), fmt.Sprintf("<= %v s, <= %.0f MB, >= %vx", packSeconds, packPeak/1e6, packFaster),
			ours.wall.Seconds() <= packSeconds && float64(ours.rss) <= packPeak && ratio >= packFaster,
		},
		{
			fmt.Sprintf("%d labels as PDF", labelPoints), seconds(labels.wall), "-", "-", fmt.Sprintf("< %v s", labelSeconds),
			labels.wall.Seconds() < labelSeconds,
		},
	}, nil
}

// paperBook makes a book with a site of so many points, each read three times, and
// gives what runs the program on it.
func paperBook(folder, binary, name string, points int) (func(args ...string) *exec.Cmd, error) {
	var schedule, readings strings.Builder
	schedule.WriteString("panel,loop,address,type,area,location,fitted on\n")
	readings.WriteString("point,2024-02-06,2025-02-04,2025-12-10\n")
	for i := range points {
		loop, number := i/100+1, i%100+1
		fmt.Fprintf(&schedule, "1,%d,%d,Larch,Area %d,Floor %d room %d,2021-01-10\n", loop, number, i/20, i/100, i)
		fmt.Fprintf(&readings, "1.%d.%03d,%d,%d,%d\n", loop, number, 22+i%9, 23+i%11, 24+i%17)
	}
	files := []string{filepath.Join(folder, name+"-types.csv"), filepath.Join(folder, name+"-schedule.csv"), filepath.Join(folder, name+"-readings.csv")}
	for i, content := range []string{"name,kind,low,high,standby mA,alarm mA,least volts\nLarch,optical smoke,20,40,0.3,2,17\n", schedule.String(), readings.String()} {
		if err := os.WriteFile(files[i], []byte(content), 0o600); err != nil {
			return nil, err
		}
	}
	run := func(args ...string) *exec.Cmd {
		cmd := exec.Command(binary, append([]string{"--book", filepath.Join(folder, name+".db")}, args...)...)
		cmd.Env = append(os.Environ(), "XDG_DATA_HOME="+folder, "SOOTLINE_NOW="+time.Date(2026, 1, 20, 10, 0, 0, 0, time.UTC).Format(time.RFC3339))
		return cmd
	}
	for _, args := range [][]string{{"site", "add", "Works", "--loop", "1"}, append([]string{"take", "--yes"}, files...)} {
		if out, err := run(args...).CombinedOutput(); err != nil {
			return nil, fmt.Errorf("%v: %w\n%s", args, err, out)
		}
	}
	return run, nil
}
