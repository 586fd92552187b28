package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline/internal/app"
	"sootline/internal/store"
)

func benchReplace(s *session) *cobra.Command {
	var d deviceFlags
	var x app.Replacement
	var show bool
	cmd := &cobra.Command{
		Use: "replace POINT", Short: "Replace a device on site, or move one, with the same card and checks",
		Long: "Replace the device of a point on site: the new one gets the number and the settings of the point,\n" +
			"its first value is judged, and its serial is kept. With --from POINT the device was moved from there,\n" +
			"and is written down as missing there. --card shows the card alone.",
		Example: "  sootline bench replace 1.2.073 --card\n  sootline bench replace 1.2.073 --serial A1B2 --read 73 --value \"27 28 27\"\n" +
			"  sootline bench replace 1.2.073 --from 1.2.080 --read 73",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := d.read(); err != nil {
				return err
			}
			x.BenchGiven, x.Place = d.given, args[0]
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if show {
					h, err := a.ReplaceHand(cmd.Context(), site, x.Place)
					if err != nil {
						return err
					}
					s.printHand(nil, h)
					return nil
				}
				looked, entries, err := a.ReplaceDevice(cmd.Context(), site, x)
				if err != nil {
					return err
				}
				fmt.Fprintf(s.out, "Replaced: %s, number %d, as entry %s.\n", looked.Hand.Place.Name(), looked.Hand.Number, entries[0].ID)
				s.printWritten(&looked)
				return nil
			})
		},
	}
	d.add(cmd)
	f := cmd.Flags()
	f.StringVar(&x.From, "from", "", "the point that the device was moved from")
	f.StringVar(&x.Text, "text", "", "in words")
	f.BoolVar(&show, "card", false, "show the card, and write nothing")
	return cmd
}
