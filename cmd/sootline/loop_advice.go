package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func loopAdvise(s *session) *cobra.Command {
	var typ string
	cmd := &cobra.Command{
		Use: "advise LOOP", Short: "Say how much more a loop can carry, and what would help most",
		Long: "Say how much longer the cable may be, which cross-section would do, where one more isolator\n" +
			"helps most, and, with --type, how many more of a device fit and where: each with its reason.",
		Example: "  sootline loop advise 1.2 --type Sounder",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			loop, err := parseLoop(args[0])
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				advice, err := a.AdviseLoop(cmd.Context(), site.ID, now(), sootline.LoopID{Panel: loop.Panel, Name: loop.Loop}, typ)
				if err != nil {
					return err
				}
				for _, sentence := range advice.Sentences {
					fmt.Fprintf(s.out, "- %s\n", wrap(sentence, 2))
				}
				_, err = fmt.Fprintf(s.out, "\n%s\n", wrap(app.CircuitCaution, 0))
				return err
			})
		},
	}
	cmd.Flags().StringVar(&typ, "type", "", "the type of device of which more are wanted")
	return cmd
}

func loopShort(s *session) *cobra.Command {
	var reading app.LoopReading
	cmd := &cobra.Command{
		Use: "short LOOP", Short: "Find where a short lies, from the resistance measured at each end",
		Long: "Find where a short between the two cores lies, from the resistance across the pair measured at\n" +
			"each end of the loop, with the panel disconnected, the devices out, the isolators bridged and\n" +
			"the other end open. The resistance of the short itself cancels out.",
		Example: "  sootline loop short 1.2 --out-ohms 6.4 --in-ohms 11.2 --meter 0.1",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			loop, err := parseLoop(args[0])
			if err != nil {
				return err
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				found, err := a.FindShort(cmd.Context(), site.ID, sootline.LoopID{Panel: loop.Panel, Name: loop.Loop}, reading)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%s\n\n%s\n", wrap(found.Sentence, 0), wrap(app.CircuitCaution, 0))
				return err
			})
		},
	}
	f := cmd.Flags()
	f.Float64Var(&reading.FromOut, "out-ohms", 0, "ohms across the pair at the OUT end (needed)")
	f.Float64Var(&reading.FromIn, "in-ohms", 0, "ohms across the pair at the IN end (needed)")
	f.Float64Var(&reading.EndToEnd, "end-to-end", 0, "ohms of both cores in series from end to end, when the loop was sound")
	f.Float64Var(&reading.Meter, "meter", 0.1, "largest error of one reading, test leads included")
	cmd.MarkFlagRequired("out-ohms") //nolint:errcheck // the flag is there
	cmd.MarkFlagRequired("in-ohms")  //nolint:errcheck // the flag is there
	return cmd
}
