package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/shape"
	"sootline/internal/store"
)

func visitOpen(s *session) *cobra.Command {
	var flags planFlags
	var opening app.Opening
	var at string
	long := "Open a visit: confirm the cautions, and log the round. On a terminal each caution is asked for;\nelsewhere they are given with --confirm:\n\n"
	for _, c := range app.Cautions() {
		long += fmt.Sprintf("  %-12s %s\n", c.Key, c.Text)
	}
	cmd := &cobra.Command{
		Use: "open", Short: "Open a visit: confirm the cautions, and log the round",
		Long: long + "\nWhat --disabled names stays listed as out of use until it is restored.",
		Example: "  sootline visit open --minutes 240 --confirm responsible,monitoring,outputs,disabled \\\n" +
			"    --disabled \"sounders, by A. Tech\"",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				wish, err := flags.wish(cmd, a, site, "")
				if err != nil {
					return err
				}
				if wish.On, err = s.moment(cmd, a, site, at); err != nil {
					return err
				}
				opening.VisitWish = wish
				if err := s.confirmCautions(&opening); err != nil {
					return err
				}
				plan, err := a.OpenVisit(cmd.Context(), site, opening)
				if err != nil {
					return err
				}
				s.progress.clear()
				if err := flags.writeSheet(plan); err != nil {
					return err
				}
				s.printOpened(plan, &opening, &flags)
				return caution(s)
			})
		},
	}
	flags.add(cmd)
	cmd.Flags().StringSliceVar(&opening.Confirmed, "confirm", nil, "the cautions that are confirmed, by key")
	cmd.Flags().StringArrayVar(&opening.Disabled, "disabled", nil, "what is taken out of use for the visit, and by whom; repeat for more")
	cmd.Flags().StringVar(&opening.Text, "text", "", "in words")
	cmd.Flags().StringVar(&at, "at", "", "when it began, as 2026-01-15T08:30, on the site's clock (default now)")
	return cmd
}

// moment reads --at; empty is now.
func (s *session) moment(cmd *cobra.Command, a *app.App, site store.SiteLine, at string) (time.Time, error) {
	zone, err := s.siteZone(cmd, a, site)
	if err != nil {
		return time.Time{}, err
	}
	when, err := (&sayFlags{at: at}).when(zone)
	switch {
	case err != nil:
	case when.At.IsZero():
		when.At = now()
	case when.Day:
		err = sootline.Errorf(sootline.Invalid, "write the time too, for example --at "+strings.TrimSpace(at)+"T08:30", "a visit begins and ends at a time, and %q is a day", at)
	}
	return when.At, err
}

// confirmCautions asks for each caution that no flag confirmed, where there is a
// terminal to ask on. Nothing is confirmed by an empty answer.
func (s *session) confirmCautions(o *app.Opening) error {
	for _, key := range o.Confirmed {
		if !slices.ContainsFunc(app.Cautions(), func(c app.Caution) bool { return c.Key == key }) {
			return sootline.Errorf(sootline.Invalid, "`sootline visit open --help` lists them", "there is no caution %q", key)
		}
	}
	if !terminal(s.in) {
		return nil
	}
	for _, c := range app.Cautions() {
		if slices.Contains(o.Confirmed, c.Key) {
			continue
		}
		if c.Key == app.DisabledCaution {
			if err := s.askDisabled(o); err != nil {
				return err
			}
		}
		answer, err := s.ask(c.Text + "? [y/N] ")
		if err != nil {
			return err
		}
		if slices.Contains([]string{"y", "yes"}, strings.ToLower(answer)) {
			o.Confirmed = append(o.Confirmed, c.Key)
		}
	}
	return nil
}

// askDisabled asks what is taken out of use, one thing a line.
func (s *session) askDisabled(o *app.Opening) error {
	for {
		answer, err := s.ask("taken out of use for the visit, and by whom (empty: nothing more): ")
		if err != nil || answer == "" {
			return err
		}
		o.Disabled = append(o.Disabled, answer)
	}
}

func (s *session) printOpened(plan app.VisitPlan, o *app.Opening, flags *planFlags) {
	fmt.Fprintln(s.out, "The visit is open. Confirmed:")
	for _, c := range app.Cautions() {
		fmt.Fprintf(s.out, "  %-12s %s\n", c.Key, c.Text)
	}
	for _, what := range o.Disabled {
		fmt.Fprintf(s.out, "  out of use   %s\n", what)
	}
	fmt.Fprintln(s.out)
	s.printRound(plan, flags)
	fmt.Fprintf(s.out, "\nNext: log what you do with `sootline log add` or a filled-in sheet; then `sootline visit walk`\nand `sootline visit close`.\n")
}

func visitWalk(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "walk", Short: "Show what of the open visit's round was seen to act, and what is left",
		Long: "Show how the open visit stands. For a walk test by one person: take in the panel's list of\n" +
			"events, and each point of the round that gave an alarm while the visit lasts is ticked off.\n" +
			"Such alarms are tests, and no false alarms. Alarms from other points are listed apart: they\n" +
			"may be real, and `sootline ask` asks about them.",
		Example: "  sootline take events.csv --yes\n  sootline visit walk",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				state, err := a.VisitState(cmd.Context(), site, now())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfWalk(&state))
				}
				s.printWalk(&state)
				return caution(s)
			})
		},
	}
	addJSON(cmd, &asJSON)
	return cmd
}

func (s *session) printWalk(v *app.VisitState) {
	at := func(t app.Tick) string {
		layout := "2006-01-02 15:04"
		if t.Day {
			layout = time.DateOnly
		}
		return fmt.Sprintf("  %-16s  %-9s  %s, %s", t.At.In(v.Zone).Format(layout), t.Point.Ref(), t.Kind, where(t.Point))
	}
	fmt.Fprintf(s.out, "Visit of %s: %d of %d points of the round were seen to act.\n",
		v.Visit.From().In(v.Zone).Format("2006-01-02 15:04 MST"), len(v.Walk.Seen), len(v.Visit.Round))
	if len(v.Walk.Still) > 0 {
		fmt.Fprintf(s.out, "Of a kind that cannot be made to act, and not waited for: %s.\n", s.wrap(joined(shape.Refs(v.Walk.Still)), 0))
	}
	for _, tick := range v.Walk.Seen {
		fmt.Fprintln(s.out, at(tick))
	}
	if len(v.Walk.Waiting) > 0 {
		s.heading(fmt.Sprintf("not yet (%d)", len(v.Walk.Waiting)))
		for _, p := range v.Walk.Waiting {
			fmt.Fprintf(s.out, "  %-9s  %s\n", p.Ref(), s.wrap(where(p), 13))
		}
	}
	if len(v.Walk.Others) > 0 {
		s.heading(fmt.Sprintf("alarms that may be real (%d): say which were tests, with `sootline ask`", len(v.Walk.Others)))
		for _, tick := range v.Walk.Others {
			fmt.Fprintf(s.out, "%s\n                               %s\n", at(tick), s.wrap(tick.Why, 31))
		}
	}
	if len(v.Walk.Unlike) > 0 {
		s.heading(fmt.Sprintf("the panel says otherwise (%d)", len(v.Walk.Unlike)))
		for _, tick := range v.Walk.Unlike {
			fmt.Fprintf(s.out, "%s\n                               %s\n", at(tick), s.wrap(tick.Why, 31))
		}
	}
	s.printStanding(v.Standing)
}

// printStanding lists what is out of use: it stands on everything that is shown
// of a site until it is restored.
func (s *session) printStanding(standing []app.OutOfUse) {
	if len(standing) == 0 {
		return
	}
	s.heading(fmt.Sprintf("STILL OUT OF USE (%d)", len(standing)))
	for _, what := range standing {
		fmt.Fprintf(s.out, "  %s\n", s.wrap(what.String(), 2))
	}
}

func visitClose(s *session) *cobra.Command {
	var closing app.Closing
	var notNormal bool
	var at string
	cmd := &cobra.Command{
		Use: "close", Short: "Close the open visit, with what it leaves",
		Long: "Close the open visit: what is still out of use, what of the round nobody tested, which\n" +
			"questions nobody answered, whether the site is left in normal operation, and what is due\n" +
			"next. A site with something out of use is not left in normal operation.",
		Example: "  sootline visit close --normal --restored \"sounders, by A. Tech\"\n  sootline visit close --not-normal --text \"detector 1.2.073 waits for a spare\"",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if closing.Normal == notNormal {
				return usageError{fmt.Errorf("say how the site is left: --normal or --not-normal")}
			}
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				var err error
				if closing.At, err = s.moment(cmd, a, site, at); err != nil {
					return err
				}
				state, err := a.CloseVisit(cmd.Context(), site, closing)
				if err != nil {
					return err
				}
				s.printClosed(&state, closing.Normal)
				return caution(s)
			})
		},
	}
	cmd.Flags().BoolVar(&closing.Normal, "normal", false, "the site is left in normal operation")
	cmd.Flags().BoolVar(&notNormal, "not-normal", false, "the site is not left in normal operation")
	cmd.Flags().StringArrayVar(&closing.Restored, "restored", nil, "what is back in use, in the words in which it was taken out; repeat for more")
	cmd.Flags().StringVar(&closing.Text, "text", "", "in words")
	cmd.Flags().StringVar(&at, "at", "", "when it ended, as 2026-01-15T16:30, on the site's clock (default now)")
	return cmd
}

func (s *session) printClosed(v *app.VisitState, normal bool) {
	left := "NOT in normal operation"
	if normal {
		left = "in normal operation"
	}
	fmt.Fprintf(s.out, "The visit of %s is closed; the site is left %s.\n", v.Visit.From().In(v.Zone).Format("2006-01-02 15:04 MST"), left)
	fmt.Fprintf(s.out, "  done: all that was planned at %d of %d points of the round\n", len(v.Visit.Round)-len(v.Undone), len(v.Visit.Round))
	s.printDefectsLeft(v.After.Register.OpenDefects())
	if len(v.Asked) > 0 {
		fmt.Fprintf(s.out, "  not answered: %s; `sootline ask`\n", count(len(v.Asked), "question", "questions"))
	}
	if n := v.After.Count(app.Overdue); n > 0 {
		fmt.Fprintf(s.out, "  OVERDUE: %d; `sootline visit due`\n", n)
	}
	fmt.Fprintf(s.out, "  next due: %s; `sootline visit due`\n", v.After.Next())
	if len(v.Undone) > 0 {
		s.heading(fmt.Sprintf("not done (%d)", len(v.Undone)))
		fmt.Fprintf(s.out, "  %s\n", s.wrap(joined(shape.UndoneWords(v.Undone)), 2))
	}
	s.printStanding(v.Standing)
}

// printDefectsLeft names what is wrong and stays so when people leave the site.
func (s *session) printDefectsLeft(open []*sootline.DefectFacts) {
	const most = 8
	if len(open) == 0 {
		return
	}
	var names []string
	for _, d := range open[:min(most, len(open))] {
		names = append(names, fmt.Sprintf("%s %s, %s", cmp.Or(d.Where(), "the site"), d.What(), d.State))
	}
	if more := len(open) - most; more > 0 {
		names = append(names, fmt.Sprintf("and %d more", more))
	}
	fmt.Fprintf(s.out, "  DEFECTS NOT CLOSED: %s; `sootline defect`\n", s.wrap(strings.Join(names, "; "), 2))
}

func visitList(s *session) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use: "list", Short: "List the visits of a site",
		Example: "  sootline visit list --site Works",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				r, visits, err := a.Visits(cmd.Context(), site)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(s.out, shape.OfVisits(visits))
				}
				return s.printVisits(r, visits)
			})
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON, of the shape in docs/formats/json.md")
	return cmd
}

func (s *session) printVisits(r *sootline.Register, visits []app.PastVisit) error {
	zone, err := app.Zone(r.Site.Zone)
	if err != nil {
		return err
	}
	if len(visits) == 0 {
		_, err := fmt.Fprintf(s.out, "Site %s: no visit is written down. Begin one:\n\n  sootline visit open --minutes 240\n", r.Site.Name)
		return err
	}
	const layout = "2006-01-02 15:04"
	for i, v := range shape.OfVisits(visits) {
		from, to := "begin not written down", "still open"
		if visits[i].Opened != nil {
			from = visits[i].Opened.At.In(zone).Format(layout)
		}
		said := []string{fmt.Sprintf("a round of %d", len(v.Round))}
		if visits[i].Closed != nil {
			to = "to " + visits[i].Closed.At.In(zone).Format(layout)
			said = []string{fmt.Sprintf("%d of %d done", len(v.Round)-v.Untested, len(v.Round))}
		}
		if v.Left != "" {
			said = append(said, "left "+v.Left)
		}
		if v.Next != "" {
			said = append(said, "next due "+v.Next)
		}
		fmt.Fprintf(s.out, "%s %s  %s\n  %s\n", from, to, v.By, joined(said))
		for _, what := range v.Standing {
			fmt.Fprintf(s.out, "  out of use: %s\n", s.wrap(what, 14))
		}
		for _, text := range v.Text {
			fmt.Fprintf(s.out, "  %s\n", s.wrap(text, 2))
		}
	}
	return nil
}
