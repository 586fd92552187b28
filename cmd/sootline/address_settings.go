package main

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func addressSettings(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "settings [LOOP]", Short: "List the settings that are not as wanted, in the order of the walk",
		Long: "List the settings that devices should have and were not found to have, in the order of the walk.\n" +
			"What is wanted stands in the log, by type, zone, area or point: see `address want`. What was found\n" +
			"is noted with `address read` or `address set`.",
		Example: "  sootline address settings 1.2",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.onLoop(cmd, args, func(a *app.App, site store.SiteLine, loop string) error {
				return s.listSettings(cmd.Context(), a, site, loop, asJSON)
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}

func (s *session) listSettings(ctx context.Context, a *app.App, site store.SiteLine, loop string, asJSON bool) error {
	all, err := a.SettingDifferences(ctx, site.ID, loop)
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, shape.OfSettings(all))
	}
	for _, l := range all {
		s.heading(fmt.Sprintf("Loop %s: %s not as wanted", l.Loop.Name, count(len(l.Differences), "setting is", "settings are")))
		var rows [][]string
		for _, d := range l.Differences {
			device := l.Loop.Devices[d.Device]
			found := d.Found
			if found == "" {
				found = "nobody looked"
			}
			rows = append(rows, []string{"[ ]", device.Name, device.Type, d.Wish.Name + "=" + d.Wish.Choice, found, whyWished(d.Wish)})
		}
		if len(rows) > 0 {
			if err := printTable(s.out, []string{"done", "point", "type", "wanted", "found", "because"}, rows); err != nil {
				return err
			}
		}
	}
	return nil
}

// whyWished tells whose wish it is, and why.
func whyWished(w sootline.Wished) string { return sootline.Joined("of its "+w.Whose(), w.Reason) }

func addressWant(s *session) *cobra.Command {
	var w app.WishFor
	var asJSON bool
	cmd := &cobra.Command{
		Use: "want [NAME=CHOICE]...", Short: "Say which settings are wanted, by type, zone, area or point; list what is wanted",
		Long: "Say once which settings are wanted of a type, a zone, an area or a point, and why. The narrower\n" +
			"wins: the point before the area, the area before the zone, the zone before the type; of wishes as\n" +
			"narrow the later. An empty choice, as in blink=, takes the wish back. Without a setting, what is\n" +
			"wanted is listed.",
		Example: "  sootline address want blink=off --area Bedrooms --reason \"guests sleep there\"\n  sootline address want blink= --area Bedrooms\n  sootline address want",
		RunE: func(cmd *cobra.Command, args []string) error {
			settings, err := app.ParseSettings(args)
			if err != nil {
				return err
			}
			w.Settings = settings
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if len(args) == 0 {
					return s.listWishes(cmd.Context(), a, site, asJSON)
				}
				e, err := a.Want(cmd.Context(), site.ID, w)
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "Written down: %s, as entry %s.\n", sootline.Say(e.Body), e.ID)
				return err
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&w.Type, "type", "", "of the points of this type")
	f.StringVar(&w.Zone, "zone", "", "of the points of this zone")
	f.StringVar(&w.Area, "area", "", "of the points of this area")
	f.StringVar(&w.Point, "point", "", "of this point, for example 1.2.073")
	f.StringVar(&w.Reason, "reason", "", "why, in words")
	f.BoolVar(&w.Sure, "sure", false, sureHelp)
	f.BoolVar(&asJSON, "json", false, "print what is wanted as JSON, of the shape in docs/formats/json.md")
	return cmd
}

func (s *session) listWishes(ctx context.Context, a *app.App, site store.SiteLine, asJSON bool) error {
	wishes, err := a.Wishes(ctx, site.ID)
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, shape.OfWishes(wishes))
	}
	if len(wishes) == 0 {
		_, err := fmt.Fprintln(s.out, "No setting is wanted of any type, zone, area or point.")
		return err
	}
	var rows [][]string
	for _, w := range wishes {
		rows = append(rows, []string{w.Of, w.Name + "=" + w.Choice, w.Reason, w.Entry.By})
	}
	return printTable(s.out, []string{"of", "wanted", "because", "by"}, rows)
}

func addressSet(s *session) *cobra.Command {
	return s.deviceCommand("set POINT NUMBER", "Note to which number somebody set a device",
		"Note that somebody wrote a number into a device: by a hand-held setter, by the panel, or by its\n"+
			"switches or dials. It stands at that number from then on. Sootline itself sets nothing.",
		"  sootline address set 1.2.073 73 --how setter\n  sootline address set 1.2.073 73 --found blink=off",
		cobra.ExactArgs(2), func(n *app.DeviceNote, number int) { n.Set = number })
}

func addressRead(s *session) *cobra.Command {
	return s.deviceCommand("read POINT [NUMBER]", "Note which number and settings a device was found to have",
		"Note what was read back from a device: its number, its settings, or both.",
		"  sootline address read 1.2.073 73 --how panel\n  sootline address read 1.2.073 --found blink=off",
		cobra.RangeArgs(1, 2), func(n *app.DeviceNote, number int) { n.Found = number })
}

// deviceCommand makes a command that notes a number at a point, and settings found.
func (s *session) deviceCommand(use, short, long, example string, args cobra.PositionalArgs, say func(*app.DeviceNote, int)) *cobra.Command {
	var n app.DeviceNote
	var how string
	var found []string
	cmd := &cobra.Command{
		Use: use, Short: short, Long: long, Example: example, Args: args,
		RunE: func(cmd *cobra.Command, args []string) error {
			n.Point, n.How = args[0], sootline.Means(how)
			if len(args) == 2 {
				number, err := strconv.Atoi(args[1])
				if err != nil || number < 1 {
					return usageError{fmt.Errorf("%q is not a number from 1", args[1])}
				}
				say(&n, number)
			}
			settings, err := app.ParseSettings(found)
			if err != nil {
				return err
			}
			n.Settings = settings
			return s.noteDevice(cmd.Context(), n)
		},
	}
	cmd.Flags().StringVar(&how, "how", "", "by what: setter, panel or person")
	cmd.Flags().StringArrayVar(&found, "found", nil, "a setting that it was found to have, as blink=off; given again for each")
	cmd.Flags().StringVar(&n.Text, "text", "", "in words")
	cmd.Flags().BoolVar(&n.Sure, "sure", false, sureHelp)
	return cmd
}

func (s *session) noteDevice(ctx context.Context, n app.DeviceNote) error {
	return s.openSite(ctx, func(a *app.App, site store.SiteLine) error {
		entries, err := a.NoteDevice(ctx, site.ID, n)
		if err != nil {
			return err
		}
		r, err := a.Register(ctx, site.ID, time.Time{})
		if err != nil {
			return err
		}
		p := r.Point(entries[0].Point)
		for _, e := range entries {
			fmt.Fprintf(s.out, "Written down at %s: %s.\n", p.Ref(), sootline.Say(e.Body))
		}
		_, err = fmt.Fprintf(s.out, "Its number: %s.\n", p.SayNumbers())
		return err
	})
}
