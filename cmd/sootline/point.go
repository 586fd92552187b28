package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

func pointCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use: "point", Short: "Add a device by hand, move it, say anew where it is, or remove it",
		Long: "Add a device by hand, move it to another loop or number, say anew where it is, or say that it\n" +
			"is no more. For many at once, take in a schedule with `sootline take`.",
		Example: "  sootline point add 1.1.014 --type Larch --location \"Landing 2\"\n  sootline point move 1.1.014 --to 1.2.003",
	}
	cmd.AddCommand(pointAdd(s), pointMove(s), pointPlace(s), pointRemove(s))
	return cmd
}

// placing opens the site, does what changes places, and tells how each of its entries is taken back.
func (s *session) placing(cmd *cobra.Command, do func(*app.App, *sootline.Register) ([]sootline.Entry, error)) error {
	return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
		r, err := a.Register(cmd.Context(), site.ID, time.Time{})
		if err != nil {
			return err
		}
		entries, err := do(a, r)
		if err != nil {
			return err
		}
		after, err := a.Register(cmd.Context(), site.ID, time.Time{})
		if err != nil {
			return err
		}
		for i := range entries {
			e := &entries[i]
			ref := ""
			if p := after.Point(e.Point); p != nil {
				ref = p.Ref().String()
			}
			fmt.Fprintf(s.out, "%s: %s, as entry %s\n", ref, sootline.Say(e.Body), e.ID)
		}
		_, err = fmt.Fprintln(s.out, "Each is taken back by `sootline log withdraw ENTRY`.")
		return err
	})
}

func pointAdd(s *session) *cobra.Command {
	var in app.NewPoint
	var loop, at string
	cmd := &cobra.Command{
		Use: "add [NUMBER]", Short: "Add a device at a place of its own",
		Long: "Add a device at a place of its own. The number is written whole, as 1.2.099, or alone with\n" +
			"--loop; without it, the device has none yet. A type that nobody knows and a number that its\n" +
			"loop does not have, or that another device has, are asked about.",
		Example: "  sootline point add 1.1.014 --type Larch --location \"Landing 2\" --area Stairs --zone 3\n  sootline point add --loop 1.1 --type Larch --location \"Landing 2\"",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.placing(cmd, func(a *app.App, r *sootline.Register) ([]sootline.Entry, error) {
				id, number, err := app.NumberTyped(r, first(args), loop, "")
				if err != nil {
					return nil, err
				}
				in.Panel, in.Loop, in.Number = id.Panel, id.Name, number
				zone, err := app.Zone(r.Site.Zone)
				if err != nil {
					return nil, err
				}
				since, err := (&sayFlags{at: at}).when(zone)
				if err != nil {
					return nil, err
				}
				in.At, in.Day = since.At, since.Day
				return a.AddPoint(cmd.Context(), r.Site.ID, in)
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&loop, "loop", "", "the loop, for example 1.2, where the number does not say it")
	f.StringVar(&in.Type, "type", "", "as the schedule or the device has it")
	f.StringVar(&in.Serial, "serial", "", "its serial number")
	whereFlags(cmd, &in.Location, &in.Area, &in.Zone, &in.Floor)
	f.StringVar(&at, "at", "", "since when it is there, as 2026-01-15 or 2026-01-15T09:30, on the site's clock (default now)")
	f.BoolVar(&in.Sure, "sure", false, sureHelp)
	cobra.CheckErr(cmd.MarkFlagRequired("type"))
	return cmd
}

func first(args []string) string {
	if len(args) == 0 {
		return ""
	}
	return args[0]
}

func whereFlags(cmd *cobra.Command, location, area, zone, floor *string) {
	f := cmd.Flags()
	f.StringVar(location, "location", "", "where it is, in words")
	f.StringVar(area, "area", "", "the schedule's word for the area")
	f.StringVar(zone, "zone", "", "the zone that the panel shows for it")
	f.StringVar(floor, "floor", "", "the floor")
}

func pointMove(s *session) *cobra.Command {
	var move app.PointMove
	var to, loop string
	cmd := &cobra.Command{
		Use: "move POINT", Short: "Move a point to another loop, or to another number that was set on it",
		Long: "Move a point to another loop, to another number that was set on its device, or both, in one act.\n" +
			"Its turn along the cable and the cable before it do not go with it to another loop. A number\n" +
			"that another device has is asked about. Its history goes with it.",
		Example: "  sootline point move 1.1.014 --to 1.2.003\n  sootline point move 1.1.014 --loop 1.2",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.placing(cmd, func(a *app.App, r *sootline.Register) ([]sootline.Entry, error) {
				p, err := app.PointNamed(r, args[0])
				if err != nil {
					return nil, err
				}
				move.Point = p.ID
				if move.Loop, move.Number, err = app.NumberTyped(r, to, loop, ""); err != nil {
					return nil, err
				}
				return a.MovePoint(cmd.Context(), r.Site.ID, move)
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&to, "to", "", "the number that was set on it, whole as 1.2.099, or alone with --loop")
	f.StringVar(&loop, "loop", "", "the loop that it goes to, for example 1.2")
	f.BoolVar(&move.Sure, "sure", false, sureHelp)
	return cmd
}

func pointPlace(s *session) *cobra.Command {
	var location, area, zone, floor string
	cmd := &cobra.Command{
		Use: "place POINT...", Short: "Say anew where points are",
		Long: "Say anew where points are: what is said is written for each, all or none; what is not said stays.\n" +
			"Empty words, as --zone \"\", take away what was known.",
		Example: "  sootline point place 1.1.014 --location \"Landing 2, by the lift\"\n  sootline point place 1.1.014 1.1.015 --area Stairs --zone 3",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			said := func(name string, text *string) *string {
				if cmd.Flags().Changed(name) {
					return text
				}
				return nil
			}
			change := app.PlaceChange{Location: said("location", &location), Area: said("area", &area), Zone: said("zone", &zone), Floor: said("floor", &floor)}
			return s.placing(cmd, func(a *app.App, r *sootline.Register) ([]sootline.Entry, error) {
				points, err := app.PointsNamed(r, args)
				if err != nil {
					return nil, err
				}
				return a.DescribePoints(cmd.Context(), r.Site.ID, points, change)
			})
		},
	}
	whereFlags(cmd, &location, &area, &zone, &floor)
	return cmd
}

func pointRemove(s *session) *cobra.Command {
	var why string
	cmd := &cobra.Command{
		Use: "remove POINT...", Short: "Say that points are no more; their history stays",
		Long:    "Say that points are no more, all or none. Their history stays in the log, and their numbers are free.",
		Example: "  sootline point remove 1.1.014 --why \"the store room is gone\"",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.placing(cmd, func(a *app.App, r *sootline.Register) ([]sootline.Entry, error) {
				points, err := app.PointsNamed(r, args)
				if err != nil {
					return nil, err
				}
				return a.RemovePoints(cmd.Context(), r.Site.ID, points, why)
			})
		},
	}
	cmd.Flags().StringVar(&why, "why", "", "why, in words")
	return cmd
}
