package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func listenAgain(s *session) *cobra.Command {
	var keep bool
	cmd := &cobra.Command{
		Use:   "again NAME",
		Short: "Read again what was heard, after its lines were taught anew",
		Long: "Read again what was kept of a source, by how its lines are read now, and show what that changes. With\n" +
			"--keep, lines that were not understood before are written, and a correction is added to each entry\n" +
			"that says something else now. What somebody amended stays as it is, and nothing is taken away.",
		Example: "  sootline listen again printer\n  sootline listen again printer --keep",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				found, err := a.ReadAgain(cmd.Context(), site, args[0], keep)
				if err != nil {
					return err
				}
				return s.printAgain(found, keep)
			})
		},
	}
	cmd.Flags().BoolVar(&keep, "keep", false, "write it")
	return cmd
}

func (s *session) printAgain(found *app.ReadAgain, keep bool) error {
	for _, e := range found.Corrected {
		fmt.Fprintf(s.out, "%s\n  now: %s\n", oneLine(sootline.Say(e.Body)), oneLine(found.Says[e.ID]))
	}
	for _, e := range found.New {
		fmt.Fprintf(s.out, "not written before: %s\n", oneLine(sootline.Say(e.Body)))
	}
	fmt.Fprintf(s.out, "%s read again: %s as before, %d corrected, %d new, %d left as somebody amended them\n",
		count(found.Lines, "line", "lines"), count(found.Same, "entry", "entries"), len(found.Corrected), len(found.New), found.Left)
	if keep || len(found.Corrected)+len(found.New) == 0 {
		return nil
	}
	_, err := fmt.Fprintln(s.out, "Nothing is written yet. Where all is as it should be, say the same with --keep.")
	return err
}
