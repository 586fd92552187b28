package main

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// demoSeed gives the demo that the documentation shows.
const demoSeed = 2026

func demoCommand(s *session) *cobra.Command {
	var folder string
	var seed uint64
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Make the book of an invented site, and show its work list",
		Long: "Make the book of an invented site: six years of visits to some 320 points, with things\n" +
			"that went wrong planted in them (docs/demo.md). Its listings are written as files too, so\n" +
			"that you can take them in yourself. A demo that is there already is made anew.",
		Example: "  sootline demo\n  sootline demo --folder /tmp/demo",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.demo(cmd, folder, seed)
		},
	}
	cmd.Flags().StringVar(&folder, "folder", "demo", "where the book and the listings go")
	cmd.Flags().Uint64Var(&seed, "seed", demoSeed, "another seed makes another site's years")
	return cmd
}

func (s *session) demo(cmd *cobra.Command, folder string, seed uint64) error {
	if s.bookPath == "" {
		s.bookPath = filepath.Join(folder, "demo.db")
		if err := clearDemo(folder); err != nil {
			return err
		}
	}
	until := now().UTC().Truncate(24 * time.Hour)
	return s.open(cmd.Context(), true, func(a *app.App) error {
		d, err := a.MakeDemo(cmd.Context(), folder, seed, until)
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "Made site %s (invented) in book %s, from these listings:\n\n", d.Site, store.NameOf(s.bookPath))
		for _, f := range d.Files {
			fmt.Fprintf(s.out, "  %-24s %s\n", filepath.Base(f.Path), s.wrap(f.Says, 27))
		}
		fmt.Fprintln(s.out)
		s.showOutcome(d.Outcome, "added", false)
		fmt.Fprintln(s.out)
		site, err := a.Site(cmd.Context(), d.Site)
		if err != nil {
			return err
		}
		if err := s.judge(cmd, a, site, nil, judgeFlags{}); err != nil {
			return err
		}
		_, err = fmt.Fprintf(s.out, `
Try next:

  export SOOTLINE_BOOK=%[1]s
  sootline serve
  sootline check
  sootline judge --all
  sootline log --last 10
  sootline site add "Mine"
  sootline take %[2]s/types.csv %[2]s/schedule.xlsx %[2]s/readings-????.csv \
    %[2]s/readings-????.xlsx %[2]s/events.csv --site Mine --dry-run
`, shellWord(s.bookPath), shellWord(folder))
		return err
	})
}

// clearDemo removes the demo's own book, so that it can be made anew; anything
// else in the folder stays.
func clearDemo(folder string) error {
	for _, tail := range []string{"", "-wal", "-shm"} {
		if err := os.Remove(filepath.Join(folder, "demo.db"+tail)); err != nil && !os.IsNotExist(err) {
			return sootline.Errorf(sootline.Unavailable, "name another folder with --folder", "make the demo anew: %w", err)
		}
	}
	return nil
}
