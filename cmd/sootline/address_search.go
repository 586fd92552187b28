package main

import (
	"cmp"
	"fmt"

	"github.com/spf13/cobra"

	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func addressSearch(s *session) *cobra.Command {
	var opts app.HuntOptions
	var opened, efforts, likely []string
	var asJSON bool
	cmd := &cobra.Command{
		Use: "search LOOP", Short: "Find a double number or a lost stretch by halving",
		Long: "Find a device, the end of a lost stretch, a break, or (--two) both of two devices on one number, by\n" +
			"opening the loop at one place after another, fed from its OUT end alone: it says where to open\n" +
			"next so that the least effort is expected, and how many places that takes. Give each answer\n" +
			"with --opened PLACE=N, N being how many of those looked for answer with that place open\n" +
			"behind it: a lost stretch answers up to its end.",
		Example: "  sootline address search 1.2 --two\n  sootline address search 1.2 --two --opened 1.2.040=1 --effort 1.2.033=10",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			loop, err := loopArg(args)
			if err != nil {
				return err
			}
			effort, err1 := app.ParsePlaceCounts(efforts)
			chances, err2 := app.ParsePlaceCounts(likely)
			seen, err3 := app.ParsePlaceCounts(opened)
			if err := cmp.Or(err1, err2, err3); err != nil {
				return err
			}
			opts.Opened, opts.Effort, opts.Likely = seen, app.ByPlace(effort), app.ByPlace(chances)
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				hunt, err := a.HuntLoop(cmd.Context(), site.ID, loop, opts)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfHunt(hunt))
				}
				return s.printHunt(hunt)
			})
		},
	}
	f := cmd.Flags()
	f.BoolVar(&opts.Two, "two", false, "look for both of two devices that answer to one number")
	f.BoolVar(&opts.Isolators, "isolators", false, "open the loop at isolators only")
	f.StringArrayVar(&opened, "opened", nil, "an answer, as PLACE=N; repeat in the order in which they were seen")
	f.StringArrayVar(&likely, "likely", nil, "how likely it lies on the stretch that ends at a place, as PLACE=N (else 1)")
	f.StringArrayVar(&efforts, "effort", nil, "minutes that opening a place takes, as PLACE=N (else 1)")
	addJSON(cmd, &asJSON)
	return cmd
}

func (s *session) printHunt(h *app.Hunt) error {
	for i, found := range h.Found {
		where := fmt.Sprintf("between %s and %s", h.Places[found[0]].Name, h.Places[found[1]].Name)
		if found[0] == found[1] {
			where = "at " + h.Places[found[0]].Name
		}
		if len(h.Found) > 1 {
			where = fmt.Sprintf("number %d: %s", i+1, where)
		}
		fmt.Fprintf(s.out, "It is %s.\n", where)
	}
	if h.Done {
		return nil
	}
	place := h.Places[h.Next.Place].Name
	fmt.Fprintf(s.out, "Open the loop behind %s next, and see what answers:\n  sootline address search ... --opened %s=N\n", place, place)
	fmt.Fprintf(s.out, "Expected: %.1f more places to open, at most %d.\n", h.Next.Steps, h.Next.Worst)
	return caution(s)
}
