// Command judgescore plays a judge of detectors on the worlds of internal/worlds/levels, which know the truth
// of every site that they draw, and prints what came of it. The same flags give the same figures.
//
//	go run ./cmd/judgescore                       the tool's own judge, five sites of each scenario
//	go run ./cmd/judgescore -world ducts -scenario lumps -first 1001 -seeds 20
//	go run ./cmd/judgescore -judge leastsquares   a peer
//	go run ./cmd/judgescore -nights 365           what it gains by nightly values
//	go run ./cmd/judgescore -write                everybody, as published in docs/methods/score-levels.md
//
// Seeds below 101 are those that are published; whoever changes the judge looks at others.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"runtime"
	"time"

	"sootline/internal/worlds/levels"
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "judgescore:", err)
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	flags := flag.NewFlagSet("judgescore", flag.ContinueOnError)
	worldName := flags.String("world", "", "one world; empty: all of them")
	scenario := flags.String("scenario", "", "one scenario; empty: all of the world")
	write := flags.Bool("write", false, fmt.Sprintf("have everybody judge seeds %d to %d of all worlds, and write %s", publishedFirst, publishedFirst+publishedSeeds-1, pagePath))
	nightly := flags.Int("nights", 0, "what the tool's own judge gains by values of so many nights before it judges")
	judgeName := flags.String("judge", oursName, "who judges: "+judgeNames())
	draw := levels.Draw{}
	flags.Uint64Var(&draw.First, "first", 1, "first seed")
	flags.IntVar(&draw.Seeds, "seeds", 5, "sites of each scenario")
	flags.IntVar(&draw.Parallel, "parallel", runtime.NumCPU(), "sites at a time")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil
		}
		return err
	}
	if draw.Seeds < 1 {
		return fmt.Errorf("-seeds is from 1, found %d", draw.Seeds)
	}
	if *write {
		return publish(draw.Parallel, out)
	}
	chosen, err := worldsNamed(*worldName, *scenario)
	if err != nil {
		return err
	}
	answer, err := judgeNamed(*judgeName)
	if err != nil {
		return err
	}
	if *scenario != "" {
		draw.Scenarios = []string{*scenario}
	}
	if *nightly > 0 {
		tellGains(out, gainsOfNights(chosen, draw, *nightly))
		return nil
	}
	for _, w := range chosen {
		fmt.Fprintf(out, "Judge %s, seeds %d to %d\n", *judgeName, draw.First, draw.First+uint64(draw.Seeds)-1)
		if err := levels.Report(out, w.Name(), levels.Play(w, draw, answer)); err != nil {
			return err
		}
		fmt.Fprintln(out)
	}
	return nil
}

// publish plays all and writes the page.
func publish(parallel int, progress io.Writer) error {
	path, err := inProject(pagePath)
	if err != nil {
		return err
	}
	for _, j := range judges() {
		if err := j.canAnswer(); err != nil {
			return err
		}
	}
	draw := levels.Draw{First: publishedFirst, Seeds: publishedSeeds, Parallel: parallel}
	text := page(playAll(draw, progress), foresee(draw), draw, time.Now()) + nightsPage(gainsOfNights(worlds(), draw, publishedNights))
	return os.WriteFile(path, []byte(text), 0o644)
}
