package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func addressCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use: "address", Short: "Plan numbers, draw setting cards, explain what was found, order changes",
		Long: "Plan the numbers of loops, draw the cards by which devices are set, and find the order in\n" +
			"which to set them. How the number of a type is set stands in its type sheet as a setting:\n" +
			"address=switches 7, address=switches 8 high-first on-is-zero, address=dials 9, address=dials 15,\n" +
			"address=electronic, address=base.",
		Example: "  sootline address plan 1.2 --order zone --spares 10\n  sootline address card 1.2.073\n  sootline address order 1.2",
	}
	cmd.AddCommand(addressPlan(s), addressCard(s), addressHow(s), addressFound(s), addressOrder(s), addressSearch(s), addressSettings(s),
		addressSet(s), addressRead(s), addressWant(s))
	return cmd
}

// loopArg reads the loop that a command is about, or "" for all.
func loopArg(args []string) (string, error) {
	if len(args) == 0 {
		return "", nil
	}
	loop, err := parseLoop(args[0])
	return loop.Panel + "." + loop.Loop, err
}

// onLoop runs a command about the loop that its argument names, or about all.
func (s *session) onLoop(cmd *cobra.Command, args []string, do func(a *app.App, site store.SiteLine, loop string) error) error {
	loop, err := loopArg(args)
	if err != nil {
		return err
	}
	return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error { return do(a, site, loop) })
}

func addressPlan(s *session) *cobra.Command {
	var style app.NumberStyle
	var accept, undo, asJSON bool
	cmd := &cobra.Command{
		Use: "plan [LOOP]", Short: "Propose a number for every device of a loop",
		Long: "Propose a number for every device of a loop, and show what would change and why. Numbers\n" +
			"that are there are kept wherever the rules of the loop allow it. With --accept the proposal\n" +
			"is written down as the numbers wanted, and how the devices stand is left as it is: the order of\n" +
			"changes stays until each was set or found. --undo takes the plan back that was accepted last, whole.",
		Example: "  sootline address plan 1.2\n  sootline address plan 1.2 --afresh --order zone --percent 10 --accept",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if undo {
				return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error { return s.undoPlan(cmd.Context(), a, site) })
			}
			if err := s.noOrderInBy(); err != nil {
				return err
			}
			return s.onLoop(cmd, args, func(a *app.App, site store.SiteLine, loop string) error {
				plans, err := a.PlanNumbers(cmd.Context(), site.ID, loop, style)
				if err != nil {
					return err
				}
				written := 0
				if accept {
					if written, err = a.AcceptNumbers(cmd.Context(), site.ID, plans); err != nil {
						return err
					}
				}
				if asJSON {
					return printJSON(s.out, shape.OfPlans(plans, written))
				}
				return s.printPlans(plans, accept, written, loop)
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&style.By, "order", "cable", "in which order: along the cable, or in blocks by zone or area")
	f.IntVar(&style.Spares, "spares", 0, "so many numbers are left free")
	f.IntVar(&style.Percent, "percent", 0, "or a share of those in use, in per cent")
	f.BoolVar(&style.Each, "each", false, "so many spares at the end of each zone or area")
	f.StringSliceVar(&style.Pinned, "pin", nil, "a device that must keep its number; repeat for more")
	f.BoolVar(&style.Spread, "spread", false, "spares between the devices or at the end of each block, not above the last")
	f.BoolVar(&style.Afresh, "afresh", false, "number anew, without keeping what is there")
	f.BoolVar(&accept, "accept", false, "write the proposal down as the numbers wanted")
	f.BoolVar(&undo, "undo", false, "take back, whole, the plan of the site that was accepted last")
	addJSON(cmd, &asJSON)
	cmd.MarkFlagsMutuallyExclusive("accept", "undo")
	cmd.MarkFlagsMutuallyExclusive("json", "undo")
	return cmd
}

func (s *session) printPlans(plans []app.NumberPlan, accepted bool, written int, loop string) error {
	for _, plan := range plans {
		if err := s.printPlan(plan); err != nil {
			return err
		}
	}
	if !accepted {
		return nil
	}
	_, err := fmt.Fprintf(s.out, "\n%s written down as wanted. Next: %s\n",
		count(written, "number is", "numbers are"), strings.TrimSpace("sootline address order "+loop))
	return err
}

func (s *session) undoPlan(ctx context.Context, a *app.App, site store.SiteLine) error {
	plan, err := a.UndoPlan(ctx, site.ID)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "The plan that %s accepted at %s UTC is taken back:\n%s wanted no longer. What was set since stays.\n",
		plan.By, plan.Noted.UTC().Format("2006-01-02 15:04"), count(len(plan.Entries), "number is", "numbers are"))
	return err
}

func (s *session) printPlan(plan app.NumberPlan) error {
	s.heading(fmt.Sprintf("Loop %s: %s would change", plan.Loop.Name, count(len(plan.Changes), "number", "numbers")))
	for _, fit := range plan.Fits {
		fmt.Fprintf(s.out, "  %d devices take %d of %d numbers, spares included\n", fit.Devices, fit.Needed, fit.Numbers)
	}
	for _, problem := range plan.Loop.Problems() {
		fmt.Fprintf(s.out, "  as it is: %s\n", s.wrap(problem.Error(), 12))
	}
	for _, note := range plan.Notes {
		fmt.Fprintf(s.out, "  %s\n", s.wrap(note, 2))
	}
	if len(plan.Changes) == 0 {
		return nil
	}
	var rows [][]string
	for _, c := range plan.Changes {
		d := plan.Loop.Devices[c.Device]
		rows = append(rows, []string{dash(c.From), strconv.Itoa(c.To), d.Location, d.Type, c.Why})
	}
	return printTable(s.out, []string{"from", "to", "location", "type", "because"}, rows)
}

func dash(n int) string {
	if n == 0 {
		return "-"
	}
	return strconv.Itoa(n)
}

func addressCard(s *session) *cobra.Command {
	var loop string
	var asJSON bool
	cmd := &cobra.Command{
		Use: "card [POINT]", Short: "Draw setting cards, in the order of the walk",
		Long:    "Draw the card by which a device is set: its number, what it is, where it is, the settings\nwanted, the switches or dials, and a place to tick.",
		Example: "  sootline address card 1.2.073\n  sootline address card --loop 1.2",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			point := ""
			if len(args) == 1 {
				point = args[0]
			}
			if loop != "" {
				var err error
				if loop, err = loopArg([]string{loop}); err != nil {
					return err
				}
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				cards, asked, err := a.NumberCards(cmd.Context(), site.ID, loop, point)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfCards(cards, asked))
				}
				for i := range cards {
					fmt.Fprintln(s.out, app.CardText(&cards[i]))
				}
				s.askHow(asked)
				s.say(0, "The device's own instructions come first. Sootline sets nothing and writes to no panel.")
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&loop, "loop", "", "the cards of this loop")
	addJSON(cmd, &asJSON)
	return cmd
}

func addressOrder(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "order [LOOP]", Short: "Find in which order to set devices, so that no two come to share a number",
		Long: "Find in which order to set the devices of a loop, one at a time, from the numbers at which they\n" +
			"stand (listed, found or set) to those they should have, so that no two ever come to share a\n" +
			"number, in as few settings as there can be. What was set is noted with `address set`.",
		Example: "  sootline address order 1.2",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return s.onLoop(cmd, args, func(a *app.App, site store.SiteLine, loop string) error {
				orders, err := a.OrderNumbers(cmd.Context(), site.ID, loop)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfOrders(orders))
				}
				for _, order := range orders {
					if err := s.printOrder(order); err != nil {
						return err
					}
				}
				return caution(s)
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}

func (s *session) printOrder(o app.NumberOrder) error {
	s.heading(fmt.Sprintf("Loop %s: %s, %s", o.Loop.Name, count(o.Moved, "device moves", "devices move"), count(len(o.Steps), "setting", "settings")))
	if !o.Shortest() {
		fmt.Fprintf(s.out, "  no order has fewer than %d; with devices that take several numbers the least is not known\n", o.AtLeast)
	}
	for _, says := range o.Says() {
		fmt.Fprintf(s.out, "  %s\n", s.wrap(says, 2))
	}
	if len(o.Steps) == 0 {
		return nil
	}
	var rows [][]string
	for i, step := range o.Steps {
		d := o.Loop.Devices[step.Device]
		rows = append(rows, []string{strconv.Itoa(i + 1), "[ ]", step.Kind.String(), dash(step.From), dash(step.To), d.Location, d.Type})
	}
	return printTable(s.out, []string{"", "done", "do", "from", "to", "location", "type"}, rows)
}
