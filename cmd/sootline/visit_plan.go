package main

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

type planFlags struct {
	minutes int
	next    string
	order   []string
	sheet   string
	full    bool
}

func (f *planFlags) add(cmd *cobra.Command) {
	flags := cmd.Flags()
	flags.IntVar(&f.minutes, "minutes", 0, "how long the visit lasts, for example 240")
	flags.StringVar(&f.next, "next", "", "the day of the visit after it, where it is known (default: as the rules say)")
	flags.StringSliceVar(&f.order, "order", nil, "your own walking order: areas or points, the rest follow")
	flags.StringVar(&f.sheet, "sheet", "", "write the round to this workbook, to fill in and `take` again")
	flags.BoolVar(&f.full, "full", false, "every reason, and all that was left out")
}

func visitPlan(s *session) *cobra.Command {
	var flags planFlags
	var on string
	var asJSON bool
	cmd := &cobra.Command{
		Use: "plan", Short: "Plan the round of a visit of so many minutes",
		Long: "Plan the round of a visit: first what the rules demand, the overdue before the due, then the\n" +
			"work by which the risk falls most in the time that is left. Areas that take setting up are\n" +
			"set up once. The walk goes floor by floor and area by area; --order is your own, and wins.\n" +
			"What did not fit is listed with the reason. Nothing is logged; `sootline visit open` does.",
		Example: "  sootline visit plan --minutes 240 --site Works\n  sootline visit plan --minutes 120 --order \"Kitchen,Bakery\" --sheet round.xlsx",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				wish, err := flags.wish(cmd, a, site, on)
				if err != nil {
					return err
				}
				plan, err := a.PlanVisit(cmd.Context(), site, wish)
				if err != nil {
					return err
				}
				s.progress.clear()
				if err := flags.writeSheet(plan); err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfRound(plan))
				}
				s.printRound(plan, &flags)
				return caution(s)
			})
		},
	}
	flags.add(cmd)
	cmd.Flags().StringVar(&on, "on", "", "the day of the visit, for example 2026-01-15 (default today)")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, of the shape in docs/formats/json.md")
	return cmd
}

func (f *planFlags) wish(cmd *cobra.Command, a *app.App, site store.SiteLine, on string) (app.VisitWish, error) {
	wish := app.VisitWish{Minutes: f.minutes, Order: f.order}
	err := mustBeFree(f.sheet) // before anything is logged
	if err != nil {
		return wish, err
	}
	if wish.Next, err = app.ParseDay(f.next); err != nil {
		return wish, err
	}
	wish.On, err = (&viewFlags{on: on}).when(cmd, a, site)
	return wish, err
}

func (f *planFlags) writeSheet(plan app.VisitPlan) error {
	if f.sheet == "" {
		return nil
	}
	return writeWhole(f.sheet, func(w io.Writer) error { return app.RoundSheet(w, plan) })
}

func (s *session) printRound(plan app.VisitPlan, flags *planFlags) {
	spare := plan.Minutes - plan.Work - plan.Setup
	s.say(2, "Site %s on %s, %s: %s, %d minutes at them, %d to set up, %d to spare.", plan.Site.Name, plan.On,
		count(plan.Minutes, "minute", "minutes"), count(len(plan.Stops), "point", "points"), plan.Work, plan.Setup, spare)
	for _, area := range plan.Areas {
		fmt.Fprintf(s.out, "  set up %s: %d minutes", area.Area, area.Setup)
		if area.Why != "" {
			fmt.Fprintf(s.out, ", %s", area.Why)
		}
		fmt.Fprintln(s.out)
	}
	s.printStanding(plan.Standing())
	floor, area := "\x00", "\x00"
	for i, stop := range plan.Stops {
		if stop.Floor != floor || stop.Point.Area != area {
			floor, area = stop.Floor, stop.Point.Area
			s.heading(cmp.Or(sootline.Joined(floor, area), "no floor or area known"))
		}
		what := where(stop.Point)
		if floor != "" {
			what = strings.TrimPrefix(what, floor+", ")
		}
		fmt.Fprintf(s.out, "  %3d  %-9s  %s\n", i+1, stop.Point.Ref(), s.wrap(what, 18))
		for j := range stop.Tasks {
			s.printTask(&stop.Tasks[j], flags.full)
		}
	}
	s.printLeft(plan, flags.full)
	if flags.sheet != "" {
		fmt.Fprintf(s.out, "\nThe round is in %s: fill it in, then `sootline take %s`.\n", flags.sheet, shellWord(flags.sheet))
	}
}

func (s *session) printTask(t *app.Task, full bool) {
	whys := t.Whys
	if !full && len(whys) > 1 {
		whys = whys[:1]
	}
	fmt.Fprintf(s.out, "                  %s\n", s.wrap(fmt.Sprintf("%s, %d min: %s", t.Work, t.Minutes, strings.Join(whys, "; ")), 18))
}

// printLeft lists what did not fit, the points of one reason together: all that
// was demanded, and the rest as a number or in full.
func (s *session) printLeft(plan app.VisitPlan, full bool) {
	for _, short := range plan.Short {
		fmt.Fprintf(s.out, "\nCannot be met: %s\n", s.wrap(short, 15))
	}
	var reasons []string
	points := map[string][]*sootline.Point{}
	demanded, minutes, others := 0, 0, 0
	for i := range plan.Left {
		left := &plan.Left[i]
		if left.Forced() {
			demanded++
			minutes += left.Minutes
		} else if others++; !full {
			continue
		}
		reason := left.Work + ": " + left.Why
		if points[reason] == nil {
			reasons = append(reasons, reason)
		}
		points[reason] = append(points[reason], left.Point)
	}
	if demanded > 0 {
		s.heading(fmt.Sprintf("LEFT OUT although the rules demand it (%d, %d minutes more)", demanded, minutes))
	} else if full && others > 0 {
		s.heading(fmt.Sprintf("left out (%d)", others))
	}
	for _, reason := range reasons {
		fmt.Fprintf(s.out, "  %s\n      %s\n", s.wrap(reason, 4), s.wrap(joined(shape.Refs(points[reason])), 6))
	}
	if others > 0 && !full {
		fmt.Fprintln(s.out)
		s.say(2, "Also left out: %s that would lower the risk less in the time; --full lists them.", count(others, "piece of work", "pieces of work"))
	}
}
