package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func logSettle(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "settle ENTRY", Short: "Of what was changed in two places, let hold what ENTRY says",
		Long: "Two people may change the same apart from each other: on a laptop and in the office. When their\n" +
			"books have exchanged, `sootline check` tells of it with both values, and the later one holds\n" +
			"meanwhile. This writes an entry that replaces all of them, with what ENTRY says.",
		Example: "  sootline log settle 01890a5d-ac96-774b-bcce-b302099a8057 --site Works",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := entryID(args[0])
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				written, err := a.Settle(cmd.Context(), site.ID, app.Settling{Entry: id})
				if err != nil {
					return err
				}
				for i := range written {
					e := &written[i]
					fmt.Fprintf(s.out, "Settled: %s, by entry %s, which replaces %d entries.\n", sootline.Say(e.Body), e.ID, len(e.Replaces))
				}
				return nil
			})
		},
	}
}
