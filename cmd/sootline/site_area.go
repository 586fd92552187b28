package main

import (
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func siteArea(s *session) *cobra.Command {
	var area sootline.AreaFacts
	var asJSON bool
	cmd := &cobra.Command{
		Use: "area [NAME]", Short: "Say how large an area is and on which floor it lies, or list what is known",
		Long: "Say how large an area is and on which floor it lies, so that `loop` can count what a fault\n" +
			"takes of floors and square metres. The name is the schedule's word for the area. A later word\n" +
			"replaces an earlier one whole. The square metres are shared evenly among the detectors of the\n" +
			"area. Without NAME, list what is known.",
		Example: "  sootline site area \"North wing\" --floor 1 --m2 640",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				if len(args) == 1 {
					area.Area = args[0]
					if err := a.SetArea(cmd.Context(), site.ID, area); err != nil {
						return err
					}
				}
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				known := shape.OfAreas(r)
				if asJSON {
					return printJSON(s.out, known)
				}
				return s.printAreas(known)
			})
		},
	}
	cmd.Flags().StringVar(&area.Floor, "floor", "", "the floor that it lies on")
	cmd.Flags().Float64Var(&area.M2, "m2", 0, "square metres that its detectors protect together")
	addJSON(cmd, &asJSON)
	return cmd
}

// printAreas lists the areas of the schedule and those that were described.
func (s *session) printAreas(known shape.Areas) error {
	if len(known.Areas) == 0 {
		_, err := fmt.Fprintln(s.out, "No point is in an area, and no area is described yet:\n\n  sootline site area \"North wing\" --floor 1 --m2 640")
		return err
	}
	var rows [][]string
	for _, area := range known.Areas {
		rows = append(rows, []string{area.Area, area.Floor, number(area.M2), strconv.Itoa(area.Points)})
	}
	return printTable(s.out, []string{"area", "floor", "m2", "points"}, rows)
}
