package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
)

func bookHeads(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "heads", Short: "Make anew what the lists of sites show, from the logs",
		Long: "Make anew what the lists of sites show: Today, Due, and the calendar of all sites. They read one\n" +
			"row a site, its head, which `serve` makes anew by itself after each entry and each day. Only a\n" +
			"damage makes this necessary. No log is changed.",
		Example: "  sootline book heads",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.open(cmd.Context(), false, func(a *app.App) error {
				var troubles []error
				sites, err := a.RemakeHeads(cmd.Context(), func(trouble error) { troubles = append(troubles, trouble) })
				s.progress.clear()
				if err != nil {
					return err
				}
				fmt.Fprintf(s.out, "What lists say of %s is made anew.\n", count(sites, "site", "sites"))
				return s.allOf(troubles)
			})
		},
	}
}

// headsMeanwhile makes anew what lists of sites show until the function returns; what is in
// hand then is broken off, and left to others.
func (s *session) headsMeanwhile(ctx context.Context, a *app.App, do func() error) error {
	heads := app.NewHeads(a, func(line string) { fmt.Fprintln(s.err, line) })
	ctx, stop := context.WithCancel(ctx)
	ended := make(chan struct{})
	var broken error
	go func() {
		defer close(ended)
		defer sootline.Caught(&broken)
		heads.Run(ctx)
	}()
	err := do()
	stop()
	<-ended
	return errors.Join(err, broken)
}
