package attack

import (
	"fmt"
	"os"
	"strconv"
	"strings"
)

// Times say something of the program only where the processors were its own. What others took of them while a crowd was at
// work is counted (proc_stat(5), proc_pid_stat(5)), and where it was more than a tenth, times are told and not judged.
const othersMayTake = 0.10

// spent is what was spent of the processors so far, in ticks: by all, by idling, and by the server and the crowd.
type spent struct{ all, idle, ours float64 }

func (c *crowd) spent() (spent, bool) {
	text, err := os.ReadFile("/proc/stat")
	fields := strings.Fields(strings.SplitN(string(text), "\n", 2)[0])
	if err != nil || len(fields) < 9 {
		return spent{}, false
	}
	var s spent
	for i, f := range fields[1:9] { // guest time is in user time already
		n, _ := strconv.ParseFloat(f, 64)
		s.all += n
		if i == 3 || i == 4 { // idle, iowait
			s.idle += n
		}
	}
	for _, pid := range []int{os.Getpid(), c.cmd.Process.Pid} {
		text, _ := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
		_, rest, _ := strings.Cut(string(text), ") ")
		if f := strings.Fields(rest); len(f) > 12 {
			user, _ := strconv.ParseFloat(f[11], 64)
			system, _ := strconv.ParseFloat(f[12], 64)
			s.ours += user + system
		}
	}
	return s, true
}

// others is the share of the processors that neither idled nor worked for the test since before.
func (c *crowd) others(before spent) float64 {
	now, ok := c.spent()
	if all := now.all - before.all; ok && all > 0 {
		return max(0, (all-(now.idle-before.idle)-(now.ours-before.ours))/all)
	}
	return 0
}
