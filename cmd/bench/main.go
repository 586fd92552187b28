// Command bench measures what this project claims about speed, beside a named
// peer and in one run, and prints one table. `make bench` runs it. It fails when
// a claim does not hold. Names after it (take, start, web, fold, judge, circuit, round, papers, index, pages,
// commits, heads) choose some.
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// row is one line of the table.
type row struct {
	what, ours, peer, ratio, claim string
	holds                          bool
}

func main() {
	if err := bench(); err != nil {
		fmt.Fprintln(os.Stderr, "error:", err)
		os.Exit(1)
	}
}

func bench() error {
	folder, err := os.MkdirTemp("", "sootline-bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	binary, err := filepath.Abs("build/sootline")
	if err != nil {
		return err
	}
	var rows []row
	// Processes are measured first: a child's peak memory counts what its parent
	// held when it was started.
	for _, m := range []struct {
		name    string
		measure func(folder, binary string) ([]row, error)
	}{{"take", take}, {"start", start}, {"web", web}, {"pages", paged}, {"papers", papers}, {"fold", fold}, {"judge", judging}, {"circuit", circuits}, {"round", round}, {"index", indexed}, {"commits", commits}, {"heads", headed}} {
		if len(os.Args) > 1 && !slices.Contains(os.Args[1:], m.name) {
			continue
		}
		more, err := m.measure(folder, binary)
		if err != nil {
			return err
		}
		rows = append(rows, more...)
	}
	return report(rows)
}

func report(rows []row) error {
	line := "%-46s %-20s %-34s %-14s %s\n"
	fmt.Printf(line, "what", "here", "peer, same run", "ratio", "claim")
	failed := 0
	for _, r := range rows {
		verdict := r.claim
		if !r.holds {
			failed++
			verdict += "  DOES NOT HOLD"
		}
		fmt.Printf(line, r.what, r.ours, r.peer, r.ratio, verdict)
	}
	fmt.Println(strings.Repeat("-", 60))
	if failed > 0 {
		return fmt.Errorf("%d of %d claims do not hold on this machine, in this run", failed, len(rows))
	}
	fmt.Printf("%d claims hold\n", len(rows))
	return nil
}
