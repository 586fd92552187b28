package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func benchReplace(s *session) *cobra.Command {
	var d deviceFlags
	var x app.Replacement
	var show, undo bool
	cmd := &cobra.Command{
		Use: "replace POINT", Short: "Replace a device on site, or move one, with the same card and checks",
		Long: "Replace the device of a point on site: the new one gets the number and the settings of the point,\n" +
			"its first value is judged, and its serial is kept. With --from POINT the device was moved from there,\n" +
			"and is written down as missing there. --card shows the card alone; so does the command without a word of\n" +
			"the new device. --undo takes the last replacement of yours there back, with all that was written with it.",
		Example: "  sootline bench replace 1.2.073 --card\n  sootline bench replace 1.2.073 --serial A1B2 --read 73 --value \"27 28 27\"\n" +
			"  sootline bench replace 1.2.073 --from 1.2.080 --read 73",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := d.read(); err != nil {
				return err
			}
			x.BenchGiven, x.Place = d.given, args[0]
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				switch {
				case undo:
					return s.undoReplacement(cmd, a, site, &x)
				case show:
					return s.replaceCard(cmd, a, site, &x)
				case x.Serial == "" && x.From == "" && x.Read == 0 && len(x.Modes) == 0 && len(x.Samples) == 0 && !x.Sure:
					if err := s.replaceCard(cmd, a, site, &x); err != nil {
						return err
					}
				}
				return s.replace(cmd, a, site, x)
			})
		},
	}
	d.add(cmd)
	f := cmd.Flags()
	f.StringVar(&x.From, "from", "", "the point that the device was moved from")
	f.StringVar(&x.Text, "text", "", "in words")
	f.BoolVar(&undo, "undo", false, "take back the last replacement of yours there, with all that was written with it")
	f.BoolVar(&show, "card", false, "show the card, and write nothing")
	return cmd
}

func (s *session) replaceCard(cmd *cobra.Command, a *app.App, site store.SiteLine, x *app.Replacement) error {
	h, err := a.ReplaceHand(cmd.Context(), site, x.Place, x.From)
	if err != nil {
		return err
	}
	s.printHand(nil, h)
	return nil
}

func (s *session) replace(cmd *cobra.Command, a *app.App, site store.SiteLine, x app.Replacement) error {
	looked, entries, err := a.ReplaceDevice(cmd.Context(), site, x)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "Replaced: %s, number %d, as entry %s.\n", looked.Hand.Place.Name(), looked.Hand.Number, entries[0].ID)
	s.printLooked(&looked)
	return nil
}

func (s *session) undoReplacement(cmd *cobra.Command, a *app.App, site store.SiteLine, x *app.Replacement) error {
	undone, err := a.UndoReplacement(cmd.Context(), site, x.Place)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "Taken back: %s.\n", wrapTo("at "+x.Place+", "+sootline.Say(undone.Body), 2, benchWidth))
	return err
}
